"""Sheets to pick from: the shells of a batch, why a dip is early, the settings."""

from __future__ import annotations

from uuid import UUID

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QWidget

from shellcoat.desk.station.settings import StationSettings
from shellcoat.desk.station.sheets import Choice, ChoiceSheet
from shellcoat.desk.station.work import StationWork
from shellcoat.desk.theme import Theme
from shellcoat.operations.station import is_due


class BatchSheet(ChoiceSheet):
    """The shells whose next coat is the same; those that are due are ticked to begin with."""

    def __init__(self, work: StationWork, theme: Theme, parent: QWidget) -> None:
        super().__init__("batch", theme, parent)
        self._work = work
        self.ticked: list[UUID] = []
        self.start = self.add("batch_start", "", self._start, primary=True)
        self.foot = [
            self.start,
            self.add("batch_none", self.tr("NONE"), self._untick),
            self.add("batch_back", self.tr("BACK"), self.closed.emit),
        ]
        self.chosen.connect(self._turn)

    def begin(self) -> None:
        """Offer the shells that get the same coat as the one on the board."""
        self.ticked = [row.shell.id for row in self._work.batch_rows() if is_due(row)]
        self.look()

    def look(self, *, same_page: bool = False) -> None:
        """Show who is in it."""
        rows = self._work.batch_rows()
        proposal = self._work.proposal()
        step = proposal.step if proposal else None
        self._title = (
            self.tr("ALL GET {slurry}").format(slurry=f"{step.slurry}, {step.stucco}".strip(", "))
            if step
            else self.tr("NOTHING TO DIP")
        ).upper()
        self.start.say(self.tr("START {count}").format(count=len(self.ticked)))
        self.show_choices(
            [
                Choice(
                    row.shell.id,
                    f"{row.shell.label} {row.shell.name}"
                    + ("" if is_due(row) else self.tr(" (EARLY)")),
                    row.shell.id in self.ticked,
                )
                for row in rows
            ],
            same_page=same_page,
        )

    @Slot(object)
    def _turn(self, shell_id: object) -> None:
        if not isinstance(shell_id, UUID):
            return
        if shell_id in self.ticked:
            self.ticked.remove(shell_id)
        else:
            self.ticked.append(shell_id)
        self.look(same_page=True)

    def _untick(self) -> None:
        self.ticked = []
        self.look(same_page=True)

    def _start(self) -> None:
        order = [row.shell.id for row in self._work.batch_rows() if row.shell.id in self.ticked]
        if order:
            self.closed.emit()
            self._work.start_batch(order)


class ReasonSheet(ChoiceSheet):
    """Why a dip is early, to be pressed rather than typed; the Dip page takes any words."""

    def __init__(self, work: StationWork, theme: Theme, parent: QWidget) -> None:
        super().__init__("reason", theme, parent)
        self._work = work
        self.foot = [self.add("reason_back", self.tr("BACK"), self.closed.emit)]
        self.chosen.connect(self._take)

    def begin(self) -> None:
        """Offer the usual reasons."""
        self._title = self.tr("WHY EARLY?")
        reasons = (
            self.tr("It felt dry"),
            self.tr("It was dried with a fan or warmth"),
            self.tr("There is no time to wait"),
            self.tr("A patch, or a thin wash"),
            self.tr("The burnout is booked"),
            self.tr("No reason given"),
        )
        given = self._work.reason
        self.show_choices([Choice(text, text, text == given) for text in reasons])

    @Slot(object)
    def _take(self, reason: object) -> None:
        self._work.reason = "" if reason == self.tr("No reason given") else str(reason)
        self.closed.emit()


class SettingsSheet(ChoiceSheet):
    """What can be set with a wet finger: each press turns to the next value."""

    card_requested = Signal()
    scanner_changed = Signal()

    def __init__(self, settings: StationSettings, theme: Theme, parent: QWidget) -> None:
        super().__init__("settings", theme, parent)
        self._settings = settings
        self.foot = [self.add("settings_back", self.tr("BACK"), self.closed.emit)]
        self.chosen.connect(self._turn)

    def begin(self) -> None:
        """Show how things are set."""
        self._title = self.tr("SET UP: PRESS TO CHANGE")
        settings = self._settings
        none = self.tr("none")
        sign = settings.first_sign or none
        self.show_choices(
            [
                Choice("foot", self.tr("FOOT SWITCH KEY: {key}").format(key=settings.foot or none)),
                Choice(
                    "drain", self.tr("DRAIN TIMER STARTS WITH EACH DIP"), settings.drains_with_dip
                ),
                Choice("sign", self.tr("SCANNER SENDS FIRST: {sign}").format(sign=sign)),
                Choice("checked", self.tr("SCANS END WITH A CHECK CHARACTER"), settings.checked),
                Choice("card", self.tr("MEASURE THIS SCREEN WITH A CARD")),
            ]
        )

    @Slot(object)
    def _turn(self, key: object) -> None:
        if key == "card":
            self.card_requested.emit()
            return
        turn = {
            "foot": self._settings.next_foot,
            "drain": self._settings.turn_drains_with_dip,
            "sign": self._settings.next_first_sign,
            "checked": self._settings.turn_checked,
        }
        turn[str(key)]()
        self.scanner_changed.emit()
        self.begin()
