"""Photos in the book: kept once, never changed, carried whole out and in, and checked."""

from __future__ import annotations

import base64
import hashlib
import json
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from book_builders import (
    NOW,
    SHELL,
    a_shell,
    a_withdrawal,
    an_entry,
    an_id,
    at,
    by_hand,
    new_book,
)
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shellcoat.book import Book, open_book
from shellcoat.book.backup import back_up, restore
from shellcoat.book.check import check_book
from shellcoat.book.document import BadDocumentError
from shellcoat.book.exchange import export_book, exported, import_book
from shellcoat.book.faults import OlderBookError, PictureError
from shellcoat.book.folders import backup_folder
from shellcoat.book.pictures import LARGEST_PICTURE_BYTES, LARGEST_THUMBNAIL_BYTES, Pictures
from shellcoat.book.schema import PUBLISHED
from shellcoat.shop import Entry, Photo
from shellcoat.shop.ledger import NoSuchEntryError, WrongReplacementError

SAMPLE = Path(__file__).parent / "samples" / "version_1.sql"
PICTURES = Pictures(bytes(range(256)) * 9, b"\xff\xd8 small \x00")


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def a_photo(name: object = "photo", pictures: Pictures = PICTURES, **changes: Any) -> Photo:
    photo = Photo(
        id=an_id(name),
        shell_id=SHELL,
        taken_at=at(2),
        width=1600,
        height=1200,
        sha256=sha256(pictures.image),
        thumbnail_sha256=sha256(pictures.thumbnail),
        caption="Riss am Hals — 3½ mm",
    )
    return replace(photo, **changes)


@pytest.fixture
def kept(book: Book) -> Entry:
    entry = an_entry(a_photo(), 2)
    book.add_photo(entry, PICTURES)
    return entry


@pytest.fixture
def document(book: Book, kept: Entry, tmp_path: Path) -> Path:
    export_book(book, tmp_path / "exported.json")
    return tmp_path / "exported.json"


def rows(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("SELECT count(*) FROM picture").fetchone()[0])


def test_a_photo_comes_back_to_the_byte(path: Path, book: Book, kept: Entry) -> None:
    book.close()
    with open_book(path) as again:
        assert again.ledger.photos(SHELL) == (kept.record,)
        assert again.pictures(kept.record) == PICTURES
        assert again.picture(sha256(PICTURES.thumbnail)) == PICTURES.thumbnail
    assert check_book(path).sound
    assert check_book(path).photos == 1


def test_photos_come_by_the_time_they_were_taken(book: Book, kept: Entry) -> None:
    book.add_photo(an_entry(a_photo("early", taken_at=at(1)), 3), PICTURES)
    assert [photo.taken_at for photo in book.ledger.photos(SHELL)] == [at(1), at(2)]
    assert book.ledger.photos(an_id("another")) == ()


def test_the_same_picture_is_kept_once(path: Path, book: Book, kept: Entry) -> None:
    book.add_photo(an_entry(a_photo("again"), 3), PICTURES)
    assert rows(path) == 2  # the picture and its thumbnail
    book.append([a_withdrawal(kept, 4)])
    assert len(book.ledger.photos(SHELL)) == 1
    assert check_book(path).sound


def test_adding_twice_is_as_good_as_once(path: Path, book: Book, kept: Entry) -> None:
    book.add_photo(kept, PICTURES)
    assert len(book.ledger.photos(SHELL)) == 1


def test_a_caption_is_corrected_without_its_picture(path: Path, book: Book, kept: Entry) -> None:
    corrected = replace(kept.record, caption="Crack at the neck", about=an_id("coat"))
    book.append([an_entry(corrected, 5, replaces=kept.id, reason="In English")])
    assert book.ledger.photos(SHELL) == (corrected,)
    assert check_book(path).sound
    assert check_book(path).photos == 1


def test_a_correction_cannot_turn_one_picture_into_another(book: Book, kept: Entry) -> None:
    other = replace(kept.record, sha256="0" * 64)
    with pytest.raises(WrongReplacementError, match="keeps its picture"):
        book.append([an_entry(other, 5, replaces=kept.id)])


@pytest.mark.parametrize(
    ("photo", "pictures", "named"),
    [
        (a_photo(sha256="0" * 64), PICTURES, "picture is not the one"),
        (a_photo(thumbnail_sha256="0" * 64), PICTURES, "thumbnail is not the one"),
        (a_photo(), Pictures(b"", b"x"), "picture has 0 bytes"),
        (a_photo(), Pictures(b"x" * (LARGEST_PICTURE_BYTES + 1), b"x"), "1 to 1,048,576"),
        (
            a_photo(pictures=Pictures(b"x", b"y" * (LARGEST_THUMBNAIL_BYTES + 1))),
            Pictures(b"x", b"y" * (LARGEST_THUMBNAIL_BYTES + 1)),
            "thumbnail has 65,537 bytes",
        ),
    ],
)
def test_pictures_that_do_not_fit_their_photo_are_refused(
    path: Path, book: Book, photo: Photo, pictures: Pictures, named: str
) -> None:
    with pytest.raises(PictureError, match=named):
        book.add_photo(an_entry(photo, 2), pictures)
    assert rows(path) == 0


