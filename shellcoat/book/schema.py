"""The published schema of the exported book, made from the record types themselves.

Run `python -m shellcoat.book.schema` in a checkout to write it anew after a record has changed.
"""

from __future__ import annotations

import json
from inspect import cleandoc
from pathlib import Path
from typing import Any

import msgspec

from shellcoat.book.document import Document
from shellcoat.shop.entry import KINDS

PUBLISHED = Path(__file__).parents[2] / "resources" / "book.schema.json"
REFERENCE = "#/$defs/{name}"
BATCH, PHOTO = "reading_batch", "photo"


def book_schema() -> dict[str, Any]:
    """Make the JSON Schema of an exported book."""
    (top, *_), parts = msgspec.json.schema_components(
        [Document, *KINDS.values()], ref_template=REFERENCE
    )
    for part in parts.values():
        if "properties" in part:
            part["additionalProperties"] = False
        if "description" in part:
            # Python 3.13 takes the indent off a docstring, the versions before leave it.
            part["description"] = cleandoc(part["description"])
    parts["EntryLine"] |= {"oneOf": [_of_kind(kind) for kind in KINDS]}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "An exported book of shellcoat",
        **top,
        "$defs": dict(sorted(parts.items())),
    }


def _of_kind(kind: str) -> dict[str, Any]:
    record = {"$ref": REFERENCE.format(name=KINDS[kind].__name__)}
    rule: dict[str, Any] = {"properties": {"kind": {"const": kind}, "record": record}}
    beside = {BATCH: "readings", PHOTO: "pictures"}
    others = [{"required": [name]} for owner, name in beside.items() if owner != kind]
    has_readings = {"required": ["readings"]} if kind == BATCH else {}
    return rule | has_readings | {"not": {"anyOf": others}}


def schema_text() -> str:
    """Write the schema as it is published."""
    return json.dumps(book_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    PUBLISHED.write_text(schema_text(), encoding="utf-8")
