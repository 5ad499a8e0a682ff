"""The field for the zone of a clock, found by typing any part of its name."""

from __future__ import annotations

from functools import cache
from zoneinfo import available_timezones

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCompleter, QWidget

from shellcoat.desk.dialogs.fields import SuggestField
from shellcoat.shop.shop import UnknownZoneError


class ZoneField(SuggestField):
    """A zone such as Europe/Madrid; a place that no clock knows is told so."""

    def __init__(self, zone: str, parent: QWidget) -> None:
        super().__init__("", parent, check=self._check_zone)
        self.name = self.tr("Time zone")
        for control in (self.combo, self.line):
            control.setAccessibleName(self.name)
        self._zones = all_zones()
        self.offer(self._zones, zone)
        completer = QCompleter(self._zones, self.combo)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        self.combo.setCompleter(completer)

    def _check_zone(self, name: str, text: str) -> None:
        if text not in self._zones:
            raise UnknownZoneError(
                self.tr(
                    "{name}: {zone} is not known. Choose one from the list, such as Europe/Madrid."
                ).format(name=name, zone=f"“{text}”")
            )


@cache
def all_zones() -> list[str]:
    """Every zone this machine knows; finding them reads some hundred files."""
    return sorted(available_timezones())
