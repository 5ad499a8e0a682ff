"""Fields of the dialogs: a control with its message beneath, read and checked in one go.

All of them answer `value()`, which raises what is wrong with it after showing it at the field.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit, QVBoxLayout, QWidget

from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.fields import message_label
from shellcoat.desk.time_field import WallTimeField
from shellcoat.errors import MendableError
from shellcoat.shop.checks import (
    NAME_LENGTH,
    NOTE_LENGTH,
    check_name,
    check_text,
)

NOTE_HEIGHT_PX = 72

Check = Callable[[str, str], None]


class NothingChosenError(MendableError):
    """A list in which nothing is chosen."""


class Field(QWidget):
    """A control and what is wrong with it; `name` is what messages call it."""

    edited = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name = name
        self._message = message_label(self)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)

    def _hold(self, control: QWidget) -> None:
        """Put the control above the message."""
        control.setAccessibleName(self.name)
        self._control = control
        self._column.addWidget(control)
        self._column.addWidget(self._message)
        self.setFocusProxy(control)

    def setObjectName(self, name: str) -> None:
        """Name the field; its control and message are called after it."""
        super().setObjectName(name)
        self._control.setObjectName(f"{name}_control")
        self._message.setObjectName(f"{name}_message")

    @property
    def message(self) -> str:
        """What is shown to be wrong; empty while nothing is."""
        return "" if self._message.isHidden() else self._message.text().replace("\u200b", "")

    def show_message(self, text: str) -> None:
        """Show what is wrong beneath the control."""
        self._message.setText(breakable(text))
        self._message.show()
        self._control.setAccessibleDescription(text)

    def clear_message(self) -> None:
        """Take the message away."""
        self._message.hide()
        self._control.setAccessibleDescription("")

    def value(self) -> Any:
        """What stands in the field; each kind has its own."""
        raise NotImplementedError

    @Slot()
    def _on_edited(self) -> None:
        self.clear_message()
        self.edited.emit()

    def _checked(self, text: str, check: Check) -> str:
        """The text, once `check` has nothing against it."""
        try:
            check(self.name, text)
        except MendableError as error:
            self.show_message(str(error))
            raise
        self.clear_message()
        return text


class TextField(Field):
    """One line of text."""

    def __init__(
        self, name: str, parent: QWidget | None = None, *, check: Check = check_text
    ) -> None:
        super().__init__(name, parent)
        self._check = check
        self.line = QLineEdit(self)
        self.line.setMaxLength(NAME_LENGTH if check is check_name else NOTE_LENGTH)
        self.line.textEdited.connect(self._on_edited)
        self._hold(self.line)

    def set_value(self, text: str) -> None:
        """Show a text from its beginning."""
        self.clear_message()
        self.line.setText(text)
        self.line.setCursorPosition(0)

    def value(self) -> str:
        """The text without the blanks around it."""
        return self._checked(self.line.text().strip(), self._check)


class NoteField(Field):
    """A few lines of text; Tab leaves it."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.editor = QPlainTextEdit(self)
        self.editor.setTabChangesFocus(True)
        self.editor.setFixedHeight(NOTE_HEIGHT_PX)
        self.editor.textChanged.connect(self._on_edited)
        self._hold(self.editor)

    def set_value(self, text: str) -> None:
        """Show a text."""
        self.clear_message()
        blocked = self.editor.blockSignals(True)
        self.editor.setPlainText(text)
        self.editor.blockSignals(blocked)

    def value(self) -> str:
        """The text without the blanks around it."""
        return self._checked(self.editor.toPlainText().strip(), check_text)


class ChoiceField(Field):
    """One of several things."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.combo = _combo(self)
        self.combo.activated.connect(self._on_edited)
        self._hold(self.combo)

    def offer(self, choices: Iterable[tuple[str, object]]) -> None:
        """Fill the list with texts and what they stand for."""
        self.combo.clear()
        for text, data in choices:
            self.combo.addItem(text, data)

    def set_value(self, data: object) -> None:
        """Choose what a text stands for; nothing where the list does not have it."""
        self.clear_message()
        found = (i for i in range(self.combo.count()) if self.combo.itemData(i) == data)
        self.combo.setCurrentIndex(next(found, -1))

    def value(self) -> Any:
        """What the chosen text stands for."""
        if self.combo.currentIndex() < 0:
            message = self.tr("{name}: nothing is chosen. Choose one from the list.").format(
                name=self.name
            )
            self.show_message(message)
            raise NothingChosenError(message)
        self.clear_message()
        return self.combo.currentData()


class SuggestField(Field):
    """A line of text with suggestions that nobody has to take."""

    def __init__(
        self, name: str, parent: QWidget | None = None, *, check: Check = check_text
    ) -> None:
        super().__init__(name, parent)
        self._check = check
        self.combo = _combo(self)
        self.line = QLineEdit(self.combo)
        self.line.setMaxLength(NAME_LENGTH)
        self.line.setAccessibleName(name)
        self.combo.setEditable(True)
        self.combo.setLineEdit(self.line)
        self.combo.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.combo.editTextChanged.connect(self._on_edited)
        self._hold(self.combo)

    def setObjectName(self, name: str) -> None:
        """Name the field and everything in it."""
        super().setObjectName(name)
        self.line.setObjectName(f"{name}_line")

    def offer(self, texts: Iterable[str], text: str) -> None:
        """Fill the list, and show one text."""
        blocked = self.combo.blockSignals(True)
        self.combo.clear()
        self.combo.addItems(list(texts))
        self.combo.blockSignals(blocked)
        self.set_value(text)

    def set_value(self, text: str) -> None:
        """Show a text from its beginning."""
        blocked = self.combo.blockSignals(True)
        self.combo.setEditText(text)
        self.combo.blockSignals(blocked)
        self.line.setCursorPosition(0)
        self.clear_message()

    def value(self) -> str:
        """The text without the blanks around it."""
        return self._checked(self.combo.currentText().strip(), self._check)


class TimeField(Field):
    """A time on the shop's wall clock, given back to the microsecond until it is changed."""

    def __init__(
        self, name: str, zone: ZoneInfo, now: Callable[[], datetime], parent: QWidget | None = None
    ) -> None:
        super().__init__(name, parent)
        self._given: datetime | None = None
        self.time = WallTimeField(zone, now, name, self)
        self.time.edited.connect(self._on_edited)
        self._hold(self.time)
        self.setFocusProxy(self.time.editor)

    def setObjectName(self, name: str) -> None:
        """Name the field and everything in it."""
        super().setObjectName(name)
        self.time.editor.setObjectName(f"{name}_editor")
        self.time.fold.setObjectName(f"{name}_fold")
        self.time.now_button.setObjectName(f"{name}_now")

    def set_value(self, moment: datetime) -> None:
        """Show a time."""
        self._given = moment
        self.time.set_moment(moment)

    def value(self) -> datetime:
        """The time meant, in UTC."""
        moment = self.time.moment()
        given = self._given
        # The editor shows no parts of a second.
        same = given is not None and abs(moment - given) < timedelta(seconds=1)
        return given if given is not None and same else moment


def _combo(parent: QWidget) -> QComboBox:
    """A list whose width does not follow the longest name in it."""
    combo = QComboBox(parent)
    combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    combo.setMinimumContentsLength(16)
    combo.setMaxVisibleItems(14)
    return combo
