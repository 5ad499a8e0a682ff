"""Fields for quantities: type it in any unit, see at once whether it was understood."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QLabel, QLineEdit, QVBoxLayout, QWidget

from shellcoat.desk.session import DeskSession
from shellcoat.errors import MendableError
from shellcoat.units import Quantity, read_quantity, write_quantity


class QuantityField(QWidget):
    """A line for one quantity with its message beneath.

    Empty means unknown where the field is `optional`. `name` is what messages call it.
    """

    edited = Signal()

    def __init__(
        self,
        session: DeskSession,
        name: str,
        quantity: Quantity,
        *,
        low: float | None = None,
        high: float | None = None,
        optional: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._name, self._quantity = session, name, quantity
        self._low, self._high, self._optional = low, high, optional
        self.line = QLineEdit(self)
        self.line.setAccessibleName(name)
        self.line.setPlaceholderText(session.opened.units.unit_for(quantity))
        self.line.textEdited.connect(self._on_edited)
        self._message = message_label(self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addWidget(self.line)
        layout.addWidget(self._message)
        self.setFocusProxy(self.line)

    def setObjectName(self, name: str) -> None:
        """Name the field; its line and message are called after it."""
        super().setObjectName(name)
        self.line.setObjectName(f"{name}_line")
        self._message.setObjectName(f"{name}_message")

    def set_value(self, value: float | None) -> None:
        """Show a stored value in the person's units."""
        self.clear_message()
        if value is None:
            self.line.clear()
            return
        text = write_quantity(
            value,
            self._quantity,
            self._session.opened.units,
            decimal_mark=self._session.decimal_mark,
        )
        self.line.setText(text)

    def value(self) -> float | None:
        """What stands in the field, in SI; None when it is empty and may be.

        Raises
        ------
        MendableError
            when the text is no such quantity; the message is shown beneath the field too.
        """
        text = self.line.text().strip()
        if not text and self._optional:
            self.clear_message()
            return None
        try:
            value = read_quantity(
                text,
                self._quantity,
                field=self._name,
                unit=self._session.opened.units.unit_for(self._quantity),
                low=self._low,
                high=self._high,
                decimal_mark=self._session.decimal_mark,
            )
        except MendableError as error:
            self.show_message(str(error))
            raise
        self.clear_message()
        return value

    def required(self) -> float:
        """The value of a field that must not be empty."""
        value = self.value()
        if value is None:
            message = self.tr("%1 is empty. Type a value.").replace("%1", self._name)
            self.show_message(message)
            raise MendableError(message)
        return value

    @Slot()
    def _on_edited(self) -> None:
        self.clear_message()
        self.edited.emit()

    def show_message(self, text: str) -> None:
        """Show what is wrong beneath the field."""
        self._message.setText(text)
        self._message.show()
        self.line.setAccessibleDescription(text)

    def clear_message(self) -> None:
        """Take the message away."""
        self._message.hide()
        self.line.setAccessibleDescription("")


def message_label(parent: QWidget) -> QLabel:
    """A label for what is wrong with a field; hidden until there is something."""
    label = QLabel(parent)
    label.setProperty("role", "fault")
    label.setWordWrap(True)
    label.hide()
    return label
