"""A book as one document: out, in, and refused with the place that is wrong."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from book_builders import (
    NOW,
    ROOM,
    SHELL,
    a_batch,
    an_entry,
    an_id,
    at,
    by_hand,
    keep_readings,
    new_book,
)
from book_strategies import first_records
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shellcoat.book import Book, ReadingColumns, create_book, exchange, open_book
from shellcoat.book.check import check_book
from shellcoat.book.codec import encode
from shellcoat.book.document import BadDocumentError
from shellcoat.book.exchange import export_book, exported, import_book
from shellcoat.book.faults import BookExistsError, NotSavedError
from shellcoat.book.schema import PUBLISHED, book_schema, schema_text
from shellcoat.shop import Record

VALIDATOR = jsonschema.Draft202012Validator(book_schema())
Change = Callable[[dict[str, Any]], None]


@pytest.fixture
def document(told_book: Book, tmp_path: Path) -> Path:
    """The exported book."""
    path = tmp_path / "exported.json"
    export_book(told_book, path)
    return path


@pytest.fixture
def target(tmp_path: Path) -> Path:
    return tmp_path / "imported.shellbook"


def changed(document: Path, change: Change) -> Path:
    told = json.loads(document.read_text("utf-8"))
    change(told)
    document.write_text(json.dumps(told), "utf-8")
    return document


def test_a_book_comes_back_whole(told_book: Book, document: Path, target: Path) -> None:
    import_book(document, target)
    with open_book(target) as found:
        assert found.ledger == told_book.ledger
        assert list(found.ledger.entries) == list(told_book.ledger.entries)
        assert (found.id, found.created_at, found.head) == (
            told_book.id,
            told_book.created_at,
            told_book.head,
        )
        for name in ("at_ms", "temp_c", "rh"):
            columns = [book.readings(ROOM, at(-9), at(99)) for book in (found, told_book)]
            assert getattr(columns[0], name).tobytes() == getattr(columns[1], name).tobytes()
        assert exported(found) == exported(told_book)
    assert check_book(target).sound


@settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.lists(first_records, max_size=6, unique_by=lambda record: record.id),
    st.lists(st.tuples(st.floats(-30, 70), st.floats(0, 1)), min_size=1, max_size=9),
)
def test_any_book_comes_back_whole(
    tmp_path_factory: pytest.TempPathFactory,
    records: list[Record],
    values: list[tuple[float, float]],
) -> None:
    folder = tmp_path_factory.mktemp("any")
    with create_book(folder / "a.shellbook", [an_entry(r) for r in records], now=NOW) as book:
        times = [int(at(0).timestamp() * 1000) + 7 * number for number in range(len(values))]
        columns = ReadingColumns.of(times, *zip(*values, strict=True))
        keep_readings(book, a_batch(columns), columns)
        export_book(book, folder / "a.json")
        import_book(folder / "a.json", folder / "b.shellbook")
        with open_book(folder / "b.shellbook") as found:
            assert found.ledger == book.ledger
            assert exported(found) == exported(book)


def test_people_can_read_it(document: Path) -> None:
    text = document.read_text("utf-8")
    lines = text.splitlines()
    assert lines[1] == '  "format": "shellcoat book",'
    assert '      "who": "Ines",' in lines
    assert '          "2026-03-02T08:00:00.000Z", "2026-03-02T08:01:00.000Z", ' in text
    assert "Zeit falsch — 1½ h später" in text
    assert max(map(len, lines)) < 400
    assert text.endswith("}\n")


def test_it_keeps_to_the_published_schema(document: Path) -> None:
    schema = json.loads(PUBLISHED.read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    told = json.loads(document.read_text("utf-8"))
    jsonschema.validate(told, schema, cls=jsonschema.Draft202012Validator)


def test_the_published_schema_is_up_to_date() -> None:
    assert PUBLISHED.read_text("utf-8") == schema_text(), "run python -m shellcoat.book.schema"


@settings(max_examples=40, deadline=None)
@given(first_records)
def test_every_record_keeps_to_the_schema(record: Record) -> None:
    told = {
        "format": "shellcoat book",
        "version": 1,
        "book": {"id": str(SHELL), "created_at": "2026-03-02T08:00:00Z"},
        "entries": [
            {
                "id": str(SHELL),
                "kind": an_entry(record).kind,
                "recorded_at": "2026-03-02T08:00:00Z",
                "who": "Ines",
                "record": json.loads(encode(record)),
            }
        ],
    }
    assert VALIDATOR.is_valid(told), next(VALIDATOR.iter_errors(told))


def entry(number: int, **fields: object) -> Change:
    """Change fields of an entry, counted from 1."""
    return lambda told: told["entries"][number - 1].update(fields)


def record(number: int, **fields: object) -> Change:
    """Change fields of an entry's record."""
    return lambda told: told["entries"][number - 1]["record"].update(fields)


