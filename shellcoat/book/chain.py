"""The chain of hashes: each entry vouches for all before it.

An entry's hash is the SHA-256 over the hash before it and over the canonical JSON of all its
other columns. Change, drop or slip in one entry and every hash after it is wrong.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from uuid import UUID

from shellcoat.book.codec import canonical


def first_link(book_id: UUID) -> str:
    """Give what the first entry builds on, so that no entry can move to another book."""
    return hashlib.sha256(str(book_id).encode()).hexdigest()


def link(previous_hash: str, row: Mapping[str, object]) -> str:
    """Hash a row on top of the hash before it; `row` holds every column but the two hashes."""
    return hashlib.sha256(previous_hash.encode() + canonical(dict(row))).hexdigest()
