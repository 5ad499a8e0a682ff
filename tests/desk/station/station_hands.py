"""Hands for the station's tests: fingers, a scanner, and clocks."""

from __future__ import annotations

from datetime import timedelta

from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QKeyEvent, QWindow
from small_shop import NOW

EVENING = NOW + timedelta(hours=9)
"""The heron is dry by then."""

LAPTOP = (1366, 768)


class Steady:
    """A clock in seconds that a test moves."""

    def __init__(self) -> None:
        self.seconds = 1_000.0

    def __call__(self) -> float:
        return self.seconds

    def forward(self, seconds: float) -> None:
        """Let time pass."""
        self.seconds += seconds


class Rings:
    """A bell that counts."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self) -> None:
        self.times += 1


class Keys:
    """A keyboard wedged into a window, as the system delivers it: keys with their own times."""

    def __init__(self, window: QWindow) -> None:
        self._window = window
        self.at_ms = 5_000

    def send(self, text: str, gap_ms: int) -> None:
        """Type a text; "\\n" is Enter."""
        for letter in text:
            self.at_ms += gap_ms
            self.press(letter)

    def press(self, letter: str) -> None:
        """One key down and up, now."""
        key = Qt.Key.Key_Return if letter == "\n" else Qt.Key(ord(letter.upper()))
        text = "\r" if letter == "\n" else letter
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            event = QKeyEvent(kind, key, Qt.KeyboardModifier.NoModifier, text)
            event.setTimestamp(self.at_ms)
            QCoreApplication.sendEvent(self._window, event)
