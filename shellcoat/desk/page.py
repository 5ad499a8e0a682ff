"""What every page is: a widget that redraws itself when it is both stale and seen."""

from __future__ import annotations

from uuid import UUID

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme


class Page(QWidget):
    """One page of the desk.

    Signals
    -------
    shell_requested, dip_requested : a shell's id, to be shown on the Shell or the Dip page
    station_requested : the dipping station
    said : a sentence for the line at the foot of the window
    """

    shell_requested = Signal(object)
    dip_requested = Signal(object)
    station_requested = Signal()
    said = Signal(str)

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.theme = theme
        self._stale = True
        session.changed.connect(self.mark_stale)
        session.forecasts_changed.connect(self.mark_stale)

    @Slot()
    def mark_stale(self) -> None:
        """Redraw now if anybody looks, else when somebody does."""
        self._stale = True
        if self.isVisible():
            self._redraw()

    def _redraw(self) -> None:
        self._stale = False
        self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Bring the page up to date as it comes into view."""
        super().showEvent(event)
        if self._stale:
            self._redraw()

    def refresh(self) -> None:
        """Show what stands now; each page has its own."""
        raise NotImplementedError

    def show_shell(self, shell_id: UUID) -> None:
        """Turn to one shell; pages that are not about one shell stay as they are."""

    def set_theme(self, theme: Theme) -> None:
        """Take on new colours."""
        self.theme = theme
        self.mark_stale()
