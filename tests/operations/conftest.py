"""A fresh book with a person at it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from shop_cases import at_the_book, on_rack, shop_book

from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import Shell


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A book of Heron Yard: two rooms, the starter sequences, nothing on the rack."""
    return shop_book(tmp_path / "heron yard.shellbook")


@pytest.fixture
def opened(path: Path) -> Iterator[OpenShop]:
    """Ana at the bench."""
    with at_the_book(path) as shop:
        yield shop


@pytest.fixture
def heron(opened: OpenShop) -> Shell:
    """A wax on the rack, bare."""
    return on_rack(opened)
