"""What can go wrong with a book: what a person can mend, and faults of the world."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from shellcoat.errors import MendableError, ShellcoatError, WorldError
from shellcoat.shop import Entry


class NoBookError(MendableError):
    """A path at which there is no file."""

    def __init__(self, path: Path) -> None:
        what = "is a folder" if path.is_dir() else "does not exist"
        super().__init__(f"{path} {what}. Choose a book, a file that ends in .shellbook.")


class BookExistsError(MendableError):
    """A new book where a file stands already."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} exists already. Choose another name; nothing was overwritten.")


class NoFolderError(MendableError):
    """A folder that is not there."""

    def __init__(self, folder: Path) -> None:
        super().__init__(f"There is no folder {folder}. Make it first, or choose another one.")


class NotABookError(MendableError):
    """A file that some other program made."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} is not a book of this program. It was left as it is.")


class NetworkFolderError(MendableError):
    """A book on a network folder, where locks and shared memory cannot be trusted."""

    def __init__(self, path: Path, filesystem: str) -> None:
        super().__init__(
            f"{path} lies on a network folder ({filesystem}), where a book can be damaged when "
            "two computers write at once. Move it to this computer's own disk, or open it to "
            "read only."
        )


class NewerBookError(WorldError):
    """A book written by a newer program."""

    def __init__(self, path: Path, version: int, ours: int) -> None:
        super().__init__(
            f"{path} is a book of version {version}; this program knows versions up to {ours}. "
            "Install the newer program to open it. The book was left as it is."
        )


class OlderBookError(WorldError):
    """A book of an older version that may not be brought up to date."""

    def __init__(self, path: Path, version: int) -> None:
        super().__init__(
            f"{path} is a book of the older version {version}. Open it once for writing, which "
            "brings it up to date after a backup."
        )


class DamagedBookError(WorldError):
    """A book whose file is broken."""

    def __init__(self, path: Path, what: str) -> None:
        super().__init__(
            f"{path} is damaged: {what}. The file was left as it is. Restore the last backup, "
            "or check the book to see what can be read."
        )
        self.what = what


class UpdateFailedError(WorldError):
    """A book that could not be brought up to the present version."""

    def __init__(self, path: Path, backup: Path, what: str) -> None:
        super().__init__(
            f"{path} could not be brought up to date: {what}. It stands as it was, and a copy "
            f"is kept at {backup}."
        )


class ReadOnlyBookError(WorldError):
    """A book that cannot be written: write-protected, or opened to read only."""

    def __init__(self, path: Path, what: str) -> None:
        super().__init__(
            f"{path} cannot be written: {what}. Open it to read only, or copy it to a folder "
            "you may write to."
        )


class BookBusyError(WorldError):
    """A book that another program is writing to, longer than anyone should wait."""

    def __init__(self, path: Path, holder: str) -> None:
        super().__init__(
            f"{path} is being written by {holder}. Nothing was saved; try again in a moment."
        )
        self.holder = holder


class ClosedBookError(WorldError):
    """A book that was closed and is asked all the same."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} has been closed. Open it again.")


class BookInUseError(WorldError):
    """A book that is open elsewhere and so cannot be put aside."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} is open in another window or program. Close it there first.")


class DiskError(WorldError):
    """A disk that will not read."""

    def __init__(self, path: Path, what: str) -> None:
        super().__init__(f"{path} could not be read: {what}. Check the disk, then open it again.")


class NotSavedError(WorldError):
    """Entries that are certainly not in the book."""

    def __init__(self, path: Path, what: str) -> None:
        super().__init__(
            f"Not saved in {path}: {what}. The book stands as it was before; put that right "
            "and save again."
        )


class SaveUnknownError(WorldError):
    """Entries of which nobody can say whether they are in the book."""

    def __init__(self, path: Path, what: str) -> None:
        super().__init__(
            f"The disk failed while saving in {path}: {what}. Whether it was kept could not be "
            "found out. Open the book again and look before you log it a second time."
        )


class SlotTakenError(MendableError):
    """Something that was logged before, by this person or another."""

    def __init__(self, entry: Entry, logged_at: str) -> None:
        super().__init__(
            f"{entry.who} has logged this already, at {logged_at}. "
            "Look at that entry; correct it if it is wrong."
        )
        self.entry = entry


class EntryIdReusedError(MendableError):
    """Two different entries under one id."""

    def __init__(self, entry: Entry) -> None:
        super().__init__(
            f"The id {entry.id} belongs to another entry of this book, by {entry.who}. "
            "Log it again as a new entry."
        )
        self.entry = entry


class UnstorableRecordError(MendableError):
    """A record that would not come back as it went in."""


class UnknownKindError(MendableError):
    """A record of a kind this program does not know."""

    def __init__(self, kind: str) -> None:
        super().__init__(f"Records of the kind {kind!r} are not known here.")


class PictureError(MendableError):
    """Pictures that are missing, too large, or do not fit their photo."""


class ReadingsError(MendableError):
    """Readings that are out of order, out of range or do not fit their batch."""


NAMES = {
    "SQLITE_FULL": "the disk is full",
    "SQLITE_READONLY": "the file is write-protected",
    "SQLITE_IOERR": "the disk reported an error",
    "SQLITE_CANTOPEN": "the file cannot be opened",
    "SQLITE_CONSTRAINT": "it does not fit the rules of the book",
    "SQLITE_TOOBIG": "it is too large",
    "SQLITE_NOMEM": "there is not enough memory",
}


def primary_name(error: sqlite3.Error) -> str:
    """Tell the primary result code of an error, such as SQLITE_IOERR for any failed access."""
    name = getattr(error, "sqlite_errorname", None) or "SQLITE_ERROR"
    return "_".join(name.split("_")[:2])


def in_words(error: sqlite3.Error) -> str:
    """Say what the database meant."""
    words = NAMES.get(primary_name(error))
    return f"{words} ({error})" if words else str(error)


def fault(path: Path, error: sqlite3.Error) -> ShellcoatError:
    """Turn what the database raised while reading into the error a person can read."""
    name = primary_name(error)
    if name == "SQLITE_NOTADB":
        return NotABookError(path)
    if name in {"SQLITE_CORRUPT", "SQLITE_ERROR"}:  # such as a table that is not there
        return DamagedBookError(path, str(error))
    if name in {"SQLITE_BUSY", "SQLITE_LOCKED"}:
        return BookBusyError(path, "another program")
    if name in {"SQLITE_READONLY", "SQLITE_PERM"}:
        return ReadOnlyBookError(path, in_words(error))
    return DiskError(path, in_words(error))
