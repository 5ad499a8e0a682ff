"""The cautions name every danger of the trade and promise nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

import shellcoat
from shellcoat.operations.cautions import cautions_text
from shellcoat.places import demos_dir, resources_dir

PROMISES = ("safe to pour", "ready to pour", "safe for pouring", "guaranteed")


@pytest.mark.parametrize(
    "words",
    [
        "silica",
        "respirator",
        "wax burns",
        "molten metal",
        "steam",
        "heavier",
        "Local codes",
        "safety sheet",
        "experienced",
        "estimates with a spread",
    ],
)
def test_each_danger_is_named(words: str) -> None:
    assert words in cautions_text()


def test_every_paragraph_stands_by_itself_and_is_short() -> None:
    paragraphs = cautions_text().split("\n\n")
    assert len(paragraphs) >= 5
    assert all(len(paragraph) < 300 and paragraph.endswith(".") for paragraph in paragraphs)


def test_nothing_the_program_says_calls_a_shell_safe_to_pour() -> None:
    """Sources, tables and notes alike: whether to pour is a person's call."""
    package = Path(shellcoat.__file__).parent
    texts = [
        path
        for folder in (package, resources_dir(), demos_dir())
        for path in folder.rglob("*")
        if path.suffix in {".py", ".toml", ".txt", ".md", ".json"} and path.name != "book.json"
    ]
    assert len(texts) > 100
    for path in texts:
        words = " ".join(path.read_text(encoding="utf-8").casefold().split())
        assert not [promise for promise in PROMISES if promise in words], path
