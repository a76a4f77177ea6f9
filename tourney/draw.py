"""Draw words -> named, independent random streams. The same words and name give the same stream on any machine."""

import hashlib
import random
from dataclasses import dataclass


def seed(*words: str) -> int:
    """A 256-bit seed: SHA-256 over the words, each preceded by its length so that no two lists share a seed."""
    text = "".join(f"{len(word.encode())}:{word}" for word in words)
    return int.from_bytes(hashlib.sha256(text.encode()).digest())


@dataclass(frozen=True, slots=True)
class Draw:
    """The source of every random choice of an event.

    words: public, read aloud after entries close. secret: kept from coaches; empty for what is drawn in public.
    """

    words: str
    secret: str = ""

    def stream(self, *name: str) -> random.Random:
        """An independent stream for one purpose, e.g. stream("rotation", "Junior")."""
        return random.Random(seed(self.words, self.secret, *name))

    def number(self, *name: str) -> int:
        """A seed of 31 bits for one purpose, for libraries that take a whole number."""
        return seed(self.words, self.secret, *name) % 2**31


def digest(text: str) -> str:
    """The "sha256:..." form in which files name a hash."""
    return "sha256:" + hashlib.sha256(text.encode()).hexdigest()
