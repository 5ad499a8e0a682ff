"""Files of photos made ready for the book: read with suspicion, made smaller, and stripped.

What a camera writes beside the picture (place, owner, serial number) goes with nobody's leave,
so nothing of it is kept: the picture is encoded anew. A file is looked at before it is decoded,
since a few bytes can claim to be a picture larger than any memory.
"""

from __future__ import annotations

import struct
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from pathlib import Path
from zoneinfo import ZoneInfo

from PIL import Image, ImageOps
from PIL.JpegImagePlugin import JpegImageFile
from PIL.PngImagePlugin import PngImageFile

from shellcoat.errors import MendableError

LARGEST_FILE_BYTES = 40 * 1024 * 1024
MOST_PIXELS = 64_000_000
"""Above what common cameras and telephones save; a quarter of a gigabyte in memory."""

LONGEST_SIDE, THUMBNAIL_SIDE = 1600, 240
MOST_BYTES = 600 * 1024
TRIES = ((LONGEST_SIDE, 85), (LONGEST_SIDE, 72), (1280, 65), (960, 50), (640, 40))
"""Longest side [pixels] and quality of the JPEG, until the picture is small enough to keep."""

_reading = threading.Lock()

JPEG_BEGINS, PNG_BEGINS = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"
EXIF_PART, TAKEN, TAKEN_OFFSET = 0x8769, 0x9003, 0x9011
"""Exif 2.32: the part with the camera's own times, DateTimeOriginal, OffsetTimeOriginal."""

BROKEN = (
    OSError,
    SyntaxError,  # what the decoder raises for chunks that are out of order
    ValueError,
    TypeError,
    KeyError,
    IndexError,
    EOFError,
    OverflowError,
    MemoryError,
    struct.error,
    Image.DecompressionBombError,
)
"""What decoders raise over broken files."""


class PhotoFileError(MendableError):
    """A file that cannot be kept as a photo."""

    def __init__(self, path: Path, what: str, remedy: str) -> None:
        super().__init__(f"{path.name} {what}. {remedy}")


@dataclass(frozen=True, slots=True)
class ReadyPhoto:
    """A photo as it can be kept: both JPEGs, the size [pixels], when the camera says it was taken.

    `taken_at` is None where the camera did not say.
    """

    image: bytes
    thumbnail: bytes
    width: int
    height: int
    taken_at: datetime | None


def read_photo(path: Path, zone: ZoneInfo) -> ReadyPhoto:
    """Make a JPEG or PNG file ready; a camera's clock is taken to show the time in `zone`."""
    data = _bytes_of(path)
    with _one_at_a_time(), _told_apart(path):
        picture = _open(path, data)
        _refuse_size(path, picture.size)
        taken_at = _taken_at(picture, zone)
        plain = _on_white(_upright(_decoded(picture)))
        image, size = _encoded(plain, path)
        thumbnail = plain.copy()
        thumbnail.thumbnail((THUMBNAIL_SIDE, THUMBNAIL_SIDE), Image.Resampling.LANCZOS)
        return ReadyPhoto(image, _jpeg(thumbnail, 75), *size, taken_at)


def _bytes_of(path: Path) -> bytes:
    try:
        if path.stat().st_size > LARGEST_FILE_BYTES:
            raise PhotoFileError(
                path,
                f"is larger than {LARGEST_FILE_BYTES // 1024**2} MB",
                "Save it smaller with a picture program and add that one.",
            )
        return path.read_bytes()
    except OSError as cause:
        raise PhotoFileError(path, f"cannot be read ({cause})", "Choose another file.") from cause


@contextmanager
def _one_at_a_time() -> Iterator[None]:
    """Hold back other workers: a picture takes much memory, and muting warnings is for all threads.

    The decoder warns of what is odd in the camera's notes, of which nothing is kept.
    """
    with _reading, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


@contextmanager
def _told_apart(path: Path) -> Iterator[None]:
    """Say of whatever a broken file makes the decoder raise that the file is broken."""
    try:
        yield
    except PhotoFileError:
        raise
    except BROKEN as cause:
        raise PhotoFileError(
            path,
            "is broken or only half there",
            "Copy it from the camera again, or take another photo.",
        ) from cause


def _open(path: Path, data: bytes) -> JpegImageFile | PngImageFile:
    # These two decoders and no other: the rest of the library never sees the file.
    if data.startswith(JPEG_BEGINS):
        return JpegImageFile(BytesIO(data))
    if data.startswith(PNG_BEGINS):
        return PngImageFile(BytesIO(data))
    raise PhotoFileError(
        path,
        "is neither a JPEG nor a PNG",
        "Set the camera to JPEG, or save the picture as one, and add that file.",
    )


def _refuse_size(path: Path, size: tuple[int, int]) -> None:
    wide, high = size
    if wide * high > MOST_PIXELS:
        raise PhotoFileError(
            path,
            f"says it is {wide:,} × {high:,} pixels, more than the {MOST_PIXELS // 10**6} million "
            "that are taken here",
            "Save it smaller with a picture program and add that one.",
        )


def _decoded(picture: JpegImageFile | PngImageFile) -> Image.Image:
    """Decode; of a large JPEG no more than is needed, which is several times quicker."""
    if isinstance(picture, JpegImageFile):
        picture.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
    picture.load()
    return picture


def _on_white(picture: Image.Image) -> Image.Image:
    """The picture without transparency, in plain colours, no larger than it is kept."""
    if picture.mode.startswith("I") or picture.mode == "F":
        picture = _eight_bits(picture)
    if picture.has_transparency_data:
        coloured = picture.convert("RGBA")
        white = Image.new("RGBA", coloured.size, "white")
        picture = Image.alpha_composite(white, coloured)
    plain = picture.convert("RGB")
    plain.info.clear()
    plain.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
    return plain


def _eight_bits(picture: Image.Image) -> Image.Image:
    """Greys of sixteen bits in eight."""
    return picture.convert("I").point(lambda grey: grey / 256).convert("L")


def _encoded(plain: Image.Image, path: Path) -> tuple[bytes, tuple[int, int]]:
    for side, quality in TRIES:
        shown = plain
        if max(plain.size) > side:
            shown = plain.copy()
            shown.thumbnail((side, side), Image.Resampling.LANCZOS)
        image = _jpeg(shown, quality)
        if len(image) <= MOST_BYTES:
            return image, shown.size
    raise PhotoFileError(
        path,
        f"stays larger than {MOST_BYTES // 1024} kB however it is saved",
        "Save a part of it with a picture program and add that one.",
    )


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    out = BytesIO()
    picture.save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()


def _upright(picture: Image.Image) -> Image.Image:
    """The picture as the camera was held, where the camera said so in a way that can be read."""
    try:
        return ImageOps.exif_transpose(picture)
    except BROKEN:
        return picture


def _taken_at(picture: Image.Image, zone: ZoneInfo) -> datetime | None:
    """When the camera says that it was; its clock may be wrong, and a person can put that right."""
    try:
        part = picture.getexif().get_ifd(EXIF_PART)
    except BROKEN:
        return None
    told, offset = (str(part.get(name, "")).strip("\x00 ") for name in (TAKEN, TAKEN_OFFSET))
    for suffix in (offset, "+00:00"):
        try:
            moment = datetime.strptime(told + suffix, "%Y:%m:%d %H:%M:%S%z")
        except ValueError:
            continue
        return moment if suffix == offset else moment.replace(tzinfo=zone)
    return None
