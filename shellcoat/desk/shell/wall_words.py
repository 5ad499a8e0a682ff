"""What the Wall tab says: the wall by place, its weight, and what moved the estimate."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import QCoreApplication

from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.check_words import check_writer
from shellcoat.desk.shell.need_bar import BandRow
from shellcoat.forecast.wall_answers import PlaceAnswer, WallAnswer
from shellcoat.operations.check_wording import (
    write_chance_of_target,
    write_move,
    write_place_name,
    write_weight,
)
from shellcoat.operations.wording import write_time


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Wall", text)


def place_rows(answer: PlaceAnswer) -> tuple[BandRow, ...]:
    """The bands of one kind of place, from top to bottom."""
    return (
        BandRow(translate("wall now"), answer.now_m, needed=False),
        BandRow(translate("all coats on"), answer.at_end_m, needed=False),
    )


def place_title(answer: PlaceAnswer) -> str:
    """What the place is called."""
    return translate(write_place_name(answer.place))


def place_words(session: DeskSession, answer: PlaceAnswer) -> str:
    """The likely walls, and how likely the target is reached."""
    writer = check_writer(session)
    likely = translate("Likely {now} now, {end} at the end.").format(
        now=writer.wall(answer.now_m.likely), end=writer.wall(answer.at_end_m.likely)
    )
    return f"{likely} {write_chance_of_target(answer, writer)}"


def weight_words(session: DeskSession, answer: WallAnswer, now: datetime) -> str:
    """The weight that is expected, and the one that was read."""
    return write_weight(answer, check_writer(session), session.opened.zone, now)


def move_lines(session: DeskSession, answer: WallAnswer, now: datetime) -> list[str]:
    """What moved the estimate, in the order in which it was taken in."""
    writer, zone = check_writer(session), session.opened.zone
    lines = [
        f"{write_time(move.at, zone, now)}: {write_move(move, writer)}"
        if move.at
        else write_move(move, writer)
        for move in answer.moves
    ]
    return [f"{number}.  {line}" for number, line in enumerate(lines, start=1)]
