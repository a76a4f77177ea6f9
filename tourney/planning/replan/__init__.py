"""The day goes wrong: the plan is changed as little as can be, and what has been played stays as it was."""
