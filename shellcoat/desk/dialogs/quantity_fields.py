"""Fields for quantities that are exact until somebody types over them."""

from __future__ import annotations

from shellcoat.desk.fields import QuantityField
from shellcoat.shop.checks import MissingTextError


class KeptQuantityField(QuantityField):
    """A quantity that comes back exactly as it was given until somebody types."""

    _given: tuple[str, float] | None = None

    def set_value(self, value: float | None) -> None:
        """Show a stored value, and remember it behind its rounded text."""
        super().set_value(value)
        self._given = None if value is None else (self.line.text(), value)

    def value(self) -> float | None:
        """The value given, or the one typed since."""
        if self._given is not None and self.line.text() == self._given[0]:
            self.clear_message()
            return self._given[1]
        return super().value()


class PairedQuantityField(KeptQuantityField):
    """A quantity that is known together with its partner or not at all."""

    partner: QuantityField | None = None

    def value(self) -> float | None:
        """The value; None only where the partner is empty too."""
        value = super().value()
        if value is None and self.partner is not None and self.partner.line.text().strip():
            message = self.tr("{name} is empty. Type it too, or empty {partner} as well.").format(
                name=self.line.accessibleName(), partner=self.partner.line.accessibleName()
            )
            self.show_message(message)
            raise MissingTextError(message)
        return value
