"""Books to test with."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from book_builders import full_book, new_book

from shellcoat.book import Book


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "heron yard.shellbook"


@pytest.fixture
def book(path: Path) -> Iterator[Book]:
    with new_book(path) as opened:
        yield opened


@pytest.fixture
def told_book(path: Path) -> Iterator[Book]:
    """A book with something of everything in it."""
    with full_book(path) as opened:
        yield opened
