"""Children's details in the record are encrypted, each under a key of its own: without the key nothing is left.

AES-256 in Galois/Counter Mode (NIST SP 800-38D) with a random nonce of 96 bits; the key's name is authenticated too.
"""

import json
import secrets
from base64 import b64decode, b64encode
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from tourney.record.row import canonical

SEALED, REMOVED = "$sealed", "$removed"
_NONCE = 12
WORDS = "words"  # the key for what people write freely: reasons, and what else may name a child


@dataclass(frozen=True, slots=True)
class Private:
    """A part of a document that a purge takes away. key: the name of its key, such as "contestant J04-2"."""

    key: str
    value: Any


def file_key(sha256: str) -> str:
    """The name of the key of a received file."""
    return f"file {sha256}"


def new_key() -> bytes:
    """256 random bits."""
    return secrets.token_bytes(32)


def seal_bytes(content: bytes, name: str, key: bytes) -> bytes:
    """Content as it is kept."""
    nonce = secrets.token_bytes(_NONCE)
    return nonce + AESGCM(key).encrypt(nonce, content, name.encode())


def unseal_bytes(content: bytes, name: str, key: bytes) -> bytes:
    """What was sealed. ValueError when it was altered, or sealed under another key."""
    try:
        return AESGCM(key).decrypt(content[:_NONCE], content[_NONCE:], name.encode())
    except InvalidTag as reason:
        raise ValueError(f"what was kept under the key {name} was altered") from reason


def seal(document: Any, key_of: Callable[[str], bytes]) -> str:
    """A document as text, its Private parts sealed. key_of: name -> key."""

    def sealed(part: Any) -> Any:
        if not isinstance(part, Private):
            raise TypeError(f"{type(part).__name__} is no JSON value")
        content = seal_bytes(canonical(part.value).encode(), part.key, key_of(part.key))
        return {SEALED: [part.key, b64encode(content).decode()]}

    return json.dumps(document, sort_keys=True, separators=(",", ":"), allow_nan=False, default=sealed)


def unseal(text: str, keys: Mapping[str, bytes | None]) -> Any:
    """The document; a part whose key was destroyed is {REMOVED: name of the key}. ValueError when it was altered."""

    def opened(part: dict[str, Any]) -> Any:
        if list(part) != [SEALED]:
            return part
        name, content = part[SEALED]
        key = keys[name]
        return {REMOVED: name} if key is None else json.loads(unseal_bytes(b64decode(content), name, key))

    return json.loads(text, object_hook=opened)


def left(document: Mapping[str, Any]) -> dict[str, Any]:
    """A document without the values that a purge took away."""
    return {key: value for key, value in document.items() if not (isinstance(value, dict) and REMOVED in value)}
