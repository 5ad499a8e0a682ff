"""The ways to tell that live on this machine: its loudspeaker and its notifications."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from PySide6.QtCore import QObject, QUrl
from PySide6.QtWidgets import QApplication, QSystemTrayIcon

from shellcoat.alerts.folding import TellingLine
from shellcoat.alerts.life import AlertKind
from shellcoat.alerts.sound import sound_file

MESSAGE_MS = 20_000


class Played(Enum):
    """How a sound was played."""

    SOUND = "sound"
    BEEP = "beep"


class SoundPlayer(QObject):
    """Plays the sounds of prompts and alarms; a machine that cannot play them beeps."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._effects: dict[AlertKind, QObject] = {}

    def play(self, kind: AlertKind) -> Played:
        """Play a sound once."""
        # Loaded when first needed: the multimedia library takes longer to load than the window.
        try:
            from PySide6.QtMultimedia import QMediaDevices, QSoundEffect
        except ImportError:
            QApplication.beep()  # a machine without a sound library
            return Played.BEEP
        if not QMediaDevices.audioOutputs():
            QApplication.beep()
            return Played.BEEP
        if kind not in self._effects:
            effect = QSoundEffect(self)
            effect.setSource(QUrl.fromLocalFile(str(sound_file(kind))))
            self._effects[kind] = effect
        self._effects[kind].play()  # type: ignore[attr-defined]
        return Played.SOUND


class TrayWay:
    """The system's own notification, a courtesy: it may not appear, and nothing rests on it."""

    name = "desktop notification"

    def __init__(self, tray: QSystemTrayIcon | None) -> None:
        self._tray = tray

    @property
    def works(self) -> bool:
        """Whether this desktop takes notifications at all; whether it shows them nobody knows."""
        tray = self._tray
        return tray is not None and tray.isVisible() and QSystemTrayIcon.supportsMessages()

    def tell(self, lines: Sequence[TellingLine]) -> None:
        """Show the lines as one message."""
        self.show("\n".join(line.text for line in lines))

    def show(self, text: str) -> None:
        """Show a message, where this desktop takes any."""
        if self._tray is not None and self.works and text:
            self._tray.showMessage("shellcoat", text, self._tray.icon(), MESSAGE_MS)
