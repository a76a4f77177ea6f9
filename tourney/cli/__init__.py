"""The command line: parses, calls the day, prints, exits."""

from tourney.cli.program import main

__all__ = ["main"]
