"""Opening: everything is refused in words before anything is changed."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from uuid import uuid4

import pytest
from book_builders import (
    NOW,
    SHELL,
    a_coat,
    an_entry,
    by_hand,
    digest_of,
    full_book,
    new_book,
    opening_entries,
    start_python,
)

from shellcoat.book import create_book, folders, open_book
from shellcoat.book.connection import side_files
from shellcoat.book.faults import (
    BookExistsError,
    DamagedBookError,
    NetworkFolderError,
    NewerBookError,
    NoBookError,
    NoFolderError,
    NotABookError,
    ReadOnlyBookError,
)
from shellcoat.shop.ledger import NoSuchEntryError

BOTH_WAYS = pytest.mark.parametrize("read_only", [False, True])


@pytest.fixture
def closed(path: Path) -> Path:
    full_book(path).close()
    return path


@BOTH_WAYS
def test_nothing_there(tmp_path: Path, read_only: bool) -> None:
    with pytest.raises(NoBookError, match="does not exist"):
        open_book(tmp_path / "nothing.shellbook", read_only=read_only)
    with pytest.raises(NoBookError, match="is a folder"):
        open_book(tmp_path, read_only=read_only)
    assert list(tmp_path.iterdir()) == []


@BOTH_WAYS
@pytest.mark.parametrize(
    "content", [b"", b"hello", b"SQLite format 3\0" + b"x" * 2000, b"PK\3\4" * 500]
)
def test_another_kind_of_file(path: Path, content: bytes, read_only: bool) -> None:
    path.write_bytes(content)
    with pytest.raises(NotABookError, match="not a book"):
        open_book(path, read_only=read_only)
    assert path.read_bytes() == content
    assert list(path.parent.iterdir()) == [path]


@BOTH_WAYS
@pytest.mark.parametrize("mark", [0, 0x0F055112])
def test_another_programs_database(path: Path, mark: int, read_only: bool) -> None:
    by_hand(path, "CREATE TABLE t (x)", f"PRAGMA application_id = {mark}")
    before = digest_of(path)
    with pytest.raises(NotABookError):
        open_book(path, read_only=read_only)
    assert digest_of(path) == before
    assert list(path.parent.iterdir()) == [path]


@BOTH_WAYS
def test_a_newer_book(closed: Path, read_only: bool) -> None:
    by_hand(closed, "PRAGMA user_version = 7")
    before = digest_of(closed)
    with pytest.raises(NewerBookError, match="version 7; this program knows versions up to 2"):
        open_book(closed, read_only=read_only)
    assert digest_of(closed) == before


@BOTH_WAYS
def test_a_book_without_a_version_is_no_book(closed: Path, read_only: bool) -> None:
    by_hand(closed, "PRAGMA user_version = 0")
    with pytest.raises(NotABookError):
        open_book(closed, read_only=read_only)


def damage(path: Path) -> None:
    """Overwrite the middle of every page but the first with noise."""
    data = bytearray(path.read_bytes())
    for page in range(4096, len(data), 4096):
        data[page : page + 900] = bytes(range(7, 252)) * 3 + b"\xff" * 165
    path.write_bytes(bytes(data))


@BOTH_WAYS
def test_a_damaged_book(closed: Path, read_only: bool) -> None:
    damage(closed)
    before = digest_of(closed)
    with pytest.raises(DamagedBookError, match="Restore the last backup"):
        open_book(closed, read_only=read_only)
    assert digest_of(closed) == before


@BOTH_WAYS
def test_a_book_cut_short(closed: Path, read_only: bool) -> None:
    closed.write_bytes(closed.read_bytes()[: 4096 * 3])
    before = digest_of(closed)
    with pytest.raises(DamagedBookError):
        open_book(closed, read_only=read_only)
    assert digest_of(closed) == before


@BOTH_WAYS
def test_a_book_damaged_where_opening_need_not_look(closed: Path, read_only: bool) -> None:
    with closing(sqlite3.connect(closed)) as connection:
        query = "SELECT rootpage FROM sqlite_master WHERE name = 'air_reading'"
        (page,) = connection.execute(query).fetchone()
    data = bytearray(closed.read_bytes())
    data[(page - 1) * 4096 + 8 : page * 4096] = b"\xee" * 4088
    closed.write_bytes(bytes(data))
    before = digest_of(closed)
    with pytest.raises(DamagedBookError):
        open_book(closed, read_only=read_only)
    assert digest_of(closed) == before


@BOTH_WAYS
@pytest.mark.parametrize(
    "spoiling",
    [
        "UPDATE entry SET body = '{}' WHERE seq = 3",
        "UPDATE entry SET kind = 'kiln' WHERE seq = 3",
        "UPDATE entry SET id = 'me' WHERE seq = 3",
        "UPDATE entry SET recorded_at = 1 << 60 WHERE seq = 3",
        "DELETE FROM entry WHERE seq = 4",
        "UPDATE book_meta SET book_id = 'mine'",
        "DELETE FROM book_meta",
        "DROP TABLE book_meta",
    ],
)
def test_a_book_somebody_has_been_at(closed: Path, spoiling: str, read_only: bool) -> None:
    triggers = ("entry_no_update", "entry_no_delete", "book_meta_no_update", "book_meta_no_delete")
    by_hand(closed, *(f"DROP TRIGGER {name}" for name in triggers), spoiling)
    with pytest.raises(DamagedBookError):
        open_book(closed, read_only=read_only)


@BOTH_WAYS
def test_a_refused_book_is_let_go(closed: Path, read_only: bool) -> None:
    by_hand(closed, "DROP TRIGGER entry_no_update", "UPDATE entry SET body = '{}' WHERE seq = 3")
    for _ in range(2):  # a lock or a connection left behind would show the second time
        with pytest.raises(DamagedBookError):
            open_book(closed, read_only=read_only)
    with closing(sqlite3.connect(closed)) as other:
        assert other.execute("PRAGMA journal_mode = DELETE").fetchone() == ("delete",)


def test_what_a_killed_program_left_in_the_log_is_there(closed: Path, tmp_path: Path) -> None:
    entry = an_entry(a_coat(20), 20)
    killed = tmp_path / "killed.shellbook"
    with open_book(closed) as book:
        book.append([entry])
        for file, copy in zip(
            (closed, *side_files(closed)), (killed, *side_files(killed)), strict=True
        ):
            shutil.copyfile(file, copy)
    with open_book(killed) as found:
        assert entry.record in found.ledger.coats(SHELL)


def test_a_book_is_one_whatever_its_name(closed: Path, tmp_path: Path) -> None:
    link = tmp_path / "link to the book.shellbook"
    link.symlink_to(closed)
    with open_book(link) as book:
        assert book.path == closed.resolve()


@pytest.mark.parametrize("name", ["ä ö # ? % & 1.shellbook", "%41.shellbook", "日本.shellbook"])
def test_any_file_name_will_do(tmp_path: Path, name: str) -> None:
    with new_book(tmp_path / name) as book:
        book.append([an_entry(a_coat(1))])
    assert {file.name for file in tmp_path.iterdir()} == {name, name + ".lock"}
    with open_book(tmp_path / name, read_only=True) as book:
        assert len(book.ledger.coats(SHELL)) == 1


POSIX = pytest.mark.skipif(os.name != "posix", reason="files are protected in another way there")


def _mount(*arguments: object) -> None:
    command = ["mount", *map(str, arguments)]
    if subprocess.run(command, check=False, capture_output=True).returncode:
        pytest.skip("the administrator can write everywhere, and nothing can be mounted here")


@pytest.fixture
def protected_folder(tmp_path: Path) -> Iterator[Path]:
    """A folder nobody may write to; for the administrator it takes a mount to make one."""
    folder = tmp_path / "protected"
    folder.mkdir()
    if os.geteuid():
        full_book(folder / "book.shellbook").close()
        folder.chmod(0o555)
        yield folder
        folder.chmod(0o755)
        return
    _mount("-t", "tmpfs", "tmpfs", folder)
    full_book(folder / "book.shellbook").close()
    _mount("-o", "remount,ro", folder)
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


@POSIX
def test_a_protected_book_opens_to_read_only(protected_folder: Path) -> None:
    path = protected_folder / "book.shellbook"
    with pytest.raises(ReadOnlyBookError, match="Open it to read only"):
        open_book(path)
    with open_book(path, read_only=True) as book:
        assert len(book.ledger.coats(SHELL)) == 1
        assert book.refresh() == ()
        assert len(book.readings(book.ledger.rooms[0].id, NOW, NOW.replace(hour=23))) == 51


@pytest.fixture
def protected_file(closed: Path) -> Iterator[Path]:
    """A file nobody may write to, in a folder where one may."""
    if os.geteuid():
        closed.chmod(0o444)
        yield closed
        return
    _mount("--bind", closed, closed)
    _mount("-o", "remount,ro,bind", closed)
    yield closed
    subprocess.run(["umount", str(closed)], check=True)


@POSIX
def test_a_protected_file_opens_to_read_only(protected_file: Path) -> None:
    with pytest.raises(ReadOnlyBookError, match="Open it to read only"):
        open_book(protected_file)
    with open_book(protected_file, read_only=True) as book:
        assert len(book.ledger.coats(SHELL)) == 1


def test_a_network_folder_is_refused_but_can_be_read(
    closed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    mounts = tmp_path / "mounts"
    mounts.write_text(f"/dev/sda1 / ext4 rw 0 0\nserver:/a {tmp_path.resolve()} nfs4 rw 0 0\n")
    monkeypatch.setattr(folders, "MOUNTS", mounts)
    before = digest_of(closed)
    with pytest.raises(NetworkFolderError, match=r"network folder \(nfs4\)"):
        open_book(closed)
    with pytest.raises(NetworkFolderError):
        create_book(tmp_path / "new.shellbook", now=NOW)
    assert digest_of(closed) == before
    with open_book(closed, read_only=True) as book:
        assert len(book.ledger.shells) == 1


def test_a_new_book_never_takes_the_place_of_a_file(path: Path) -> None:
    path.write_text("precious")
    with pytest.raises(BookExistsError, match="nothing was overwritten"):
        create_book(path, now=NOW)
    assert path.read_text() == "precious"


def test_a_new_book_needs_a_folder(tmp_path: Path) -> None:
    with pytest.raises(NoFolderError):
        create_book(tmp_path / "nowhere" / "new.shellbook", now=NOW)


def test_a_new_book_that_fails_leaves_nothing(path: Path) -> None:
    orphan = an_entry(a_coat(1, shell_id=uuid4()))
    with pytest.raises(NoSuchEntryError):
        create_book(path, [*opening_entries(), orphan], now=NOW)
    assert list(path.parent.iterdir()) == []


def test_reading_changes_nothing(closed: Path) -> None:
    before = digest_of(closed)
    with open_book(closed, read_only=True) as book:
        assert book.read_through()[1] == book.head
    assert digest_of(closed) == before


LOADED = """
import sys
from pathlib import Path
from shellcoat.book import open_book

def loaded():
    print(*sorted({"alembic", "matplotlib", "numpy", "sqlalchemy"} & set(sys.modules)), flush=True)

with open_book(Path(sys.argv[1]), read_only=sys.argv[2] == "True") as book:
    book.refresh()
    loaded()
    book.read_through()
    loaded()
    book.warm_up()
    loaded()
"""


@pytest.mark.parametrize(("read_only", "warm"), [(True, "numpy"), (False, "numpy sqlalchemy")])
def test_a_book_loads_what_it_needs_when_it_needs_it(
    closed: Path, read_only: bool, warm: str
) -> None:
    """What is slow to load waits for a reading, for a worker, or for the first entry."""
    started = start_python("-c", LOADED, str(closed), str(read_only))
    assert started.communicate(timeout=60)[0].splitlines() == ["", "numpy", warm]
    assert started.returncode == 0
