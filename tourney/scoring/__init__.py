"""Marks become points, points become standings, with the reason of each place."""
