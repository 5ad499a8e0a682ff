"""Labels as they come out of the printer, read by an independent reader of codes (zbar)."""

from __future__ import annotations

import subprocess
from collections import Counter
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from uuid import uuid4

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication
from pyzbar.pyzbar import ZBarSymbol, decode

from shellcoat.desk.labels.drawing import dots_per_mm, laid_out
from shellcoat.desk.labels.layout import (
    LEAST_MODULE_MM,
    QUIET_MODULES,
    LabelText,
    LabelTooSmallError,
    label_text,
)
from shellcoat.desk.labels.output import (
    PAGE_DPI,
    TAPE_DPI,
    LabelFileError,
    label_picture,
    write_pdf,
    write_pictures,
)
from shellcoat.desk.labels.sizes import SIZES, LabelKind, LabelSize, pages, size_of
from shellcoat.errors import ValueOutOfRangeError
from shellcoat.operations.sequences import starters
from shellcoat.shop import Shell
from shellcoat.shop.label_code import code_text

pytestmark = pytest.mark.usefixtures("qapp")

LABELS = ("014", "WB-08", "heron 3a", "SHELL-2026-0147")


def a_text(label: str, name: str = "Standing heron") -> LabelText:
    shell = Shell(
        id=uuid4(),
        name=name,
        label=label,
        sequence=starters()[0],
        room_id=uuid4(),
        started_at=datetime(2026, 3, 2, tzinfo=UTC),
    )
    return label_text(shell)


def seen(image: QImage) -> Image.Image:
    """The picture as a camera sees it, in greys, with some of the bench around it."""
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(grey.constBits(), np.uint8).reshape(grey.height(), grey.bytesPerLine())
    bench = Image.new("L", (grey.width() + 80, grey.height() + 80), 110)
    bench.paste(Image.fromarray(rows[:, : grey.width()].copy()), (40, 40))
    return bench


def read(image: Image.Image) -> Counter[str]:
    return Counter(found.data.decode() for found in decode(image, symbols=[ZBarSymbol.QRCODE]))


def page_images(pdf: Path, dpi: int = 200) -> list[Image.Image]:
    subprocess.run(["pdftoppm", "-r", str(dpi), "-gray", pdf, pdf.with_suffix("")], check=True)
    return [opened(path) for path in sorted(pdf.parent.glob(f"{pdf.stem}-*.pgm"))]


def opened(path: Path) -> Image.Image:
    with Image.open(path) as image:
        image.load()
        return image


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.key)
def test_both_codes_of_every_size_are_read(size: LabelSize, label: str) -> None:
    assert read(seen(label_picture(a_text(label), size))) == {code_text(label): 2}


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.key)
def test_a_code_is_read_out_of_focus(size: LabelSize, label: str) -> None:
    """Blurred by a third of the least module, as a lens held too near would."""
    picture = seen(label_picture(a_text(label), size))
    dots = LEAST_MODULE_MM * dots_per_mm(TAPE_DPI)
    assert code_text(label) in read(picture.filter(ImageFilter.GaussianBlur(dots / 3)))


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.key)
def test_a_code_is_read_at_three_tenths_of_the_size(size: LabelSize, label: str) -> None:
    """A camera further off: 600 dots an inch seen as 180."""
    picture = seen(label_picture(a_text(label), size, 600))
    small = picture.resize([round(0.3 * side) for side in picture.size], Image.Resampling.BOX)
    assert code_text(label) in read(small)


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.key)
def test_a_splash_over_a_fifth_of_a_code_leaves_the_label_readable(
    size: LabelSize, label: str
) -> None:
    """Wherever it falls on either code; slurry dries nearly white."""
    text = a_text(label)
    layout = laid_out(text, size, TAPE_DPI)
    picture = seen(label_picture(text, size))
    chance = np.random.default_rng(7)
    radius = layout.code * (0.2 / np.pi) ** 0.5
    for number in range(12):
        left, top = layout.codes[number % 2]
        across, down = (chance.uniform(radius, layout.code - radius) for _ in range(2))
        x, y = 40 + left + across, 40 + top + down
        splashed = picture.copy()
        ImageDraw.Draw(splashed).ellipse((x - radius, y - radius, x + radius, y + radius), 235)
        assert read(splashed)[code_text(label)] >= 1


@pytest.mark.parametrize("dpi", [TAPE_DPI, PAGE_DPI])
@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.key)
def test_modules_and_the_quiet_zone_keep_their_measure(
    size: LabelSize, label: str, dpi: int
) -> None:
    """Four modules of nothing around a code: ISO/IEC 18004:2015, 9.1."""
    text = a_text(label, "Name" * 40)
    layout = laid_out(text, size, dpi)
    assert layout.module / dots_per_mm(dpi) >= LEAST_MODULE_MM - 1e-9
    quiet = QUIET_MODULES * layout.module
    if dpi == PAGE_DPI:
        assert min(layout.codes[0][0], layout.codes[0][1]) >= quiet
        assert layout.height - layout.codes[0][1] - layout.code >= quiet
        return
    picture = seen(label_picture(text, size, dpi)).crop(
        (40, 40, 40 + layout.width, 40 + layout.height)
    )
    dark = np.asarray(picture) < 128
    for left, top in layout.codes:
        right, foot = left + layout.code, top + layout.code
        around = dark[top - quiet : foot + quiet, left - quiet : right + quiet].copy()
        assert around.shape == (layout.code + 2 * quiet,) * 2
        around[quiet:-quiet, quiet:-quiet] = False
        assert not around.any()


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.key)
def test_nothing_is_printed_where_printers_and_cutters_miss(size: LabelSize) -> None:
    picture = label_picture(a_text("SHELL-2026-0147", "A long name of a piece " * 5), size)
    dark = np.asarray(seen(picture))[40:-40, 40:-40] < 128
    rows, columns = np.nonzero(dark)
    bare = int(size.bare_mm * dots_per_mm(TAPE_DPI)) - 1
    assert rows.min() >= bare
    assert columns.min() >= bare
    assert rows.max() < picture.height() - bare
    assert columns.max() < picture.width() - bare


