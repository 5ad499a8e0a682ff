"""A week in a studio, from the first wax to the last coat, all of it without a window.

One long story on purpose: each act stands on what the acts before it left in the book.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
import time_machine

from shellcoat.book import open_book
from shellcoat.book.check import check_book
from shellcoat.cli.main import main
from shellcoat.operations.dips import correct_coat
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import sequences_in_use
from shellcoat.operations.shells import find_shell, set_state, start_shell
from shellcoat.shop import Coat, CoatKind, Entry, Shell, ShellState

ZONE = ZoneInfo("Europe/Madrid")
FINE, MEND = 0, 1
Say = Callable[..., str]


def wall(day: int, hour: int, minute: int = 0) -> datetime:
    """A time of the last week of March 2026; its Sunday is the 29th, when summer time begins."""
    return datetime(2026, 3, day, hour, minute, tzinfo=ZONE).astimezone(UTC)


MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, SUNDAY = range(23, 30)


@pytest.fixture
def clock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[time_machine.Traveller]:
    """Monday morning; ana is at the machine."""
    monkeypatch.setenv("LOGNAME", "ana")
    with time_machine.travel(wall(MONDAY, 8), tick=False) as traveller:
        yield traveller


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Say:
    """Give a command and hear what it answers; it must end as it should."""

    def give(*arguments: object, code: int = FINE) -> str:
        capsys.readouterr()
        ended = main([str(argument) for argument in arguments])
        said = capsys.readouterr()
        assert ended == code, said.err
        return said.err if code else said.out

    return give


def rack_of(say: Say, book: Path) -> dict[str, dict[str, Any]]:
    """The rack by label."""
    told = json.loads(say("rack", book, "--json", "--all"))
    return {shell["label"]: shell for shell in told["shells"]}


def put_on_rack(book: Path, label: str, name: str, coats: int, now: datetime) -> Shell:
    """A wax is gated and cleaned, and gets its label."""
    with open_book(book) as opened:
        shop = OpenShop(opened, who="ana")
        wall_of = {len(one.steps): one for one in sequences_in_use(shop)}
        wax = Shell(
            id=uuid4(),
            name=name,
            label=label,
            sequence=wall_of[coats],
            room_id=shop.ledger.rooms[0].id,
            started_at=now,
            drying_length_m=0.3,
        )
        return start_shell(shop, wax, now)


def logger_file(path: Path, first: datetime, last: datetime) -> Path:
    """What the logger on the wall wrote every ten minutes, on the wall's clock."""
    lines, moment = ["Time,Temp (C),RH (%)"], first
    while moment < last:
        hour = moment.astimezone(ZONE).hour
        temp, rh = 21.0 + 0.5 * (hour - 12) / 12, 52.0 - (hour - 12) / 4
        lines.append(f"{moment.astimezone(ZONE):%Y-%m-%d %H:%M},{temp:.2f},{rh:.1f}")
        moment += timedelta(minutes=10)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def dip_when_safe(
    say: Say, book: Path, clock: time_machine.Traveller, label: str, until: datetime
) -> None:
    """Dip again and again, each coat an hour after it is safe, in working hours, until then."""
    while True:
        shell = rack_of(say, book)[label]
        due = datetime.fromisoformat(shell["safe_at"]) + timedelta(hours=1)
        while not 8 <= due.astimezone(ZONE).hour < 20:
            due += timedelta(hours=1)
        if due >= until or shell["coats_on"] == shell["coats_planned"]:
            return
        clock.move_to(due)
        assert rack_of(say, book)[label]["state"] == "dry – dip due"
        say("dip", book, label)


