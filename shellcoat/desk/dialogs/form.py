"""What every dialog is: fields that scroll where the screen is low, over a line of buttons."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

import shiboken6
from PySide6.QtCore import QEvent, QSize, Qt, Slot
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.fields import Field
from shellcoat.desk.dialogs.lettering import breakable, dialog_sheet, worn_theme
from shellcoat.desk.fields import QuantityField, message_label
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.errors import MendableError

Result = TypeVar("Result")
AnyField = Field | QuantityField
ButtonRole = QDialogButtonBox.ButtonRole

MARGIN = 18
ROUND_THE_WINDOW = QSize(24, 64)
"""What a window's frame and the desktop's bars take from the screen."""


class FormDialog(QDialog):
    """A body of fields, a message that belongs to none of them, and buttons.

    Escape cancels, Enter presses the primary button.
    """

    def __init__(self, name: str, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.setWindowTitle(title)
        self._theme: Theme | None = None
        self.body = QWidget(self)
        self.body.setObjectName("dialog_body")
        self._scroll = _FittingScroll(self.body, self)
        self.fault = message_label(self)
        self.fault.setObjectName(f"{name}_fault")
        self.notice = label(self, f"{name}_notice", "notice", wrap=True)
        self.notice.hide()
        self.buttons = QDialogButtonBox(self)
        self.buttons.rejected.connect(self.reject)
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(MARGIN, MARGIN, MARGIN, MARGIN)
        column.setSpacing(GAP)
        column.addWidget(self._scroll, 1)
        column.addWidget(self.fault)
        column.addWidget(self.notice)
        column.addSpacing(GAP)
        column.addWidget(self.buttons)
        self._dress()

    def add_button(
        self, text: str, name: str, role: ButtonRole, slot: Callable[[], object] | None = None
    ) -> QPushButton:
        """Add a button to the line at the foot."""
        button = QPushButton(text, self)
        self._put(button, name, role, slot)
        return button

    def _put(
        self,
        button: QPushButton,
        name: str,
        role: ButtonRole,
        slot: Callable[[], object] | None,
    ) -> None:
        button.setObjectName(name)
        if slot is not None:
            button.clicked.connect(slot)
        self.buttons.addButton(button, role)

    def add_primary(
        self, text: str, name: str, slot: Callable[[], object] | None = None
    ) -> QPushButton:
        """Add the button that Enter presses."""
        button = QPushButton(text, self)
        button.setProperty("role", "primary")  # before it is first polished, or it does not show
        self._put(button, name, ButtonRole.AcceptRole, slot)
        button.setDefault(True)
        return button

    def add_cancel(self, text: str, name: str) -> QPushButton:
        """Add the button that Escape presses."""
        return self.add_button(text, name, ButtonRole.RejectRole)

    @Slot(str)
    def say_fault(self, text: str) -> None:
        """Show what went wrong and is no single field's fault."""
        self.fault.setText(breakable(text))
        self.fault.show()
        self.fit()

    def say(self, text: str) -> None:
        """Show something to know that is not wrong; an empty text takes it away."""
        self.notice.setText(breakable(text))
        self.notice.setVisible(bool(text))
        self.fit()

    def all_right(self, fields: Sequence[AnyField]) -> bool:
        """Look at every field; all faults are shown at once, and the first gets the focus."""
        self.fault.hide()
        wrong = [field for field in fields if not _is_right(field)]
        if wrong:
            self.point_at(wrong[0])
        return not wrong

    def point_at(self, field: AnyField) -> None:
        """Bring a field with something wrong into view."""
        self.fit()
        field.setFocus(Qt.FocusReason.OtherFocusReason)
        self._scroll.ensureWidgetVisible(field)

    def fit(self) -> None:
        """Grow to what there is to show, as far as the screen goes."""
        if not self.isVisible():
            return
        self._scroll.hint_anew()
        self._column.activate()
        room = self.screen().availableSize() - ROUND_THE_WINDOW
        self.resize(self.sizeHint().expandedTo(self.size()).boundedTo(room))

    def showEvent(self, event: QShowEvent) -> None:
        """Open no larger than the screen."""
        super().showEvent(event)
        self.fit()

    def changeEvent(self, event: QEvent) -> None:
        """Take on new colours with the program."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._dress()

    def _dress(self) -> None:
        theme = worn_theme()
        if theme is not self._theme:
            self._theme = theme
            self.setStyleSheet(dialog_sheet(theme))

    def exec(self) -> int:
        """Run until closed; the window then goes, and its answer stays readable meanwhile."""
        answer = super().exec()
        self.deleteLater()
        return answer


class SessionDialog(FormDialog):
    """A dialog about the open book; faults in saving are shown in it as well."""

    def __init__(
        self, session: DeskSession, name: str, title: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(name, title, parent)
        self.session = session
        session.failed.connect(self.say_fault)

    @property
    def read_only(self) -> bool:
        """Whether nothing can be saved."""
        return self.session.opened.book.read_only

    def guard_saving(self, *buttons: QPushButton) -> None:
        """Disable what saves where the book is read only, and say why."""
        if not self.read_only:
            return
        words = self.tr("This book is open to read only, so nothing can be saved in it.")
        for button in buttons:
            button.setEnabled(False)
            button.setToolTip(words)
        self.say(words)

    def in_background(self, work: Callable[[], Result], done: Callable[[Result], object]) -> None:
        """Do something long in a worker; the answer is dropped if the dialog has gone."""

        def take(result: Result) -> None:
            if shiboken6.isValid(self):
                done(result)

        def give_up(message: str) -> None:
            if shiboken6.isValid(self):
                self.on_background_fault(message)

        self.session.runner.run(work, take, give_up)

    def on_background_fault(self, message: str) -> None:
        """Show what went wrong in a worker."""
        self.say_fault(message)


class _FittingScroll(QScrollArea):
    """Wants to be as large as what it holds, and scrolls when it cannot."""

    def __init__(self, body: QWidget, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("dialog_scroll")
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidgetResizable(True)
        self.setWidget(body)
        self._body = body

    def hint_anew(self) -> None:
        """Take in that the body has grown or shrunk."""
        layout = self._body.layout()
        if layout is not None:
            layout.activate()
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """As large as the body, with room for a scroll bar beside it."""
        hint = self._body.sizeHint().expandedTo(self._body.minimumSize())
        width = hint.width() + self.verticalScrollBar().sizeHint().width()
        if self._body.hasHeightForWidth():
            return QSize(width, self._body.heightForWidth(hint.width()))
        return QSize(width, hint.height())

    def minimumSizeHint(self) -> QSize:
        """As wide as the body needs; its height can scroll."""
        least = self._body.minimumSizeHint().expandedTo(self._body.minimumSize())
        return QSize(least.width() + self.verticalScrollBar().sizeHint().width(), 120)


def _is_right(field: AnyField) -> bool:
    try:
        field.value()
    except MendableError:
        return False  # the field shows what is wrong
    return True
