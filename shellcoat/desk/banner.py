"""The banner above the pages: what a person is told, until they say they have seen it."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QMenu, QPushButton, QWidget

from shellcoat.desk.marks import MarkState, mark_pixmap
from shellcoat.desk.theme import Theme

MOST_LINES = 4
MARK_SIDE = 28


class BannerKind(Enum):
    """What a banner is about."""

    ALERT = "alert"
    ALARM = "alarm"
    FAULT = "fault"
    NOTE = "note"


_MARKS = {
    BannerKind.ALERT: MarkState.DIP_DUE,
    BannerKind.ALARM: MarkState.WARNING,
    BannerKind.FAULT: MarkState.WILL_NOT_DRY,
    BannerKind.NOTE: MarkState.READY_FOR_REVIEW,
}


class Banner(QFrame):
    """One kind of message at a time; further ones join those that still stand."""

    seen = Signal()

    def __init__(self, kind: BannerKind, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(f"banner_{kind.value}")
        self.setProperty("role", "banner")
        self._kind, self._theme = kind, theme
        self._lines: list[str] = []
        self._mark = QLabel(self)
        self._mark.setFixedSize(MARK_SIDE, MARK_SIDE)
        self.text = QLabel(self)
        self.text.setObjectName(f"banner_{kind.value}_text")
        self.text.setWordWrap(True)
        self.text.setTextFormat(Qt.TextFormat.PlainText)
        self.button = QPushButton(self.tr("Seen"), self)
        self.button.setObjectName(f"banner_{kind.value}_seen")
        self.button.clicked.connect(self._on_seen)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 8, 12, 8)
        layout.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        layout.addWidget(self.text, 1)
        layout.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        self._row = layout
        self.set_theme(theme)
        self.hide()

    def add_button(self, text: str, name: str, menu: QMenu | None = None) -> QPushButton:
        """Add a button before "Seen"; one with a menu opens it."""
        button = QPushButton(text, self)
        button.setObjectName(f"banner_{self._kind.value}_{name}")
        if menu is not None:
            button.setMenu(menu)
        before = self._row.count() - 1
        self._row.insertWidget(before, button, 0, Qt.AlignmentFlag.AlignTop)
        return button

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self._theme = theme
        ratio = self.devicePixelRatioF()
        self._mark.setPixmap(mark_pixmap(_MARKS[self._kind], theme, MARK_SIDE, ratio))

    def say(self, lines: Sequence[str]) -> None:
        """Add lines; the newest stand on top, older ones fold into a count."""
        self._lines = [*lines, *(line for line in self._lines if line not in lines)]
        shown = self._lines[:MOST_LINES]
        folded = len(self._lines) - len(shown)
        if folded:
            shown.append(self.tr("and {count} more").format(count=folded))
        self.text.setText("\n".join(shown))
        self.setVisible(bool(self._lines))

    def clear(self) -> None:
        """Take the banner down."""
        self._lines.clear()
        self.hide()

    def _on_seen(self) -> None:
        self.clear()
        self.seen.emit()
