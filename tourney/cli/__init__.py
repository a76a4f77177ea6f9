"""The command line: parses, calls the day, prints, exits."""
