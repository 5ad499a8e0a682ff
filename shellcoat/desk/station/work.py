"""What goes on at the station: which shell is up, its dip, the last one, a batch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum
from uuid import UUID

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from shellcoat.desk.session import DeskSession
from shellcoat.desk.station.timer_keeper import TimerKeeper
from shellcoat.operations.dips import (
    DipOrder,
    DipProposal,
    log_dip,
    order_from,
    propose_dip,
    undo_coat,
)
from shellcoat.operations.rack import RackRow, rack_rows
from shellcoat.operations.scans import shell_scanned
from shellcoat.operations.station import (
    Batch,
    Board,
    board_after,
    board_before,
    expected_row,
    same_step_rows,
)
from shellcoat.operations.station_timers import TimerKind
from shellcoat.operations.wording import write_warnings
from shellcoat.shop import Coat, CoatKind

AFTER_CHOICE_MS = 500
"""A finger that bounces on the first press must not press the second."""

AFTER_DIP_MS = 1_500
"""As long as the Dip page's button rests."""


class Mode(Enum):
    """Where the two presses stand."""

    EXPECTING = "expecting"
    CHOSEN = "chosen"
    DIPPED = "dipped"


class StationWork(QObject):
    """Two presses and what they lead to.

    Signals
    -------
    changed : something to be shown is another
    said : a sentence that stands on the page until the next press
    """

    changed = Signal()
    said = Signal(str)

    def __init__(self, session: DeskSession, keeper: TimerKeeper, parent: QObject) -> None:
        super().__init__(parent)
        self.session, self.keeper = session, keeper
        self.mode = Mode.EXPECTING
        self.chosen: UUID | None = None
        self.batch: Batch | None = None
        self.last: Coat | None = None
        self.reason = ""
        self._order: DipOrder | None = None
        self._draining: dict[UUID, UUID] = {}
        self.rest_ms = {Mode.CHOSEN: AFTER_CHOICE_MS, Mode.DIPPED: AFTER_DIP_MS}
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.timeout.connect(self.changed)
        session.changed.connect(self._on_news)
        session.forecasts_changed.connect(self._on_news)

    @property
    def resting(self) -> bool:
        """Whether a press would be the bounce of the last one."""
        return self._rest.isActive()

    def _rest_for(self, rest_ms: int) -> None:
        self._rest.start(rest_ms) if rest_ms else self._rest.stop()

    def rows(self) -> list[RackRow]:
        """The rack, most pressing first."""
        return rack_rows(self.session.opened, self.session.forecasts, self.session.now())

    def expected(self) -> RackRow | None:
        """The shell that is next."""
        return expected_row(self.rows())

    def shown(self) -> UUID | None:
        """The shell the board is about, before a dip."""
        if self.mode is Mode.CHOSEN:
            return self.chosen
        expected = self.expected()
        return expected.shell.id if expected else None

    def proposal(self) -> DipProposal | None:
        """The next dip of the shell on the board; None while its forecast is on its way."""
        shell_id = self.shown()
        row = next((row for row in self.rows() if row.shell.id == shell_id), None)
        if row is None or row.forecast is None:
            return None
        return propose_dip(self.session.opened, row.shell, row.forecast)

    def board(self) -> Board:
        """What to show."""
        opened, now = self.session.opened, self.session.now()
        if self.mode is Mode.DIPPED and self.last is not None:
            forecast = self.session.forecasts.get(self.last.shell_id)
            return board_after(opened, self.last, forecast, now)
        proposal = self.proposal()
        return board_before(proposal, opened, now) if proposal else Board()

    def coat_kind(self) -> CoatKind:
        """Of the coat that goes on now, or went on last: whose timers are meant."""
        proposal = self.proposal() if self.mode is not Mode.DIPPED else None
        if proposal is not None and proposal.step is not None:
            return proposal.step.kind
        return self.last.step.kind if self.last else CoatKind.BACKUP

    @Slot()
    def next_step(self) -> None:
        """What the large button, Enter and the foot switch do."""
        if self.resting:
            return
        if self.mode is Mode.CHOSEN:
            self.dip()
            return
        expected = self.expected()
        if expected is None:
            self.said.emit(self.tr("No shell waits for a dip."))
        else:
            self.choose(expected.shell.id)

    def choose(self, shell_id: UUID) -> None:
        """Take a shell up: the next press logs its dip."""
        if self.batch is not None and self.batch.current != shell_id:
            self.batch = None
        self._take_up(shell_id, self.rest_ms[Mode.CHOSEN])

    def _take_up(self, shell_id: UUID, rest_ms: int) -> None:
        self.mode, self.chosen, self.reason = Mode.CHOSEN, shell_id, ""
        self._order = None
        self._draft()
        self._rest_for(rest_ms)
        self.changed.emit()

    def _draft(self) -> None:
        """Write the dip out once, so that however often it is pressed it is one dip."""
        proposal = self.proposal() if self.mode is Mode.CHOSEN else None
        if proposal is None:
            return
        order = self._order
        if order is not None and order.coats_ever == proposal.coats_ever:
            return
        if order is not None:  # another station was first: the next press is about another coat
            self._rest_for(self.rest_ms[Mode.DIPPED])
            self.said.emit(self.tr("Its coats have changed meanwhile. Look again."))
        self._order = order_from(proposal, self.session.now())

    @Slot()
    def back(self) -> None:
        """Put the shell down again; a batch ends with it."""
        self.batch = None
        self.mode = Mode.DIPPED if self.last is not None else Mode.EXPECTING
        self.chosen, self._order = None, None
        self.changed.emit()

    @Slot()
    def dip(self) -> None:
        """Log the dip of the shell that is taken up; it is said once it is in the book."""
        order, proposal = self._order, self.proposal()
        if self.resting or self.mode is not Mode.CHOSEN:
            return
        if order is None or proposal is None:
            self.said.emit(self._why_not(proposal))
            return
        self._rest_for(self.rest_ms[Mode.DIPPED])
        opened, now = self.session.opened, self.session.now()
        whole = replace(
            order,
            dipped_at=now,
            reason=self.reason if proposal.early else "",
            warnings=write_warnings(proposal.forecast, opened.units),
        )
        coat = self.session.attempt(lambda: log_dip(opened, whole, now))
        if coat is not None:
            self._on_dipped(coat)

    def _why_not(self, proposal: DipProposal | None) -> str:
        if proposal is None:
            return self.tr("The forecast of this shell is on its way.")
        return self.tr("All its coats are on. Log one more on the Dip page.")

    def _on_dipped(self, coat: Coat) -> None:
        self.last, self._order = coat, None
        if self.keeper.settings.drains_with_dip:
            shell = self.session.opened.ledger.shell(coat.shell_id)
            seconds = self.keeper.settings.seconds(TimerKind.DRAIN, coat.step.kind)
            self._draining[coat.id] = self.keeper.start(TimerKind.DRAIN, shell.name, seconds)
        batch = self.batch.dipped(coat) if self.batch else None
        self.batch = batch
        if batch is not None and batch.current is not None:
            self._take_up(batch.current, self.rest_ms[Mode.DIPPED])
            return
        self.mode, self.chosen = Mode.DIPPED, None
        self.changed.emit()

    @Slot()
    def undo(self) -> None:
        """Take the last dip back; the book keeps both entries."""
        coat = self.last
        if coat is None:
            return
        opened, now = self.session.opened, self.session.now()

        def take_back() -> bool:
            undo_coat(opened, coat.id, now, self.tr("undone at the dipping station"))
            return True

        if not self.session.attempt(take_back):
            return
        if coat.id in self._draining:
            self.keeper.stop(self._draining.pop(coat.id))
        self._after_undo(coat)
        self.said.emit(self.tr("The dip is taken back. The book keeps both entries."))

    def _after_undo(self, coat: Coat) -> None:
        """The shell is up again, within its batch where it was dipped in one."""
        batch = self.batch.undone() if self.batch else None
        self.batch = batch
        before = batch.done[-1][1] if batch and batch.done else None
        entry = self.session.opened.ledger.live.get(before) if before else None
        self.last = entry.record if entry and isinstance(entry.record, Coat) else None
        self._take_up(coat.shell_id, self.rest_ms[Mode.CHOSEN])

    def start_batch(self, shell_ids: Sequence[UUID]) -> None:
        """Dip several shells, one press each."""
        if shell_ids:
            self.batch, self.last = Batch(waiting=tuple(shell_ids)), None
            self._take_up(shell_ids[0], self.rest_ms[Mode.CHOSEN])

    @Slot()
    def skip(self) -> None:
        """Leave the shell whose turn it is for later."""
        if self.batch is not None:
            self.batch = self.batch.skipped()
            if self.batch.current is not None:
                self._take_up(self.batch.current, self.rest_ms[Mode.CHOSEN])

    def batch_rows(self) -> list[RackRow]:
        """The shells that could be dipped together with the one on the board."""
        proposal = self.proposal()
        if proposal is None or proposal.step is None:
            return []
        return same_step_rows(self.rows(), proposal.step)

    def scanned(self, text: str) -> None:
        """Take up the shell that was scanned."""
        opened, checked = self.session.opened, self.keeper.settings.checked
        shell = self.session.attempt(lambda: shell_scanned(opened, text, checked=checked))
        if shell is None:
            return
        if shell.id not in {row.shell.id for row in self.rows()}:
            gone = self.tr("{name} is not on the rack any more.").format(name=shell.name)
            self.said.emit(gone)
        elif self.mode is not Mode.CHOSEN or shell.id != self.chosen:
            self.choose(shell.id)

    @Slot()
    def _on_news(self) -> None:
        if self.last is not None and self.last.id not in self.session.opened.ledger.live:
            self.last = None
            self.mode = Mode.EXPECTING if self.mode is Mode.DIPPED else self.mode
        self._draft()
        self.changed.emit()
