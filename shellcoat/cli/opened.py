"""The book, the person and the moment of one command."""

from __future__ import annotations

import platform
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from shellcoat.book import open_book
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.person import person


@contextmanager
def opened_shop(path: Path, *, read_only: bool = False) -> Iterator[OpenShop]:
    """A book opened for one command."""
    with open_book(path, read_only=read_only) as book:
        yield OpenShop(book, who=person(), station=platform.node())


def system_now() -> datetime:
    """What the machine's clock says."""
    return datetime.now(UTC)
