"""Labels as files: pages for any printer, pictures for tape printers."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QMarginsF, QSizeF, Qt
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter, QPdfWriter

from shellcoat.desk.labels.drawing import dots_per_mm, draw_label, laid_out
from shellcoat.desk.labels.layout import MM_PER_INCH, LabelText
from shellcoat.desk.labels.sizes import LabelKind, LabelSize, pages
from shellcoat.errors import WorldError

PAGE_DPI = 1200
TAPE_DPI = 360
"""What tape printers print, or twice that; so from memory."""


class LabelFileError(WorldError):
    """A file that could not be written."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} could not be written. Close it where it is open, or choose another folder."
        )


def write_pdf(path: Path, texts: Sequence[LabelText], size: LabelSize, first: int = 1) -> int:
    """Write labels as pages of their size, or as sheets; returns how many pages."""
    layouts = [laid_out(text, size, PAGE_DPI) for text in texts]
    sheets = pages(len(texts), size, first)
    writer = QPdfWriter(str(path))
    writer.setResolution(PAGE_DPI)
    writer.setCreator("shellcoat")
    writer.setTitle(", ".join(text.label for text in texts)[:200])
    per_mm = dots_per_mm(PAGE_DPI)
    widths = [_page_mm(size, layouts[sheet[0][1]].width / per_mm) for sheet in sheets]
    _set_page(writer, widths[0])
    painter = QPainter()
    if not painter.begin(writer):
        raise LabelFileError(path)
    for number, sheet in enumerate(sheets):
        if number:
            _set_page(writer, widths[number])
            writer.newPage()
        for place, label in sheet:
            x_mm, y_mm = size.corner_mm(place)
            painter.save()
            painter.translate(round(x_mm * per_mm), round(y_mm * per_mm))
            draw_label(painter, texts[label], layouts[label], per_mm)
            painter.restore()
    if not painter.end():
        raise LabelFileError(path)
    return len(sheets)


def _page_mm(size: LabelSize, width_mm: float) -> tuple[float, float]:
    if size.kind is LabelKind.SHEET:
        return size.page_mm
    return (width_mm if size.kind is LabelKind.TAPE else size.width_mm), size.height_mm


def _set_page(writer: QPdfWriter, page_mm: tuple[float, float]) -> None:
    wide, high = page_mm
    # A page size is kept upright; a label that is wider than high lies across it.
    upright = QSizeF(min(wide, high), max(wide, high))
    page = QPageSize(
        upright, QPageSize.Unit.Millimeter, "label", QPageSize.SizeMatchPolicy.ExactMatch
    )
    way = QPageLayout.Orientation.Landscape if wide > high else QPageLayout.Orientation.Portrait
    writer.setPageLayout(QPageLayout(page, way, QMarginsF(0, 0, 0, 0)))


def label_picture(text: LabelText, size: LabelSize, dots_per_inch: int = TAPE_DPI) -> QImage:
    """One label as a picture, a pixel a dot, its size in print noted in it."""
    layout = laid_out(text, size, dots_per_inch)
    image = QImage(layout.width, layout.height, QImage.Format.Format_RGB32)
    image.setDotsPerMeterX(round(dots_per_inch / MM_PER_INCH * 1000))
    image.setDotsPerMeterY(round(dots_per_inch / MM_PER_INCH * 1000))
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    draw_label(painter, text, layout, dots_per_mm(dots_per_inch))
    painter.end()
    return image


def write_pictures(folder: Path, texts: Sequence[LabelText], size: LabelSize) -> list[Path]:
    """Write each label as a PNG named after it."""
    written = []
    for number, text in enumerate(texts, start=1):
        path = folder / f"{number:02d} {_file_name(text.label)}.png"
        if not label_picture(text, size).save(str(path)):
            raise LabelFileError(path)
        written.append(path)
    return written


def _file_name(label: str) -> str:
    """The label with what no file may be called left out."""
    kept = "".join(letter if letter.isalnum() or letter in "-_" else "_" for letter in label)
    return kept[:60]
