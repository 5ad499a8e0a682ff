"""The rail at the left: one large button a page."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QIcon, QKeySequence, QShortcut
from PySide6.QtWidgets import QButtonGroup, QFrame, QToolButton, QVBoxLayout, QWidget

BUTTON_PX = 84
ICON_PX = 36


class NavigationRail(QFrame):
    """Buttons that turn to a page; Ctrl and a number does the same."""

    page_requested = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("navigation")
        self.setProperty("role", "rail")
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        self._buttons: dict[str, QToolButton] = {}
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(6, 8, 6, 8)
        self._layout.setSpacing(6)
        self._layout.addStretch(1)

    def add(self, name: str, text: str, icon: QIcon) -> None:
        """Add a page's button below the others."""
        button = QToolButton(self)
        button.setObjectName(f"navigate_{name}")
        button.setText(text)
        button.setIcon(icon)
        button.setAccessibleName(text)
        button.setCheckable(True)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        button.setIconSize(QSize(ICON_PX, ICON_PX))
        button.setFixedSize(BUTTON_PX, BUTTON_PX)
        button.clicked.connect(lambda: self.page_requested.emit(name))
        self._group.addButton(button)
        self._layout.insertWidget(len(self._buttons), button)
        self._buttons[name] = button
        number = len(self._buttons)
        button.setToolTip(f"Ctrl+{number}")
        QShortcut(
            QKeySequence(f"Ctrl+{number}"), self.window(), lambda: self.page_requested.emit(name)
        )

    def set_icon(self, name: str, icon: QIcon) -> None:
        """Show another icon, for other colours."""
        self._buttons[name].setIcon(icon)

    def choose(self, name: str) -> None:
        """Mark the page that is shown."""
        self._buttons[name].setChecked(True)
