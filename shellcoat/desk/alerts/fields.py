"""Fields the dialogs of the alerts need: a whole number, a time of day, a folder."""

from __future__ import annotations

from datetime import time
from pathlib import Path

from PySide6.QtCore import QTime, Slot
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QTimeEdit,
    QWidget,
)

from shellcoat.desk.dialogs.fields import Field

MARGINS_PX = (8, 0, 0, 0)
"""The line inside a box with steps does not take on the padding of its style."""


class NumberField(Field):
    """A whole number with its unit; the least one may have a word of its own."""

    def __init__(
        self, name: str, low: int, high: int, unit: str, parent: QWidget, least: str = ""
    ) -> None:
        super().__init__(name, parent)
        self.box = QSpinBox(self)
        self.box.setRange(low, high)
        self.box.setSuffix(f" {unit}" if unit else "")
        self.box.setSpecialValueText(least)
        self.box.lineEdit().setTextMargins(*MARGINS_PX)
        self.box.valueChanged.connect(self._on_edited)
        self._hold(self.box)

    def set_value(self, number: int) -> None:
        """Show a number."""
        self.box.setValue(number)
        self.clear_message()

    def value(self) -> int:
        """The number."""
        return int(self.box.value())


class ClockField(Field):
    """A time of day on the shop's wall clock."""

    def __init__(self, name: str, parent: QWidget) -> None:
        super().__init__(name, parent)
        self.editor = QTimeEdit(self)
        self.editor.setDisplayFormat("HH:mm")
        self.editor.lineEdit().setTextMargins(*MARGINS_PX)
        self.editor.timeChanged.connect(self._on_edited)
        self._hold(self.editor)

    def set_value(self, clock: time) -> None:
        """Show a time of day."""
        self.editor.setTime(QTime(clock.hour, clock.minute))
        self.clear_message()

    def value(self) -> time:
        """The time of day, to the minute."""
        shown = self.editor.time()
        return time(shown.hour(), shown.minute())


class FolderField(Field):
    """A folder, typed or chosen; empty for none."""

    def __init__(self, name: str, parent: QWidget) -> None:
        super().__init__(name, parent)
        self._row = QWidget(self)
        self.line = QLineEdit(self._row)
        self.line.setAccessibleName(name)
        self.line.textEdited.connect(self._on_edited)
        self.choose_button = QPushButton(self.tr("Choose…"), self._row)
        self.choose_button.setAutoDefault(False)
        self.choose_button.clicked.connect(self._choose)
        across = QHBoxLayout(self._row)
        across.setContentsMargins(0, 0, 0, 0)
        across.addWidget(self.line, 1)
        across.addWidget(self.choose_button)
        self._hold(self._row)
        self.setFocusProxy(self.line)

    def setObjectName(self, name: str) -> None:
        """Name the field and everything in it."""
        super().setObjectName(name)
        self.line.setObjectName(f"{name}_line")
        self.choose_button.setObjectName(f"{name}_choose")

    def set_value(self, folder: Path | None) -> None:
        """Show a folder."""
        self.line.setText(str(folder) if folder else "")
        self.clear_message()

    def value(self) -> Path | None:
        """The folder; one that is not there is told so by whoever writes into it."""
        text = self.line.text().strip()
        return Path(text).expanduser() if text else None

    @Slot()
    def _choose(self) -> None:
        folder = QFileDialog.getExistingDirectory(self, self.name, self.line.text())
        if folder:
            self.set_value(Path(folder))
            self._on_edited()