def test_a_week(tmp_path: Path, clock: time_machine.Traveller, say: Say) -> None:
    book = tmp_path / "studio.shellbook"

    # Monday: a new book, the air is read, two waxes go on the rack.
    say("new", book, "--name", "Reed Studio", "--zone", "Europe/Madrid", "--room", "Studio")
    assert say("rack", book).strip() == "The rack is empty."
    say("read", book, "21 C", "52 %")
    heron = put_on_rack(book, "H-1", "Heron, standing", 9, wall(MONDAY, 8, 30))
    bell = put_on_rack(book, "B-1", "Bell, small", 7, wall(MONDAY, 8, 40))
    assert {shell["state"] for shell in rack_of(say, book).values()} == {"bare"}

    # The first coat goes on, and a wet finger presses twice.
    clock.move_to(wall(MONDAY, 9))
    assert "Coat 1 is on Heron, standing" in say("dip", book, "heron", "--tank", "P1")
    clock.shift(5)
    assert "Nothing was logged twice" in say("dip", book, "heron", code=MEND)
    assert rack_of(say, book)["H-1"]["state"] == "wet"

    # The bell is dipped as well, but logged on the heron; that is undone and logged again.
    clock.move_to(wall(MONDAY, 9, 20))
    say("dip", book, "heron", "--reason", "")
    say("undo", book, "heron", "--reason", "it was the bell")
    assert "Coat 1 is on Bell, small" in say("dip", book, "bell", "--at", "09:20")
    on = {label: shell["coats_on"] for label, shell in rack_of(say, book).items()}
    assert on == {"H-1": 1, "B-1": 1}

    # Until Wednesday evening coats go on as they fall due.
    clock.move_to(wall(MONDAY, 12))
    say("read", book, "70 F", "0.5", "--at", "11:50")
    dip_when_safe(say, book, clock, "H-1", until=wall(WEDNESDAY, 19))
    clock.move_to(wall(WEDNESDAY, 19))
    on_wednesday = rack_of(say, book)["H-1"]["coats_on"]
    assert 3 <= on_wednesday <= 8, "else the week tells nothing"

    # Thursday: the logger's file brings the air of the week, read once however often it is given.
    clock.move_to(wall(THURSDAY, 8))
    log = logger_file(tmp_path / "wall logger.csv", wall(MONDAY, 0), wall(THURSDAY, 8))
    # 80 hours, six rows an hour, and at two of these times somebody looked and typed it.
    assert "480 rows read, 478 readings taken in" in say("import-air", book, log)
    assert "0 readings taken in" in say("import-air", book, log)
    assert rack_of(say, book)["H-1"]["air"] == "readings"

    # A dip of the bell on Tuesday was never logged; it falls into its place. Its time was wrong.
    say("dip", book, "B-1", "--at", "2026-03-24 17:00", "--note", "from the paper list")
    with open_book(book) as opened:
        shop = OpenShop(opened, who="ben", station="office")
        late = shop.ledger.coats(bell.id)[1]
        moved = replace(late, dipped_at=wall(TUESDAY, 18))
        correct_coat(shop, moved, wall(THURSDAY, 8, 5), "the list says six")
        assert [coat.dipped_at for coat in shop.ledger.coats(bell.id)] == [
            wall(MONDAY, 9, 20),
            wall(TUESDAY, 18),
        ]

    # The bell cracks and is scrapped; it is off the rack, and nothing of it is lost.
    clock.move_to(wall(THURSDAY, 10))
    with open_book(book) as opened:
        shop = OpenShop(opened, who="ana")
        set_state(
            shop, find_shell(shop, "bell").id, ShellState.SCRAPPED, wall(THURSDAY, 10), "crack"
        )
    assert "B-1" not in say("rack", book)
    assert rack_of(say, book)["B-1"]["coats_on"] == 2

    # Friday: a copy goes onto a stick. Then the heron is finished, coat by coat.
    clock.move_to(wall(FRIDAY, 8))
    say("backup", book, "--folder", tmp_path / "stick")
    (copy,) = (tmp_path / "stick").glob("*.shellbook")
    dip_when_safe(say, book, clock, "H-1", until=wall(SUNDAY, 20) + timedelta(days=7))
    done = rack_of(say, book)["H-1"]
    assert done["coats_on"] == 9
    the_copy_is_how_the_book_began(copy, book)

    # The disk dies, the stick is put back, and what was done since is dipped into the book again.
    whole = coats_in(book, heron)
    book.unlink()
    say("restore", copy, book)
    on_friday = coats_in(book, heron)
    assert whole[: len(on_friday)] == on_friday
    for coat in whole[len(on_friday) :]:
        local = coat.dipped_at.astimezone(ZONE)
        say("dip", book, "H-1", "--at", f"{local:%Y-%m-%d %H:%M:%S}")
    assert times(coats_in(book, heron)) == times(whole)

    # After the hold the wall waits for somebody experienced; its thickness is as planned.
    last = whole[-1].dipped_at
    clock.move_to(last + timedelta(minutes=30))
    assert rack_of(say, book)["H-1"]["state"] == "wet"
    clock.move_to(last + timedelta(days=7))
    ready = rack_of(say, book)["H-1"]
    assert ready["state"] == "ready for review"
    steps = heron.sequence.steps
    planned = sum(step.thickness_m.likely for step in steps)
    assert ready["thickness_m"]["likely"] == pytest.approx(planned, rel=1e-3)
    assert ready["thickness_m"]["low"] < planned < ready["thickness_m"]["high"]

    # The clock changed on Sunday: each coat keeps the offset of its own hour.
    for coat in whole:
        winter = coat.dipped_at < datetime(2026, 3, 29, 1, tzinfo=UTC)
        assert coat.utc_offset_min == (60 if winter else 120)

    # The book is whole, and travels to another machine as a document.
    say("check", book)
    say("export", book, tmp_path / "studio.json")
    say("import", tmp_path / "studio.json", tmp_path / "other" / "studio.shellbook", code=MEND)
    (tmp_path / "other").mkdir()
    say("import", tmp_path / "studio.json", tmp_path / "other" / "studio.shellbook")
    assert rack_of(say, tmp_path / "other" / "studio.shellbook") == rack_of(say, book)


def coats_in(book: Path, shell: Shell) -> tuple[Coat, ...]:
    with open_book(book, read_only=True) as opened:
        coats = opened.ledger.coats(shell.id)
    kinds = [coat.step.kind for coat in coats]
    assert kinds == [step.kind for step in shell.sequence.steps[: len(coats)]]
    assert kinds[0] is CoatKind.PRIME
    return coats


def times(coats: tuple[Coat, ...]) -> list[datetime]:
    return [coat.dipped_at for coat in coats]


def entries_of(book: Path) -> list[Entry]:
    with open_book(book, read_only=True) as opened:
        return list(opened.ledger.entries.values())


def the_copy_is_how_the_book_began(copy: Path, book: Path) -> None:
    """A book only ever grows: Friday's copy is its beginning, entry for entry."""
    early, late = entries_of(copy), entries_of(book)
    assert len(early) < len(late)
    assert late[: len(early)] == early
    assert check_book(copy).sound
    assert check_book(book).sound
