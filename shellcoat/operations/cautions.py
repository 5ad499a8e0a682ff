"""The usual cautions, worded once in the resources."""

from __future__ import annotations

from shellcoat.places import resources_dir


def cautions_text() -> str:
    """The cautions, paragraph by paragraph."""
    return (resources_dir() / "cautions.txt").read_text(encoding="utf-8").strip()
