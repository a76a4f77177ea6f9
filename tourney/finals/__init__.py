"""Who goes on, seeding, brackets of every kind, and who moves on: pure functions of standings and outcomes."""
