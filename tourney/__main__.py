"""Lets `python -m tourney` do what the `tourney` command does."""

from tourney.cli import main

if __name__ == "__main__":
    main(prog_name="tourney")
