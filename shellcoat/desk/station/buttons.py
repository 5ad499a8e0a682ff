"""The station's buttons: large, lettered to fit, pressed by finger, key or foot."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from shellcoat.desk.station.lettering import fit_text, lettering_of, paint_set
from shellcoat.desk.station.ruler import Ruler
from shellcoat.desk.theme import Theme

CAPS_MM = (4.0, 8.0)
"""Capitals on a button, least and largest: read from where it can be pressed."""

PADDING_MM = 2.0
BORDER_PX = 3.0
FOCUS_PX = 6.0
CORNER_PX = 10.0


def _none(_key: int) -> bool:
    return False


class StationButton(QPushButton):
    """A target whose letters fill it; keys that mean something to the whole page pass through."""

    def __init__(self, name: str, theme: Theme, parent: QWidget, *, primary: bool = False) -> None:
        super().__init__(parent)
        self.setObjectName(f"station_{name}")
        self.theme, self.primary = theme, primary
        self.resting = False
        self.passes: Callable[[int], bool] = _none
        self.ruler = Ruler(1.0)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self.setStyleSheet("min-width: 0; min-height: 0; padding: 0;")

    def sizeHint(self) -> QSize:
        """Its size is given by the page."""
        return QSize(0, 0)

    def place(self, rect: QRect, ruler: Ruler) -> None:
        """Put it where it belongs and show it."""
        self.ruler = ruler
        self.setGeometry(rect)
        self.show()
        self.update()

    def say(self, text: str, spoken: str = "") -> None:
        """Letter it; a screen reader says `spoken` where that tells more."""
        self.setText(text)
        self.setAccessibleName(spoken or text)
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses it as the space bar does; the foot switch and the rest are the page's."""
        if self.passes(event.key()):
            event.ignore()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.ignore() if event.isAutoRepeat() else self.click()
        elif event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
            super().keyPressEvent(event)
        elif event.key() in _ARROWS:
            self.focusNextPrevChild(event.key() in _FORWARD)
        else:
            event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """The foot switch is let go on the page."""
        event.ignore() if self.passes(event.key()) else super().keyReleaseEvent(event)

    def colours(self) -> tuple[str, str]:
        """Ground and ink."""
        if self.primary and not self.resting:
            return self.theme.accent, self.theme.accent_text
        if self.isChecked() or self.isDown():
            return self.theme.selection, self.theme.text
        return self.theme.raised, self.theme.text

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the ground, the border that shows focus and rest, and the letters."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ground, ink = self.colours()
        focused = self.hasFocus()
        pen = QPen(QColor(self.theme.focus if focused else self.theme.line))
        pen.setWidthF(FOCUS_PX if focused else BORDER_PX)
        if self.resting:
            pen.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.setBrush(QColor(ground))
        half = pen.widthF() / 2
        painter.drawRoundedRect(
            QRectF(self.rect()).adjusted(half, half, -half, -half), CORNER_PX, CORNER_PX
        )
        painter.setPen(QColor(ink))
        inset = self.ruler.px(PADDING_MM)
        area = self.rect().adjusted(inset, inset, -inset, -inset)
        lettering = lettering_of(self.window().font())
        caps = (self.ruler.px(CAPS_MM[0]), self.ruler.px(CAPS_MM[1]))
        text = ("✓ " if self.isChecked() else "") + self.text()
        setting = fit_text(text, area, caps, lettering)
        paint_set(painter, QRectF(area), setting, lettering, across=0.5)
        painter.end()


_FORWARD = (Qt.Key.Key_Right, Qt.Key.Key_Down)
_ARROWS = (*_FORWARD, Qt.Key.Key_Left, Qt.Key.Key_Up)