def test_a_photo_without_its_picture_and_a_picture_without_a_photo_are_refused(
    book: Book,
) -> None:
    with pytest.raises(PictureError, match="without its picture"):
        book.append([an_entry(a_photo(), 2)])
    with pytest.raises(PictureError, match="belong to a new photo"):
        book.add_photo(an_entry(a_shell("other"), 2), PICTURES)
    with pytest.raises(NoSuchEntryError, match="The photo belongs to a shell"):
        book.add_photo(an_entry(a_photo(shell_id=an_id("gone")), 2), PICTURES)


def test_the_largest_picture_is_kept(path: Path, book: Book) -> None:
    pictures = Pictures(os.urandom(LARGEST_PICTURE_BYTES), os.urandom(LARGEST_THUMBNAIL_BYTES))
    photo = a_photo(pictures=pictures)
    book.add_photo(an_entry(photo, 2), pictures)
    assert book.pictures(photo) == pictures


# Nothing kept can be changed.


@pytest.mark.parametrize("recursive", [0, 1])
@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE picture SET data = x'00'",
        "UPDATE OR REPLACE picture SET sha256 = (SELECT max(sha256) FROM picture)",
        "DELETE FROM picture",
        "INSERT OR REPLACE INTO picture SELECT sha256, x'00' FROM picture",
        "INSERT OR IGNORE INTO picture SELECT sha256, x'00' FROM picture",
    ],
)
def test_a_kept_picture_stays(
    path: Path, book: Book, kept: Entry, statement: str, recursive: int
) -> None:
    book.close()
    with closing(sqlite3.connect(path, isolation_level=None)) as stranger:
        stranger.execute(f"PRAGMA recursive_triggers = {recursive}")
        with pytest.raises(sqlite3.IntegrityError, match="only ever added to"):
            stranger.execute(statement)
    with open_book(path) as again:
        assert again.pictures(kept.record) == PICTURES


@pytest.mark.parametrize(
    ("values", "named"),
    [
        ("('short', x'00')", "digest_length"),
        (f"('{'0' * 64}', x'')", "picture_size"),
        (f"('{'0' * 64}', zeroblob(1048577))", "picture_size"),
        (f"('{'0' * 64}', 'text')", "cannot store TEXT"),
        (f"('{'0' * 64}', NULL)", "NOT NULL"),
    ],
)
def test_the_table_takes_pictures_only(path: Path, book: Book, values: str, named: str) -> None:
    book.close()
    with (
        closing(sqlite3.connect(path, isolation_level=None)) as stranger,
        pytest.raises(sqlite3.IntegrityError, match=named),
    ):
        stranger.execute("INSERT INTO picture VALUES " + values)  # noqa: S608


UNGUARD = ("DROP TRIGGER picture_no_update", "DROP TRIGGER picture_no_delete")


@pytest.mark.parametrize(
    ("tampering", "named"),
    [
        ("UPDATE picture SET data = x'00' WHERE length(data) > 99", "picture is not the one"),
        ("UPDATE picture SET data = x'00' WHERE length(data) < 99", "thumbnail is not the one"),
        ("DELETE FROM picture WHERE length(data) > 99", "entry 5: A picture of this book"),
        ("INSERT INTO picture VALUES (printf('%064d', 0), x'00')", "picture 000000000000: no"),
        ("DROP TRIGGER picture_once", "picture_once"),
    ],
)
def test_tampering_with_a_picture_is_found(
    path: Path, book: Book, kept: Entry, tampering: str, named: str
) -> None:
    book.close()
    by_hand(path, *UNGUARD, tampering)
    report = check_book(path)
    assert any(named in problem for problem in report.problems), report.problems


# Out and in.


def test_an_export_carries_every_photo(
    book: Book, kept: Entry, document: Path, tmp_path: Path
) -> None:
    told = json.loads(document.read_text("utf-8"))
    (line,) = (line for line in told["entries"] if line["kind"] == "photo")
    assert base64.b64decode(line["pictures"]["image"], validate=True) == PICTURES.image
    schema = json.loads(PUBLISHED.read_text("utf-8"))
    jsonschema.validate(told, schema, cls=jsonschema.Draft202012Validator)
    import_book(document, tmp_path / "again.shellbook")
    with open_book(tmp_path / "again.shellbook") as found:
        assert found.ledger == book.ledger
        assert found.head == book.head
        assert found.pictures(kept.record) == PICTURES
        assert exported(found) == exported(book)
    assert check_book(tmp_path / "again.shellbook").sound


@settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(st.binary(min_size=1, max_size=99), min_size=1, max_size=4), st.data())
def test_any_photos_come_back_whole(
    tmp_path_factory: pytest.TempPathFactory, blobs: list[bytes], data: st.DataObject
) -> None:
    """Also where two photos share a picture, or one's picture is another's thumbnail."""
    folder = tmp_path_factory.mktemp("photos")
    with new_book(folder / "a.shellbook") as book:
        for number in range(3):
            pictures = Pictures(*(data.draw(st.sampled_from(blobs)) for _ in range(2)))
            photo = a_photo(number, pictures)
            book.add_photo(an_entry(photo, 2), pictures)
        export_book(book, folder / "a.json")
        import_book(folder / "a.json", folder / "b.shellbook")
        with open_book(folder / "b.shellbook") as found:
            for photo in book.ledger.photos(SHELL):
                assert found.pictures(photo) == book.pictures(photo)
    assert check_book(folder / "b.shellbook").sound


def test_a_corrected_photo_is_carried_with_its_history(
    book: Book, kept: Entry, tmp_path: Path
) -> None:
    corrected = replace(kept.record, caption="")
    book.append([an_entry(corrected, 5, replaces=kept.id)])
    export_book(book, tmp_path / "a.json")
    import_book(tmp_path / "a.json", tmp_path / "b.shellbook")
    with open_book(tmp_path / "b.shellbook") as found:
        assert found.head == book.head
        assert found.pictures(corrected) == PICTURES


Change = Callable[[dict[str, Any]], object]


@pytest.mark.parametrize(
    ("change", "named"),
    [
        (lambda line: line.pop("pictures"), "entry 5 .photo.: A photo cannot be kept without"),
        (lambda line: line["pictures"].update(image="AAAA"), "picture is not the one"),
        (lambda line: line["pictures"].update(image="?"), "entry 5"),
        (lambda line: line["pictures"].update(image=""), "entry 5"),
        (lambda line: line["pictures"].update(image="A" * 1_400_000), "entry 5"),
        (lambda line: line["pictures"].update(film="AAAA"), "entry 5"),
        (lambda line: line["record"].update(sha256="short"), "does not name its picture"),
        (lambda line: line["record"].update(media_type="text/html"), "no kind of picture"),
        (lambda line: line["record"].update(width=5000), "Width of the photo"),
    ],
)
def test_a_document_whose_photo_does_not_hold_together_is_refused_at_its_place(
    document: Path, tmp_path: Path, change: Change, named: str
) -> None:
    told = json.loads(document.read_text("utf-8"))
    change(told["entries"][4])
    document.write_text(json.dumps(told), "utf-8")
    with pytest.raises(BadDocumentError, match=named):
        import_book(document, tmp_path / "b.shellbook")
    assert not (tmp_path / "b.shellbook").exists()


def test_a_story_moved_in_time_keeps_its_photos(
    book: Book, kept: Entry, document: Path, tmp_path: Path
) -> None:
    weeks = timedelta(weeks=5)
    import_book(document, tmp_path / "b.shellbook", shift=lambda moment: moment + weeks)
    with open_book(tmp_path / "b.shellbook") as moved:
        (photo,) = moved.ledger.photos(SHELL)
        assert photo == replace(kept.record, taken_at=at(2) + weeks)
        assert moved.pictures(photo) == PICTURES
    assert check_book(tmp_path / "b.shellbook").sound


def test_a_backup_holds_the_photos(path: Path, book: Book, kept: Entry, tmp_path: Path) -> None:
    copy = back_up(book, tmp_path / "copies", NOW)
    book.close()
    restore(copy, path, NOW)
    with open_book(path) as again:
        assert again.pictures(kept.record) == PICTURES


# Books of before.


@pytest.fixture
def old(path: Path) -> Path:
    """A populated book as a program of version 1 left it."""
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(SAMPLE.read_text("utf-8"))
    return path


def dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        version = connection.execute("PRAGMA user_version").fetchone()
        return [*connection.iterdump(), str(version)]


def test_a_book_of_version_1_is_copied_updated_and_takes_photos(old: Path) -> None:
    before = dump(old)
    with pytest.raises(OlderBookError):
        open_book(old, read_only=True)
    with open_book(old) as book:
        assert f"'{book.head}'" in "".join(before)  # the chain goes on where it stood
        assert len(book.ledger.coats(SHELL)) == 1
        assert book.ledger.shell(SHELL) == a_shell()
        book.add_photo(an_entry(a_photo(), 20), PICTURES)
    kept = backup_folder(old) / f"{old.stem} before version 2.shellbook"
    assert dump(kept) == before
    report = check_book(old)
    assert report.problems == []
    assert (report.entries, report.readings, report.photos) == (11, 50, 1)
    with open_book(old) as again:
        assert again.pictures(a_photo()) == PICTURES


def test_a_book_of_version_1_is_checked_as_what_it_is(old: Path) -> None:
    report = check_book(old)
    assert report.problems == []
    assert (report.entries, report.readings) == (10, 50)
    by_hand(old, "DROP TRIGGER entry_no_delete")
    assert check_book(old).problems == ["guards against change are missing: entry_no_delete"]
