"""Who meets whom: rounds of heats in which each team drills once."""
