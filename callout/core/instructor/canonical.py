"""The canonical bytes of a JSON value, and their hash."""

from __future__ import annotations

import hashlib
from typing import Any

import rfc8785

NO_HASH = "0" * 64
"""Used before the first record of a chain."""


def canonical_json(value: Any) -> bytes:
    """Return ``value`` in the canonical form of RFC 8785; raises ValueError if it is not JSON."""
    try:
        return rfc8785.dumps(value)
    except (rfc8785.CanonicalizationError, UnicodeEncodeError, RecursionError) as error:
        raise ValueError(f"it has no canonical JSON form: {error}") from error


def sha256_hex(data: bytes) -> str:
    """Return the SHA-256 hash (NIST FIPS 180-4) of ``data`` as 64 lower-case hex digits."""
    return hashlib.sha256(data).hexdigest()


def hash_of(value: Any) -> str:
    """Return the hash of a JSON value, whatever its spacing and order of keys."""
    return sha256_hex(canonical_json(value))
