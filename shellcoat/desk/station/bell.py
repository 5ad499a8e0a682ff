"""The sound of a timer that has run out."""

from __future__ import annotations

from PySide6.QtCore import QObject, QUrl
from PySide6.QtWidgets import QApplication

from shellcoat.alerts.life import AlertKind
from shellcoat.alerts.sound import sound_file


class Bell:
    """Two strokes on a bar; a machine that cannot play them beeps."""

    def __init__(self, owner: QObject) -> None:
        self._owner = owner
        self._effect: QObject | None = None

    def ring(self) -> None:
        """Ring once."""
        # The multimedia library takes longer to load than the window: only when it is needed.
        try:
            from PySide6.QtMultimedia import QMediaDevices, QSoundEffect
        except ImportError:
            QApplication.beep()
            return
        if not QMediaDevices.audioOutputs():
            QApplication.beep()
            return
        if self._effect is None:
            effect = QSoundEffect(self._owner)
            effect.setSource(QUrl.fromLocalFile(str(sound_file(AlertKind.PROMPT))))
            self._effect = effect
        self._effect.play()  # type: ignore[attr-defined]
