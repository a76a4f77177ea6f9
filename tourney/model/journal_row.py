"""A row of the journal as the database holds it: what its hash is taken over, and what anyone may check.

hash: SHA-256, in hexadecimal, of the canonical JSON (sorted keys, no spaces, ASCII) of
{"seq", "at", "kind", "by", "document", "previous"}; previous is the hash of the row before, 64 zeros for the first.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StoredRow:
    """One row. seq: 1, 2, 3 ... at: ISO 8601, UTC. document: JSON text, children's details sealed within it."""

    seq: int
    at: str
    kind: str
    by: str
    document: str
    previous: str
    hash: str

    @property
    def values(self) -> dict[str, str | int]:
        """Each by its name, in the order above."""
        return {
            "seq": self.seq, "at": self.at, "kind": self.kind, "by": self.by, "document": self.document,
            "previous": self.previous, "hash": self.hash,
        }  # fmt: skip
