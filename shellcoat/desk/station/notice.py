"""A sentence over the top of the station: a fault, what was done, a timer that has run out."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QTimer, Slot
from PySide6.QtGui import QAccessible, QAccessibleEvent, QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QWidget

from shellcoat.desk.station.lettering import fit_text, lettering_of, paint_set
from shellcoat.desk.station.ruler import MARGIN_MM, Ruler
from shellcoat.desk.theme import Theme

CAPS_MM = (4.0, 9.0)
HEIGHT_MM = 19.0
FLASH_MS = 500
"""Once a second: far below the three flashes a second of WCAG 2.2, 2.3.1."""

FLASHES = 6


class Notice(QLabel):
    """Stands until the next press; it flashes where somebody is to look up."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("station_notice")
        self.theme, self.ruler = theme, Ruler(96 / 25.4)
        self._left = 0
        self._beat = QTimer(self)
        self._beat.setInterval(FLASH_MS)
        self._beat.timeout.connect(self._on_beat)
        self.hide()

    @property
    def flashing(self) -> bool:
        """Whether it still changes its colours."""
        return self._beat.isActive()

    def say(self, text: str, *, flash: bool = False) -> None:
        """Show a sentence."""
        self.setText(text)
        self.setAccessibleName(text)
        self._left = FLASHES if flash else 0
        self._beat.start() if flash else self._beat.stop()
        self.show()
        self.raise_()
        self.update()
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    @Slot()
    def clear(self) -> None:
        """Take it away."""
        self._beat.stop()
        self.hide()
        super().clear()

    @Slot()
    def _on_beat(self) -> None:
        self._left -= 1
        if self._left <= 0:
            self._beat.stop()
        self.update()

    def colours(self) -> tuple[str, str]:
        """Ground and ink; they change with the flash."""
        if self._left % 2:
            return self.theme.accent, self.theme.accent_text
        return self.theme.selection, self.theme.text

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the ground and the words."""
        painter = QPainter(self)
        ground, ink = self.colours()
        painter.fillRect(self.rect(), QColor(ground))
        painter.setPen(QColor(self.theme.line))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.setPen(QColor(ink))
        inset = self.ruler.px(MARGIN_MM)
        area: QRect = self.rect().adjusted(inset, 0, -inset, 0)
        lettering = lettering_of(self.font())
        caps = (self.ruler.px(CAPS_MM[0]), self.ruler.px(CAPS_MM[1]))
        painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
        setting = fit_text(self.text(), area, caps, lettering, 2)
        paint_set(painter, QRectF(area), setting, lettering)
        painter.end()
