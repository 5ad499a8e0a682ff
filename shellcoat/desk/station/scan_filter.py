"""Takes a scanner's keys out of whatever window has the focus, before any field sees them."""

from __future__ import annotations

from PySide6.QtCore import (
    QCoreApplication,
    QElapsedTimer,
    QEvent,
    QObject,
    Qt,
    QTimer,
    Signal,
    Slot,
)
from PySide6.QtGui import QGuiApplication, QKeyEvent, QWindow

from shellcoat.desk.station.scan_reader import ScanReader

ENDS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab)
SHIFTS = (Qt.Key.Key_Shift, Qt.Key.Key_CapsLock, Qt.Key.Key_AltGr)
OTHERS = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


class ScanFilter(QObject):
    """Sits on the one window that has the focus, so that it sees each key once.

    A filter on the application would see a key again for every widget it is passed to. Keys that
    turn out to be typed are given back in their order.

    Signals
    -------
    scanned : the text a scanner read
    """

    scanned = Signal(str)

    def __init__(self, app: QGuiApplication, parent: QObject) -> None:
        super().__init__(parent)
        self.reader = ScanReader()
        self._window: QWindow | None = None
        self._kept: list[QKeyEvent] = []
        self._giving_back = False
        self._clock = QElapsedTimer()
        self._clock.start()
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.timeout.connect(self._on_waited)
        app.focusWindowChanged.connect(self.move_to)
        self.move_to(app.focusWindow())

    @Slot(QWindow)
    def move_to(self, window: QWindow | None) -> None:
        """Sit on another window; what was kept back from the last one goes back to it."""
        if window is self._window:
            return
        if self._window is not None:
            self._on_waited()
            self._window.removeEventFilter(self)
            self._window.destroyed.disconnect(self._forget)
        self._window = window
        if window is not None:
            window.installEventFilter(self)
            window.destroyed.connect(self._forget)

    @Slot()
    def _forget(self) -> None:
        self._window = None
        self._kept.clear()
        self.reader.clear()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep back what may be a scan."""
        if (
            event.type() not in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease)
            or self._giving_back
            or watched is not self._window
            or not isinstance(event, QKeyEvent)
        ):
            return False
        if event.type() is QEvent.Type.KeyPress:
            return self._take(event)
        return self._take_release(event)

    def _take_release(self, event: QKeyEvent) -> bool:
        """A key is let go after it was pressed: where its press waits, so does this."""
        waits = any(kept.key() == event.key() for kept in self._kept)
        if waits:
            self._kept.append(event.clone())
        return waits

    def _take(self, event: QKeyEvent) -> bool:
        if event.key() in SHIFTS:
            return False
        own = event.modifiers() & OTHERS or event.isAutoRepeat()
        ends = event.key() in ENDS and not own
        at_ms = float(event.timestamp() or self._clock.elapsed())
        taken = self.reader.key("" if own else event.text(), at_ms, ends=ends)
        if taken.give_back:
            self._give_back()
        if taken.keep and not taken.scan:
            self._kept.append(event.clone())
        elif taken.scan:
            self._kept.clear()
            self.scanned.emit(taken.scan)
        self._wait.start(self.reader.waiting_ms) if self.reader.waiting_ms else self._wait.stop()
        return taken.keep

    @Slot()
    def _on_waited(self) -> None:
        if self.reader.expire():
            self._give_back()
        self._kept.clear()

    def _give_back(self) -> None:
        kept, self._kept = self._kept, []
        window, self._giving_back = self._window, True
        try:
            for event in kept:
                if window is not None:
                    QCoreApplication.sendEvent(window, event)
        finally:
            self._giving_back = False
