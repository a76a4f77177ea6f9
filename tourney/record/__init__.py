"""The append-only journal and its fold into the state of the day."""