def top(**fields: object) -> Change:
    return lambda told: told.update(fields)


def reading(column: str, value: object) -> Change:
    def change(told: dict[str, Any]) -> None:
        told["entries"][9]["readings"][column][3] = value

    return change


def swap(told: dict[str, Any]) -> None:
    told["entries"][4:6] = told["entries"][5:3:-1]


def unknown_inside(told: dict[str, Any]) -> None:
    told["entries"][3]["record"]["sequence"]["steps"][2]["colour"] = "white"


@pytest.mark.parametrize(
    ("change", "named", "in_schema"),
    [
        (top(format="other"), 'document: this is no book: "format" is not', True),
        (top(version=2), "document: it has the version 2, this program reads version 1", False),
        (top(extra=1), "document: Object contains unknown field `extra`", True),
        (top(entries={}), "document, entries: Expected `array`, got `object`", True),
        (
            top(book={"id": "x", "created_at": "2026-03-02T08:00:00Z"}),
            "document, book.id: Invalid UUID",
            False,
        ),
        (entry(3, who=None), "entry 3, who: Expected `str`, got `null`", True),
        (entry(3, who=" "), r"entry 3 \(dip_sequence\): Name of the person is empty", False),
        (entry(3, id="1"), "entry 3, id: Invalid UUID", False),
        (entry(3, recorded_at="yesterday"), "entry 3, recorded_at: Invalid RFC3339", False),
        (entry(3, recorded_at="2026-03-02T08:00:00"), "entry 3, recorded_at: ", False),
        (entry(3, recorded_at="1066-10-14T08:00:00Z"), r"entry 3 \(.*\): Time of the entry", False),
        (entry(3, wax="red"), "entry 3: Object contains unknown field `wax`", True),
        (entry(3, kind="kiln"), r"entry 3 \(kiln\): Records of the kind 'kiln'", True),
        (entry(3, kind="room"), r"entry 3 \(room\), record.", True),
        (entry(6, replaces=str(ROOM)), r"entry 6 \(coat\): The entry to correct is not", False),
        (entry(6, slot="coat:1"), r"entry 6 \(coat\), slot: coat:1 is taken", False),
        (entry(2, readings={"at": [], "temp_c": [], "rh": []}), r"entry 2 \(room\): Read", True),
        (entry(10, readings=None), r"entry 10 \(reading_batch\): A batch of readings", False),
        (record(9, temp_c="warm"), r"entry 9 \(air_reading\), record.temp_c: Expected", True),
        (record(9, temp_c=400.0), r"entry 9 \(air_reading\): Air temperature: 400", False),
        (record(9, temp_c=None), r"entry 9 \(air_reading\), record.temp_c: Expected", True),
        (record(9, wind=3), r"entry 9 \(air_reading\), record.wind: this field is not", True),
        (unknown_inside, r"entry 4 \(shell\), record.sequence.steps\[2\].colour: this", True),
        (record(5, utc_offset_min=10**400), r"entry 5 \(coat\)", False),
        (
            record(5, shell_id=str(an_id("nobody"))),
            r"entry 5 \(coat\): The coat belongs to a shell",
            False,
        ),
        (record(10, digest="0" * 64), r"entry 10 \(reading_batch\): The readings' digest", False),
        (reading("rh", 50.0), r"entry 10 \(.*\): Reading 4 has the relative humidity 50", False),
        (reading("rh", "dry"), r"entry 10, readings.rh\[3\]: Expected `float`", True),
        (reading("at", "2026-03-02T08:03:00"), r"entry 10, readings.at\[3\]: ", False),
        (reading("at", "2026-03-02T07:00:00Z"), r"entry 10 \(.*\): Reading 4 is not later", False),
        (swap, r"entry 5 \(coat\): |head: ", False),
        (top(head="0" * 64), "head: the document was changed after it was written", False),
        (record(9, note="more"), "head: the document was changed after it was written", False),
    ],
)
def test_what_is_wrong_is_refused_with_its_place(
    document: Path, target: Path, change: Change, named: str, in_schema: bool
) -> None:
    changed(document, change)
    with pytest.raises(BadDocumentError, match=named):
        import_book(document, target)
    assert not target.exists()
    assert [file for file in target.parent.iterdir() if "unfinished" in file.name] == []
    # The schema knows shapes, not the rules between records; it must never refuse a good one.
    assert VALIDATOR.is_valid(json.loads(document.read_text("utf-8"))) is not in_schema