def test_a_label_too_long_for_a_tape_is_refused_with_what_to_do() -> None:
    text = a_text("A label in small letters that goes on")
    with pytest.raises(LabelTooSmallError, match="Choose a larger size"):
        laid_out(text, size_of("tape-12"), TAPE_DPI)
    laid_out(text, size_of("a4-3x8"), PAGE_DPI)
    for size in SIZES:
        with pytest.raises(LabelTooSmallError, match="a shorter label"):
            laid_out(a_text("ü" * 200), size, PAGE_DPI)


def at_place(page: Image.Image, size: LabelSize, place: int, dpi: int) -> Image.Image:
    """One label of a page, cut out."""
    x, y = size.corner_mm(place)
    edges = (x, y, x + size.width_mm, y + size.height_mm)
    return page.crop(tuple(round(edge / 25.4 * dpi) for edge in edges))


def test_a_sheet_that_was_begun_goes_on_at_the_next_place(tmp_path: Path) -> None:
    texts = [a_text(f"H-{number}") for number in range(1, 6)]
    path, size = tmp_path / "labels.pdf", size_of("a4-3x8")
    assert write_pdf(path, texts, size, first=22) == 2
    first, second = page_images(path)
    assert read(first) == {code_text(f"H-{number}"): 2 for number in (1, 2, 3)}
    assert read(second) == {code_text(f"H-{number}"): 2 for number in (4, 5)}
    assert first.size == pytest.approx((210 / 25.4 * 200, 297 / 25.4 * 200), abs=2)
    used = np.asarray(first)[: round(7 * 37 / 25.4 * 200)]
    assert used.min() > 250  # the places used before are left alone


@pytest.mark.parametrize("key", ["a4-3x8", "a4-3x7", "letter-3x10"])
def test_every_place_of_a_sheet_has_its_label(tmp_path: Path, key: str) -> None:
    size = size_of(key)
    texts = [a_text(f"P{number}") for number in range(size.per_page)]
    path = tmp_path / "sheet.pdf"
    assert write_pdf(path, texts, size) == 1
    (page,) = page_images(path, 300)
    for number in range(size.per_page):
        assert read(at_place(page, size, number, 300)) == {code_text(f"P{number}"): 2}


def test_sheets_lie_on_their_page_and_labels_do_not_overlap() -> None:
    for size in (size for size in SIZES if size.kind is LabelKind.SHEET):
        corners = [size.corner_mm(place) for place in range(size.per_page)]
        assert max(x for x, _ in corners) + size.width_mm <= size.page_mm[0] + 1e-9
        assert max(y for _, y in corners) + size.height_mm <= size.page_mm[1] + 1e-9
        for (x, _), (other, _) in pairwise(corners[: size.columns]):
            assert other - x >= size.width_mm - 1e-9


def test_pages_of_single_labels_have_their_size(tmp_path: Path) -> None:
    texts = [a_text("014"), a_text("WB-08", "A long name of a bowl")]
    for key in ("tape-12", "tag-50x25"):
        path = tmp_path / f"{key}.pdf"
        assert write_pdf(path, texts, size_of(key)) == 2
        images = page_images(path, 300)
        for text, image in zip(texts, images, strict=True):
            layout = laid_out(text, size_of(key), PAGE_DPI)
            wanted = layout.width / PAGE_DPI * 300, size_of(key).height_mm / 25.4 * 300
            assert image.size == pytest.approx(wanted, abs=4.2)  # pages count in whole points
            assert read(image) == {code_text(text.label): 2}


def test_what_a_person_types_stands_on_it_in_full(tmp_path: Path) -> None:
    path = tmp_path / "tag.pdf"
    write_pdf(path, [a_text("SHELL-2026-0147")], size_of("tag-50x25"))
    told = subprocess.run(
        ["pdftotext", path, "-"], check=True, capture_output=True, text=True
    ).stdout
    assert "SHELL-2026-0147" in told
    assert "Standing" in told


def test_pictures_carry_their_size_and_safe_names(tmp_path: Path) -> None:
    size = size_of("tape-18")
    paths = write_pictures(tmp_path, [a_text("014"), a_text("a/b:c")], size)
    assert [path.name for path in paths] == ["01 014.png", "02 a_b_c.png"]
    for path in paths:
        image = opened(path)
        assert image.height == int(18 / 25.4 * TAPE_DPI)
        assert image.info["dpi"] == pytest.approx((TAPE_DPI, TAPE_DPI), abs=0.1)


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    nowhere = tmp_path / "nowhere"
    with pytest.raises(LabelFileError, match="could not be written"):
        write_pdf(nowhere / "x.pdf", [a_text("014")], size_of("tape-12"))
    with pytest.raises(LabelFileError, match="could not be written"):
        write_pictures(nowhere, [a_text("014")], size_of("tape-12"))


def test_places_are_filled_in_order_and_the_first_is_checked() -> None:
    sheet = size_of("a4-3x7")
    assert pages(0, sheet) == []
    assert pages(3, sheet, 20) == [[(19, 0), (20, 1)], [(0, 2)]]
    for first in (0, 22):
        with pytest.raises(ValueOutOfRangeError, match="First label"):
            pages(1, sheet, first)


def test_the_reader_reads(qapp: QApplication) -> None:
    """Nothing is read from a bare bench, so what is read comes from the labels."""
    assert not read(Image.new("L", (300, 300), 110))
