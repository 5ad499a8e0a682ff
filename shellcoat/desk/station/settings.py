"""What a person has set for the station: foot switch, scanner, timers. Kept on this machine."""

from __future__ import annotations

import json
from uuid import UUID

from PySide6.QtCore import QSettings, Qt

from shellcoat.operations.station_timers import USUAL_S, TimerKind, Timers, read_timers
from shellcoat.shop import CoatKind

FOOT_KEYS = {
    "": None,
    "F13": Qt.Key.Key_F13,
    "Space": Qt.Key.Key_Space,
    "Enter": Qt.Key.Key_Return,
    "Page Down": Qt.Key.Key_PageDown,
}
"""What foot switches send: most can be set to any key, many come as one of these (from memory)."""

FIRST_SIGNS = {"": "", "STX": "\x02", "~": "~"}
"""A sign a scanner can be set to send before each scan; the empty one: it is told by its speed."""


class StationSettings:
    """Reads and writes the person's settings; the book's timers lie beside them."""

    def __init__(self, shop_id: UUID) -> None:
        self._shop = f"station/{shop_id}"

    @property
    def foot(self) -> str:
        """The name of the foot switch's key."""
        name = str(QSettings().value("station/foot", "F13"))
        return name if name in FOOT_KEYS else "F13"

    def is_foot(self, key: int) -> bool:
        """Whether a key is the foot switch's."""
        wanted = FOOT_KEYS[self.foot]
        both = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        return key == wanted or (wanted in both and key in both)

    def next_foot(self) -> None:
        """Choose the next key there is."""
        QSettings().setValue("station/foot", _after(self.foot, list(FOOT_KEYS)))

    @property
    def first_sign(self) -> str:
        """The name of the sign the scanner sends first."""
        name = str(QSettings().value("station/first_sign", ""))
        return name if name in FIRST_SIGNS else ""

    def next_first_sign(self) -> None:
        """Choose the next sign there is."""
        QSettings().setValue("station/first_sign", _after(self.first_sign, list(FIRST_SIGNS)))

    @property
    def checked(self) -> bool:
        """Whether scans end with a check character."""
        return _flag("station/checked", usual=False)

    def turn_checked(self) -> None:
        """Ask for a check character, or stop asking."""
        QSettings().setValue("station/checked", int(not self.checked))

    @property
    def drains_with_dip(self) -> bool:
        """Whether the drain timer starts with each dip."""
        return _flag("station/drains_with_dip", usual=True)

    def turn_drains_with_dip(self) -> None:
        """Start the drain timer with each dip, or by its button only."""
        QSettings().setValue("station/drains_with_dip", int(not self.drains_with_dip))

    def seconds(self, timer: TimerKind, coat: CoatKind) -> int:
        """How long a timer runs for a kind of coat [s]."""
        kept = self._kept_seconds().get(f"{timer.value}/{coat.value}")
        return kept if isinstance(kept, int) and kept > 0 else USUAL_S[timer, coat]

    def set_seconds(self, timer: TimerKind, coat: CoatKind, seconds: int) -> None:
        """Keep how long a timer runs for a kind of coat [s]."""
        kept = self._kept_seconds() | {f"{timer.value}/{coat.value}": seconds}
        QSettings().setValue(f"{self._shop}/seconds", json.dumps(kept))

    def _kept_seconds(self) -> dict[str, object]:
        try:
            kept = json.loads(str(QSettings().value(f"{self._shop}/seconds", "{}")))
        except ValueError:
            return {}
        return kept if isinstance(kept, dict) else {}

    def read_timers(self) -> Timers:
        """The timers that run on this book."""
        return read_timers(str(QSettings().value(f"{self._shop}/timers", "")))

    def keep_timers(self, timers: Timers) -> None:
        """Keep them, so that they go on when the program is closed."""
        QSettings().setValue(f"{self._shop}/timers", timers.written())


def _after(name: str, names: list[str]) -> str:
    return names[(names.index(name) + 1) % len(names)]


def _flag(key: str, *, usual: bool) -> bool:
    """A yes or no; some stores give back text."""
    return str(QSettings().value(key, int(usual))).lower() in ("1", "true")
