"""The first page of labels as it will be printed, always black on white like paper."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from shellcoat.desk.labels.drawing import dots_per_mm, draw_label, laid_out
from shellcoat.desk.labels.layout import LabelLayout, LabelText
from shellcoat.desk.labels.sizes import LabelKind, LabelSize, pages
from shellcoat.desk.theme import Theme

DPI = 600
PAPER, CUT = QColor("#FFFFFF"), QColor("#8A8A8A")
LEAST = QSize(330, 400)
MOST_SHOWN = 6
"""Tapes and tags shown beneath each other."""

GAP_MM = 4.0


class LabelPreview(QWidget):
    """Shows the labels; a press on a place of a sheet lets the labels begin there.

    Signals
    -------
    place_chosen : the place, counted from 1
    """

    place_chosen = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("labels_preview")
        self.setAccessibleName(self.tr("Labels as they will be printed"))
        self.setMinimumSize(LEAST)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._size: LabelSize | None = None
        self._texts: list[LabelText] = []
        self._layouts: list[LabelLayout] = []
        self._first = 1
        self._line = CUT

    def set_theme(self, theme: Theme) -> None:
        """The edge of the paper in the theme's line; the paper stays white."""
        self._line = QColor(theme.line)
        self.update()

    def show_labels(self, texts: Sequence[LabelText], size: LabelSize, first: int) -> None:
        """Show other labels; raises where one has no room."""
        shown = list(texts[: max(size.per_page, MOST_SHOWN)])
        self._layouts = [laid_out(text, size, DPI) for text in shown]
        self._texts, self._size, self._first = shown, size, first
        self.update()

    def _places(self, size: LabelSize) -> list[tuple[QRectF, int | None]]:
        """Every label of the page in mm with the number of the text in it."""
        if size.kind is LabelKind.SHEET:
            laid = pages(len(self._texts), size, self._first)
            taken = dict(laid[0]) if laid else {}
            corners = [size.corner_mm(place) for place in range(size.per_page)]
            return [
                (QRectF(*corner, size.width_mm, size.height_mm), taken.get(place))
                for place, corner in enumerate(corners)
            ]
        per_mm = dots_per_mm(DPI)
        return [
            (
                QRectF(
                    0.0,
                    number * (size.height_mm + GAP_MM),
                    layout.width / per_mm,
                    size.height_mm,
                ),
                number,
            )
            for number, layout in enumerate(self._layouts[:MOST_SHOWN])
        ]

    def _page_mm(self, size: LabelSize) -> tuple[float, float]:
        if size.kind is LabelKind.SHEET:
            return size.page_mm
        places = [place for place, _ in self._places(size)]
        right = max((place.right() for place in places), default=60.0)
        return max(right, 60.0), max((place.bottom() for place in places), default=60.0)

    def _frame(self, size: LabelSize) -> tuple[float, float, float]:
        """Pixels a mm, and the upper left corner of the page in pixels."""
        wide, high = self._page_mm(size)
        scale = min((self.width() - 8) / wide, (self.height() - 8) / high)
        top = (self.height() - scale * high) / 2 if size.kind is LabelKind.SHEET else 4.0
        return scale, (self.width() - scale * wide) / 2, top

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the page."""
        size = self._size
        if size is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        scale, left, top = self._frame(size)
        painter.translate(left, top)
        painter.scale(scale, scale)
        if size.kind is LabelKind.SHEET:
            self._paper(painter, QRectF(0.0, 0.0, *size.page_mm), self._line, 1.0 / scale)
        for place, number in self._places(size):
            self._paper(painter, place, CUT, 1.0 / scale)
            if number is not None:
                self._label(painter, place, number)

    def _paper(self, painter: QPainter, place: QRectF, line: QColor, thick: float) -> None:
        painter.setPen(QPen(line, thick))
        painter.setBrush(PAPER)
        painter.drawRect(place)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _label(self, painter: QPainter, place: QRectF, number: int) -> None:
        per_mm = dots_per_mm(DPI)
        painter.save()
        painter.translate(place.topLeft())
        painter.scale(1.0 / per_mm, 1.0 / per_mm)
        draw_label(painter, self._texts[number], self._layouts[number], per_mm)
        painter.restore()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin at the place that is pressed."""
        size = self._size
        if size is None or size.kind is not LabelKind.SHEET:
            return
        scale, left, top = self._frame(size)
        at = (event.position().x() - left) / scale, (event.position().y() - top) / scale
        for number, (place, _) in enumerate(self._places(size), start=1):
            if place.contains(*at):
                self.place_chosen.emit(number)
