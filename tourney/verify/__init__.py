"""Re-checks of the plan, the draw and the record, with code that shares nothing with what it checks."""
