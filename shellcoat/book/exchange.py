"""A book as one document, out and in: for keeping, for moving, for other programs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from pathlib import Path
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

from shellcoat.book import document
from shellcoat.book.book import Book
from shellcoat.book.document import BadDocumentError, placed
from shellcoat.book.faults import NotSavedError
from shellcoat.book.folders import discard, put_in_place
from shellcoat.book.journal import Line
from shellcoat.book.opening import building
from shellcoat.book.shifting import shifted
from shellcoat.shop import Ledger

LARGEST_BYTES = 2 * 1024**3
"""Some thousand photos; reading takes about twice that in memory."""


def export_book(book: Book, json_path: Path) -> None:
    """Write a whole book as one document; a file of that name is replaced when it is done."""
    unfinished = json_path.with_name(f".{json_path.name}.unfinished")
    try:
        with unfinished.open("w", encoding="utf-8", newline="\n") as file:
            file.writelines(pieces(book))
        put_in_place(unfinished, json_path)
    except OSError as cause:
        raise NotSavedError(json_path, str(cause)) from cause
    finally:
        discard(unfinished)


def exported(book: Book) -> Sequence[str]:
    """Give the whole document of a book, in pieces."""
    return list(pieces(book))


def pieces(book: Book) -> Iterator[str]:
    """Give the document of a book piece by piece, no more than one photo at a time."""
    lines, head = book.read_through()
    identity = document.Identity(book.id, book.created_at)
    return document.write(identity, head, lines, book.pictures)


def import_book(
    json_path: Path,
    book_path: Path,
    *,
    shift: Callable[[datetime], datetime] | None = None,
    until: datetime | None = None,
    clock: ZoneInfo | None = None,
) -> None:
    """Make a book from a document: all of it, or nothing and the place that is wrong.

    `shift` moves every time in it, onto the wall clock `clock` if that is given; what was
    recorded after `until`, in shifted time, is left out, and so are later readings. Either makes
    it another book, with an id of its own.
    """
    told = document.read(_bytes_of(json_path))
    lines = [document.line_of(number, line) for number, line in enumerate(told.entries, start=1)]
    _refuse_disorder(lines)
    book_id, created_at, head = told.book.id, told.book.created_at, told.head
    if shift is not None or until is not None:
        lines = shifted(lines, shift, until, clock)
        book_id, created_at, head = uuid4(), shift(created_at) if shift else created_at, None
    with building(book_path, book_id=book_id, created_at=created_at) as book:
        book.take_in(lines)
        if head is not None and head != book.head:
            raise BadDocumentError(
                "head",
                "the document was changed after it was written. Get the original, or take out "
                "the head to import it as it is now.",
            )


def _bytes_of(path: Path) -> bytes:
    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise BadDocumentError(
                str(path), f"it has {size:,} bytes, more than the {LARGEST_BYTES:,} taken here."
            )
        return path.read_bytes()
    except OSError as cause:
        raise BadDocumentError(str(path), f"it cannot be read ({cause}).") from cause


def _refuse_disorder(lines: Sequence[Line]) -> None:
    """Say which entry does not fit those before it."""
    ledger = Ledger()
    slots: dict[str, UUID] = {}
    for number, line in enumerate(lines, start=1):
        entry = line.entry
        with placed(number, entry.kind):
            if entry.id in ledger.entries:
                raise BadDocumentError("id", "an entry before this one has the same id.")
            if line.slot is not None and slots.setdefault(line.slot, entry.id) != entry.id:
                raise BadDocumentError("slot", f"{line.slot} is taken by an entry before it.")
            ledger.apply(entry)
