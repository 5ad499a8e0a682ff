"""What stands on the board besides its shell: the buttons of each moment, the clock, the timers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from PySide6.QtCore import QCoreApplication

from shellcoat.desk.station.board_view import Press
from shellcoat.desk.station.work import Mode, StationWork
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.station import BigLine, Board, LineKind
from shellcoat.operations.station_timers import RunningTimer, TimerKind, write_left

SHORT_KINDS = (TimerKind.DRAIN, TimerKind.STUCCO)
"""These are watched while they run; the time between dips only has to be known."""


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Station", text)


def board_of(work: StationWork) -> Board:
    """The board, or why there is none."""
    board = work.board()
    if work.batch is not None and work.mode is Mode.CHOSEN:
        turn = translate("{number} OF {size}").format(
            number=len(work.batch.done) + 1, size=work.batch.size
        )
        return Board(
            name=f"{turn}: {board.name}",
            lines=board.lines,
            notes=board.notes,
            state=board.state,
            early=board.early,
        )
    if board.lines:
        return board
    waits = work.shown() is not None or (work.rows() and not work.session.forecasts)
    words = translate("FORECAST ON ITS WAY") if waits else translate("NOTHING TO DIP")
    return Board(lines=(BigLine(LineKind.COAT, words),))


def extra_lines(running: Sequence[tuple[RunningTimer, float]]) -> tuple[BigLine, ...]:
    """The short timer that ends first, in large letters."""
    for timer, left in running:
        if timer.kind in SHORT_KINDS:
            word = translate(timer.kind.value).upper()
            return (BigLine(LineKind.TIMER, f"{word} {write_left(left)}"),)
    return ()


def write_clock(
    opened: OpenShop, now: datetime, running: Sequence[tuple[RunningTimer, float]]
) -> str:
    """The shop's clock, and the timer between dips that ends first."""
    clock = f"{now.astimezone(opened.zone):%H:%M}"
    between = [left for timer, left in running if timer.kind not in SHORT_KINDS]
    return f"{translate('NEXT DIP')} {write_left(between[0])}  {clock}" if between else clock


def presses(work: StationWork) -> list[Press]:
    """The buttons of this moment, the one that does the next thing first, the least last."""
    if work.mode is Mode.CHOSEN:
        return _before_dip(work)
    return [*_offers(work), *_after_dip(work), *_always(leave=True)]


def _before_dip(work: StationWork) -> list[Press]:
    found = [Press("next", translate("DIPPED"), translate("Dipped: log this coat"))]
    if work.batch is not None:
        if work.last is not None:
            found.append(_undo())
        found.append(Press("skip", translate("LATER"), translate("Leave this shell for later")))
        found.append(Press("back", translate("END BATCH")))
    else:
        found.append(Press("back", translate("BACK")))
        found.append(_batch())
    if work.board().early:
        found.append(Press("why", translate("WHY EARLY"), translate("Say why it is dipped early")))
    return [*found, *_always(leave=False)]


def _offers(work: StationWork) -> list[Press]:
    expected = work.expected()
    if expected is None:
        return []
    shell = expected.shell
    spoken = translate("Take up {label} {name}").format(label=shell.label, name=shell.name)
    if work.mode is Mode.DIPPED:
        text = translate("NEXT: {label} {name}").format(label=shell.label, name=shell.name)
        return [Press("next", text.upper(), spoken)]
    return [Press("next", translate("THIS SHELL"), spoken)]


def _after_dip(work: StationWork) -> list[Press]:
    found = [_undo()] if work.mode is Mode.DIPPED else []
    found.append(Press("other", translate("OTHER SHELL")))
    return [*found, _batch()] if work.expected() is not None else found


def _undo() -> Press:
    return Press("undo", translate("UNDO"), translate("Undo the last dip"))


def _batch() -> Press:
    return Press("batch", translate("SEVERAL"), translate("Dip several shells alike"))


def _always(*, leave: bool) -> list[Press]:
    found = [Press("timers", translate("TIMERS"))]
    if leave:
        found.append(Press("leave", translate("LEAVE"), translate("Leave the station")))
        found.append(Press("settings", translate("SET UP"), translate("Set up the station")))
    return found
