"""Logger files as text: what encoding they are in, and their lines, block by block."""

from __future__ import annotations

import codecs
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from charset_normalizer import from_bytes

from shellcoat.feeds.errors import (
    EmptyFileError,
    FileTooLargeError,
    NotTextError,
    SpreadsheetGivenError,
    UnreadableFileError,
)

LARGEST_BYTES = 2_000_000_000
LONGEST_LINE = 100_000
HEAD_BYTES = 131_072
PATCH_BYTES = 16_384
PATCHES = 24
BLOCK_BYTES = 1 << 20

BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
# First bytes of zip (xlsx, ods) and of the older compound workbooks; from memory.
WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
# Single- and double-byte encodings that logger programs still write; common practice.
LEGACY = (
    "cp1252", "cp1250", "cp1251", "cp1253", "cp1254", "cp437", "cp850", "mac_roman",
    "cp932", "gb18030", "big5", "cp949",
)  # fmt: skip
DEGREES = re.compile(r"[°º˚]\s?[CFK]\b|℃|℉")
CONTROLS = bytes(set(range(32)) - set(b"\t\n\r\f\x1a\x1b")) + b"\x7f"
MOST_CONTROLS = 0.05


@dataclass(frozen=True, slots=True)
class LineBlock:
    """Some lines of a file; `first` is the number of the first one, counted from 1."""

    lines: list[str]
    first: int
    bytes_read: int


def checked_size(path: Path) -> int:
    """Size of a file that can be read [bytes]; refuses what is none, empty or too large."""
    try:
        if not path.is_file():
            raise UnreadableFileError(path.name, "not a file")
        size = path.stat().st_size
    except (OSError, ValueError) as error:
        raise UnreadableFileError(path.name, str(error)) from error
    if size == 0:
        raise EmptyFileError(path.name)
    if size > LARGEST_BYTES:
        raise FileTooLargeError(path.name, size, LARGEST_BYTES)
    return size


def detect_encoding(name: str, head: bytes) -> str:
    """Encoding of a file from its first bytes; refuses what is not text."""
    if head.startswith(WORKBOOKS):
        raise SpreadsheetGivenError(name)
    for bom, encoding in BOMS:
        if head.startswith(bom):
            return encoding
    wide = _wide_encoding(head)
    if wide is not None:
        return wide
    if len(head) - len(head.translate(None, CONTROLS)) > MOST_CONTROLS * len(head):
        raise NotTextError(name)
    if _is_utf8(head):
        return "utf-8"
    return _legacy_encoding(head)


def _wide_encoding(head: bytes) -> str | None:
    """UTF-16 without a mark: nearly every second byte of a logger file is zero."""
    even, odd = head[0::2].count(0), head[1::2].count(0)
    half = len(head) / 2
    if odd > 0.7 * half and even < 0.05 * half:
        return "utf-16-le"
    if even > 0.7 * half and odd < 0.05 * half:
        return "utf-16-be"
    return None


def _is_utf8(head: bytes) -> bool:
    try:
        codecs.getincrementaldecoder("utf-8")("strict").decode(head)
    except UnicodeDecodeError:
        return False
    return True


def _legacy_encoding(head: bytes) -> str:
    """The encoding under which the telling lines read best, a degree sign before all else."""
    telling = dict.fromkeys(line for line in head.splitlines() if not line.isascii())
    text = b"\n".join(list(telling)[:50])[:20_000]
    best = from_bytes(text, cp_isolation=list(LEGACY)).best()
    guess = best.encoding if best is not None else "cp1252"
    for encoding in (guess, *LEGACY):
        if DEGREES.search(text.decode(encoding, "replace")):
            return encoding
    return guess


def read_head(path: Path) -> bytes:
    """The first bytes of a file."""
    try:
        with path.open("rb") as raw:
            return raw.read(HEAD_BYTES)
    except OSError as error:
        raise UnreadableFileError(path.name, str(error)) from error


def lines_of(data: bytes, encoding: str) -> list[str]:
    """All lines of some bytes, whatever ends them; faulty bytes become question marks."""
    text = _decoder(encoding).decode(data, final=True)
    return [line[:LONGEST_LINE] for line in text.removeprefix("\ufeff").split("\n")]


def read_patches(path: Path, encoding: str, size: int) -> list[list[str]]:
    """Whole lines from places spread over the file, its end included, in file order."""
    if size <= HEAD_BYTES:
        return []
    spread = max(size - PATCH_BYTES - HEAD_BYTES, 0)
    starts = sorted({(HEAD_BYTES + spread * i // (PATCHES - 1)) & ~3 for i in range(PATCHES)})
    patches = []
    try:
        with path.open("rb") as raw:
            for start in starts:
                raw.seek(start)
                patches.append(lines_of(raw.read(PATCH_BYTES), encoding)[1:-1])
    except OSError as error:
        raise UnreadableFileError(path.name, str(error)) from error
    return patches


def read_lines(path: Path, encoding: str, want: int) -> Iterator[LineBlock]:
    """All lines in blocks of `want`; a line past the limit is cut just behind it."""
    pending: list[str] = []
    number = 1
    for text, done, last in _texts(path, encoding):
        *whole, tail = text.split("\n")
        pending += whole
        if last and tail:
            pending.append(tail)
        while len(pending) >= want or (last and pending):
            yield LineBlock(pending[:want], number, done)
            number += len(pending[:want])
            del pending[:want]


def _texts(path: Path, encoding: str) -> Iterator[tuple[str, int, bool]]:
    """Pieces of text that begin at a line's start, the bytes read so far, and if it was all.

    What stands behind the last line end is carried to the next piece, but no longer than a
    line may be, so that a file without line ends does not fill the memory.
    """
    decoder = _decoder(encoding)
    carried = ""
    done = 0
    for block in _raw_blocks(path):
        done += len(block)
        text = carried + decoder.decode(block)
        cut = text.rfind("\n") + 1
        carried = text[cut:][: LONGEST_LINE + 1]
        if cut:
            yield text[:cut].removeprefix("\ufeff"), done, False
    rest = carried + decoder.decode(b"", final=True)
    yield rest.removeprefix("\ufeff"), done, True


def _raw_blocks(path: Path) -> Iterator[bytes]:
    try:
        with path.open("rb") as raw:
            while block := raw.read(BLOCK_BYTES):
                yield block
    except OSError as error:
        raise UnreadableFileError(path.name, str(error)) from error


def _decoder(encoding: str) -> io.IncrementalNewlineDecoder:
    plain = codecs.getincrementaldecoder(encoding)("replace")
    return io.IncrementalNewlineDecoder(plain, translate=True)
