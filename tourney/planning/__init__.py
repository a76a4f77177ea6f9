"""Rotation, timetable, officials, call sets: pure functions of event and draw."""
