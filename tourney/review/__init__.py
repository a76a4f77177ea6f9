"""After the day: what coaches, the chief judge and the call writer learn from it."""