def test_an_id_used_twice_is_named(document: Path, target: Path) -> None:
    changed(document, lambda told: told["entries"].insert(5, told["entries"][4]))
    with pytest.raises(BadDocumentError, match=r"entry 6 \(coat\), id: an entry before this"):
        import_book(document, target)


@pytest.mark.parametrize(
    ("data", "named"),
    [
        (b"", "not whole JSON text"),
        (b"{", "not whole JSON text"),
        (b"\xff\xfe{}", "not whole JSON text"),
        (b"[1, 2]", "Expected `object`, got `array`"),
        (b"{}", "this is no book"),
        (b"[" * 200_000, "Expected `object`, got `array`"),
        (
            b'{"format": "shellcoat book", "version": 1, "entries": ' + b"[" * 200_000,
            "nested far too deep",
        ),
        (b'{"format": "shellcoat book", "version": 1, "entries": [', "not whole JSON text"),
        (b'{"format": "shellcoat book", "version": 1}', "missing required field"),
        (b'{"format": "shellcoat \\ud800 book"}', "not whole JSON text"),
    ],
)
def test_what_is_no_document_is_refused(
    tmp_path: Path, target: Path, data: bytes, named: str
) -> None:
    path = tmp_path / "x.json"
    path.write_bytes(data)
    with pytest.raises(BadDocumentError, match=named):
        import_book(path, target)
    assert not target.exists()


def test_a_document_that_is_not_there_is_refused(tmp_path: Path, target: Path) -> None:
    with pytest.raises(BadDocumentError, match="cannot be read"):
        import_book(tmp_path / "nothing.json", target)
    with pytest.raises(BadDocumentError, match="cannot be read"):
        import_book(tmp_path, target)


