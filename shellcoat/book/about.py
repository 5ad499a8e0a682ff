"""Which SQLite the book is kept with, and a word where it has a known fault."""

from __future__ import annotations

import sqlite3

WAL_RESET_FIXED = (3, 51, 3)
"""First release without the WAL-reset fault (SQLite release notes, March 2026): two connections
that write or checkpoint one file at the same moment could damage it from 3.7.0 on."""


def sqlite_words(version: tuple[int, ...] = sqlite3.sqlite_version_info) -> str:
    """The SQLite version in a sentence."""
    named = "SQLite " + ".".join(map(str, version[:3]))
    if version >= WAL_RESET_FIXED:
        return f"{named}."
    return (
        f"{named}: releases before 3.51.3 can damage a file that two programs write at the very "
        "same moment, so shellcoat lets only one of them write at a time."
    )
