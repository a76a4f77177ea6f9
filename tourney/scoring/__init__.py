"""Marks to points to standings, with the reason of every place."""