def test_a_document_too_large_is_refused_unread(
    document: Path, target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(exchange, "LARGEST_BYTES", document.stat().st_size - 1)
    with pytest.raises(BadDocumentError, match="more than the"):
        import_book(document, target)


def test_without_its_head_a_changed_document_is_taken_as_it_is(
    document: Path, target: Path
) -> None:
    def change(told: dict[str, Any]) -> None:
        del told["head"]
        told["entries"][8]["record"]["note"] = "by the door"

    import_book(changed(document, change), target)
    with open_book(target) as found:
        assert [reading.note for reading in found.ledger.typed_readings] == ["by the door"]


def test_a_document_written_by_hand_may_leave_out_what_has_a_default(
    document: Path, target: Path
) -> None:
    def change(told: dict[str, Any]) -> None:
        del told["head"]
        for told_entry in told["entries"]:
            for name in ("station", "replaces", "reason", "slot"):
                if not told_entry[name]:
                    del told_entry[name]
        del told["entries"][1]["record"]["note"]

    import_book(changed(document, change), target)
    with open_book(target) as found:
        assert found.ledger.rooms[0].note == ""


def test_a_record_from_before_a_field_was_added_keeps_its_hash(
    told_book: Book, path: Path, target: Path, tmp_path: Path
) -> None:
    """A book of an older program, whose rooms had no note, is still the same book."""
    import_book(_without_room_note(told_book, tmp_path), target)
    with open_book(target) as older:
        export_book(older, tmp_path / "older.json")
        told = json.loads((tmp_path / "older.json").read_text("utf-8"))
        assert "note" not in told["entries"][1]["record"]
        import_book(tmp_path / "older.json", tmp_path / "again.shellbook")
        with open_book(tmp_path / "again.shellbook") as again:
            assert again.head == older.head
            assert again.ledger == older.ledger


def _without_room_note(book: Book, folder: Path) -> Path:
    def change(told: dict[str, Any]) -> None:
        del told["entries"][1]["record"]["note"]
        del told["head"]

    export_book(book, folder / "x.json")
    return changed(folder / "x.json", change)


def test_an_import_never_takes_the_place_of_a_file(document: Path, target: Path) -> None:
    target.write_text("precious")
    with pytest.raises(BookExistsError):
        import_book(document, target)
    assert target.read_text() == "precious"


def test_an_export_replaces_the_one_before_only_when_it_is_done(
    told_book: Book, document: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = document.read_bytes()

    def fail(_: Book) -> list[str]:
        raise OSError("no room")

    with monkeypatch.context() as patch:
        patch.setattr(exchange, "pieces", fail)
        with pytest.raises(NotSavedError, match="no room"):
            export_book(told_book, document)
    assert document.read_bytes() == before
    told_book.append(
        [replace(an_entry(told_book.ledger.rooms[0]), replaces=_room_entry(told_book))]
    )
    export_book(told_book, document)
    assert document.read_bytes() != before
    assert [file.name for file in document.parent.glob("*unfinished*")] == []


def _room_entry(book: Book) -> object:
    return book.ledger.live[ROOM].id


def test_an_export_holds_what_another_program_has_just_added(
    book: Book, path: Path, tmp_path: Path, target: Path
) -> None:
    with open_book(path) as other:
        other.append([an_entry(replace(book.ledger.rooms[0], id=an_id("new room")))])
    export_book(book, tmp_path / "x.json")
    import_book(tmp_path / "x.json", target)
    with open_book(target, read_only=True) as found:
        assert len(found.ledger.rooms) == 2


def test_an_empty_book_can_be_exported(tmp_path: Path, target: Path) -> None:
    with create_book(tmp_path / "empty.shellbook", now=NOW) as empty:
        export_book(empty, tmp_path / "empty.json")
        import_book(tmp_path / "empty.json", target)
        with open_book(target) as found:
            assert found.head == empty.head
    told = json.loads((tmp_path / "empty.json").read_text())
    assert told["entries"] == []


def test_a_book_somebody_has_been_at_is_exported_as_it_stands_but_not_taken_for_the_original(
    path: Path, tmp_path: Path, target: Path
) -> None:
    new_book(path).close()
    by_hand(path, "DROP TRIGGER entry_no_update", "UPDATE entry SET who = 'Mallory' WHERE seq = 2")
    with open_book(path) as book:
        export_book(book, tmp_path / "x.json")
    with pytest.raises(BadDocumentError, match="head"):
        import_book(tmp_path / "x.json", target)
