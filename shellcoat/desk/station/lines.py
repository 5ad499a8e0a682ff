"""A line of capitals on the station, with its mark."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QWidget

from shellcoat.desk.marks import MarkState, paint_mark
from shellcoat.desk.station.lettering import MARK_ROOM, Lettering, Set, paint_set
from shellcoat.desk.theme import Theme


class CapitalLine(QLabel):
    """Paints what was set for it; a screen reader reads the whole text."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme
        self.lettering: Lettering | None = None
        self.setting: Set | None = None
        self.mark: MarkState | None = None

    def show_set(
        self, text: str, setting: Set, lettering: Lettering, mark: MarkState | None = None
    ) -> None:
        """Show a text as it was set."""
        self.setting, self.lettering, self.mark = setting, lettering, mark
        self.setText(text)
        self.setAccessibleName(text)
        self.update()

    @property
    def cap_px(self) -> float:
        """How high its capitals are [px]."""
        if self.setting is None or self.lettering is None:
            return 0.0
        return self.lettering.cap_px(self.setting.size)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the mark, then the rows."""
        if self.setting is None or self.lettering is None:
            return
        painter = QPainter(self)
        area = QRectF(self.rect())
        if self.mark is not None:
            side = self.cap_px * 1.2
            box = QRectF(area.left(), area.center().y() - side / 2, side, side)
            paint_mark(painter, box, self.mark, self.theme)
            area.setLeft(area.left() + MARK_ROOM * self.cap_px)
        painter.setPen(QColor(self.theme.text))
        across = 1.0 if self.alignment() & Qt.AlignmentFlag.AlignRight else 0.0
        paint_set(painter, area, self.setting, self.lettering, across=across)
        painter.end()
