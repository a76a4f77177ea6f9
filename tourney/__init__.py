"""Plans, prints, scores and ranks a day of scripture-drill competition for children."""

__version__ = "0.1.0"
