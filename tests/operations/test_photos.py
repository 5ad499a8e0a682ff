"""Photos from files: kept small, upright and stripped; broken and hostile files told in words."""

from __future__ import annotations

import struct
import warnings
import zlib
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from io import BytesIO
from pathlib import Path
from uuid import uuid4
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image
from shop_cases import NOW

from shellcoat.book.pictures import LARGEST_PICTURE_BYTES, LARGEST_THUMBNAIL_BYTES
from shellcoat.operations import photo_files
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.photo_files import (
    MOST_BYTES,
    THUMBNAIL_SIDE,
    PhotoFileError,
    ReadyPhoto,
    read_photo,
)
from shellcoat.operations.photos import (
    PhotoInFutureError,
    PhotoWords,
    add_photo,
    correct_photo,
    likely_time,
    take_back_photo,
)
from shellcoat.shop import Photo, Shell

MADRID = ZoneInfo("Europe/Madrid")
ORIENTATION, GPS, EXIF_PART, TAKEN, OFFSET = 0x0112, 0x8825, 0x8769, 0x9003, 0x9011
"""Exif 2.32, tables 4, 7 and 15."""


def a_picture(width: int = 640, height: int = 480, mode: str = "RGB") -> Image.Image:
    """Red above blue, so that it has a way up."""
    picture = Image.new("RGB", (width, height), (200, 30, 30))
    picture.paste((30, 30, 200), (0, height // 2, width, height))
    return picture.convert(mode)


def saved(picture: Image.Image, path: Path, **how: object) -> Path:
    picture.save(path, **how)
    return path


def decoded(data: bytes) -> Image.Image:
    picture = Image.open(BytesIO(data))
    picture.load()
    return picture


def colour(ready: ReadyPhoto, x: float, y: float) -> tuple[int, ...]:
    picture = decoded(ready.image)
    found = picture.getpixel((round(x * (picture.width - 1)), round(y * (picture.height - 1))))
    assert isinstance(found, tuple)
    return found


def with_exif(path: Path, **tags: object) -> Path:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "An invented camera", "Serial 12345"
    exif[ORIENTATION] = tags.get("orientation", 1)
    place = exif.get_ifd(GPS)
    place[1], place[2] = "N", (40.0, 25.0, 1.0)
    own = exif.get_ifd(EXIF_PART)
    own[TAKEN] = tags.get("taken", "2026:03:01 15:30:00")
    if "offset" in tags:
        own[OFFSET] = tags["offset"]
    return saved(a_picture(), path, exif=exif, comment=b"left by the camera")


@pytest.mark.parametrize(
    ("size", "kept"),
    [((4000, 3000), (1600, 1200)), ((600, 2400), (400, 1600)), ((300, 200), (300, 200))],
)
@pytest.mark.parametrize("name", ["a.jpg", "a.png"])
def test_the_longest_side_is_brought_to_the_limit_and_no_smaller_picture_is_blown_up(
    tmp_path: Path, size: tuple[int, int], kept: tuple[int, int], name: str
) -> None:
    ready = read_photo(saved(a_picture(*size), tmp_path / name), MADRID)
    assert (ready.width, ready.height) == kept == decoded(ready.image).size
    assert max(decoded(ready.thumbnail).size) == min(THUMBNAIL_SIDE, max(size))
    assert decoded(ready.image).format == decoded(ready.thumbnail).format == "JPEG"


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L", "LA", "P", "1", "I;16"])
def test_every_kind_of_png_keeps_its_look(tmp_path: Path, mode: str) -> None:
    if mode == "I;16":
        levels = np.zeros((80, 100), np.uint16)
        levels[:40] = 0xFFFF
        picture = Image.fromarray(levels)
    else:
        half = Image.new("RGB", (100, 80), "white")
        half.paste("black", (0, 40, 100, 80))
        picture = half.convert(mode)
    ready = read_photo(saved(picture, tmp_path / "a.png"), MADRID)
    assert min(colour(ready, 0.5, 0.1)) > 240
    assert max(colour(ready, 0.5, 0.9)) < 15


def test_what_is_transparent_turns_white(tmp_path: Path) -> None:
    ready = read_photo(saved(Image.new("RGBA", (50, 50), (0, 0, 0, 0)), tmp_path / "a.png"), MADRID)
    assert min(colour(ready, 0.5, 0.5)) > 250


@pytest.mark.parametrize("mode", ["L", "CMYK", "RGB"])
def test_every_kind_of_jpeg_is_read(tmp_path: Path, mode: str) -> None:
    ready = read_photo(saved(a_picture(mode=mode), tmp_path / "a.jpg"), MADRID)
    assert decoded(ready.image).mode == "RGB"


@pytest.mark.parametrize(
    ("orientation", "red"), [(1, (0.5, 0.1)), (3, (0.5, 0.9)), (6, (0.9, 0.5)), (8, (0.1, 0.5))]
)
def test_a_picture_stands_as_the_camera_was_held(
    tmp_path: Path, orientation: int, red: tuple[float, float]
) -> None:
    """Exif 2.32, tag 274: which edge of what is stored the camera held up."""
    path = with_exif(tmp_path / "a.jpg", orientation=orientation)
    ready = read_photo(path, MADRID)
    assert colour(ready, *red)[0] > 150
    assert colour(ready, 1 - red[0], 1 - red[1])[2] > 150


def test_nothing_the_camera_wrote_beside_the_picture_is_kept(tmp_path: Path) -> None:
    path = with_exif(tmp_path / "a.jpg")
    assert b"Serial 12345" in path.read_bytes()
    assert decoded(path.read_bytes()).getexif().get_ifd(GPS)
    ready = read_photo(path, MADRID)
    for data in (ready.image, ready.thumbnail):
        assert b"Serial" not in data
        assert b"Exif" not in data
        assert b"left by" not in data
        kept = decoded(data)
        assert not kept.getexif()
        assert set(kept.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


@pytest.mark.parametrize(
    ("tags", "moment"),
    [
        ({}, datetime(2026, 3, 1, 14, 30, tzinfo=UTC)),
        ({"offset": "-05:00"}, datetime(2026, 3, 1, 20, 30, tzinfo=UTC)),
        ({"offset": "east"}, datetime(2026, 3, 1, 14, 30, tzinfo=UTC)),
        ({"taken": "0000:00:00 00:00:00"}, None),
        ({"taken": "yesterday"}, None),
    ],
)
def test_the_cameras_time_is_taken_on_the_shops_clock(
    tmp_path: Path, tags: dict[str, object], moment: datetime | None
) -> None:
    taken = read_photo(with_exif(tmp_path / "a.jpg", **tags), MADRID).taken_at
    assert (taken.astimezone(UTC) if taken else None) == moment


def test_a_camera_that_is_ahead_of_the_clock_is_not_believed() -> None:
    ready = ReadyPhoto(b"x", b"x", 1, 1, NOW + timedelta(days=1))
    assert likely_time(ready, NOW) == NOW
    assert likely_time(replace(ready, taken_at=NOW - timedelta(1)), NOW) == NOW - timedelta(1)
    assert likely_time(replace(ready, taken_at=None), NOW) == NOW


def test_the_noisiest_picture_gets_small_enough(tmp_path: Path) -> None:
    noise = np.random.default_rng(3).integers(0, 256, (1600, 1600, 3), dtype=np.uint8)
    ready = read_photo(saved(Image.fromarray(noise), tmp_path / "a.png"), MADRID)
    assert len(ready.image) <= MOST_BYTES <= LARGEST_PICTURE_BYTES
    assert len(ready.thumbnail) <= LARGEST_THUMBNAIL_BYTES
    assert (ready.width, ready.height) == decoded(ready.image).size


def test_a_file_too_large_is_told_before_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = saved(a_picture(), tmp_path / "a.jpg")
    monkeypatch.setattr(photo_files, "LARGEST_FILE_BYTES", path.stat().st_size - 1)
    with pytest.raises(PhotoFileError, match=r"a.jpg is larger than .* MB. Save it smaller"):
        read_photo(path, MADRID)


# Files that are not what they say.


def png_of(width: int, height: int) -> bytes:
    """A PNG that says it is so large, and holds next to nothing."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = chunk(b"IDAT", zlib.compress(bytes(10_000)))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + body + chunk(b"IEND", b"")


def jpeg_of(width: int, height: int) -> bytes:
    """A JPEG whose frame says it is so large."""
    out = BytesIO()
    a_picture(64, 64).save(out, "JPEG")
    data = bytearray(out.getvalue())
    at = data.index(b"\xff\xc0") + 5
    data[at : at + 4] = struct.pack(">HH", height, width)
    return bytes(data)


@pytest.mark.parametrize(
    "data", [png_of(60_000, 60_000), png_of(2**31 - 1, 2), jpeg_of(65_000, 65_000)]
)
def test_dimensions_larger_than_memory_are_refused_by_name(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "bomb.png"
    path.write_bytes(data)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        with pytest.raises(PhotoFileError, match=r"bomb.png says it is [\d,]+ × [\d,]+ pixels"):
            read_photo(path, MADRID)


@pytest.mark.parametrize(
    ("data", "named"),
    [
        (b"", "neither a JPEG nor a PNG"),
        (b"GIF89a" + bytes(60), "neither a JPEG nor a PNG"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "neither a JPEG nor a PNG"),
        (b"II*\x00" + bytes(60), "neither a JPEG nor a PNG"),
        (b"\xff\xd8\xff\xe0", "broken or only half there"),
        (b"\x89PNG\r\n\x1a\n", "broken or only half there"),
        (png_of(3000, 3000), "broken or only half there"),
        (png_of(0, 10), "broken or only half there"),
    ],
)
def test_what_is_no_photo_is_refused_in_words(tmp_path: Path, data: bytes, named: str) -> None:
    path = tmp_path / "x.jpg"
    path.write_bytes(data)
    with pytest.raises(PhotoFileError, match=f"x.jpg is {named}"):
        read_photo(path, MADRID)


def test_a_folder_and_a_missing_file_are_told(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "gone.jpg"):
        with pytest.raises(PhotoFileError, match="cannot be read"):
            read_photo(path, MADRID)


@cache
def whole(name: str) -> bytes:
    out = BytesIO()
    noise = np.random.default_rng(5).integers(0, 256, (90, 120, 3), dtype=np.uint8)
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    exif.get_ifd(EXIF_PART)[TAKEN] = "2026:03:01 15:30:00"
    Image.fromarray(noise).save(out, name, exif=exif)
    return out.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_half_a_file_is_refused(tmp_path: Path, kind: str, share: float) -> None:
    path = tmp_path / "half"
    path.write_bytes(whole(kind)[: int(share * len(whole(kind)))])
    with pytest.raises(PhotoFileError, match="broken or only half there"):
        read_photo(path, MADRID)


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.sampled_from(["JPEG", "PNG"]),
    st.lists(st.tuples(st.floats(0, 0.999), st.integers(0, 255)), min_size=1, max_size=8),
    st.booleans(),
)
def test_a_damaged_file_is_kept_whole_or_refused_in_words(
    tmp_path: Path, kind: str, hits: list[tuple[float, int]], in_head: bool
) -> None:
    data = bytearray(whole(kind))
    reach = min(len(data), 300) if in_head else len(data)
    for place, value in hits:
        data[int(place * reach)] = value
    path = tmp_path / "damaged"
    path.write_bytes(bytes(data))
    ready = None
    with suppress(PhotoFileError):  # anything else it raises fails here
        ready = read_photo(path, MADRID)
    assert ready is None or decoded(ready.image).size == (ready.width, ready.height)


# In the book.


def a_ready(tmp_path: Path) -> ReadyPhoto:
    return read_photo(saved(a_picture(), tmp_path / "a.jpg"), MADRID)


def test_a_photo_is_added_once_corrected_and_taken_back(
    tmp_path: Path, opened: OpenShop, heron: Shell
) -> None:
    ready, photo_id = a_ready(tmp_path), uuid4()
    words = PhotoWords(taken_at=NOW, caption="after the first dip")
    photo = add_photo(opened, photo_id, heron.id, ready, words, NOW)
    assert add_photo(opened, photo_id, heron.id, ready, words, NOW) == photo
    assert opened.ledger.photos(heron.id) == (photo,)
    assert opened.book.pictures(photo).image == ready.image
    entries = len(opened.ledger.entries)
    assert correct_photo(opened, photo, words, NOW) == photo
    assert len(opened.ledger.entries) == entries
    said = correct_photo(opened, photo, PhotoWords(taken_at=NOW, caption="neck"), NOW, "clearer")
    assert opened.ledger.photos(heron.id) == (said,)
    take_back_photo(opened, photo_id, NOW, "wrong shell")
    assert opened.ledger.photos(heron.id) == ()
    kinds = [type(entry.record) for entry in opened.ledger.history(photo_id)]
    assert kinds[:2] == [Photo, Photo]


def test_a_photo_of_tomorrow_is_refused(tmp_path: Path, opened: OpenShop, heron: Shell) -> None:
    words = PhotoWords(taken_at=NOW + timedelta(days=1))
    with pytest.raises(PhotoInFutureError, match="has not come yet"):
        add_photo(opened, uuid4(), heron.id, a_ready(tmp_path), words, NOW)
