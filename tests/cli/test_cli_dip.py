"""`dip` and `undo`: logged once, at the time given, with what was given."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import time_machine
from cli_shop import FINE, MEND, NOW, USAGE, Run, add_room, coats_of, entries_in, make_book

from shellcoat.book import open_book
from shellcoat.shop import AirMovement


def test_a_dip_is_logged_now_and_says_when_it_is_dry(book: Path, run: Run) -> None:
    ran = run("dip", book, "H-1")
    assert ran.code == FINE
    (coat,) = coats_of(book, "H-1")
    assert (coat.dipped_at, coat.utc_offset_min, coat.tank) == (NOW, 60, "")
    first, second = ran.out.splitlines()
    assert first == f"Coat 1 is on Standing heron, {coat.step.slurry}."
    assert second.startswith("Likely dry ")
    assert ", safe " in second
    with open_book(book, read_only=True) as opened:
        entry = opened.ledger.live[coat.id]
    assert (entry.who, entry.recorded_at) == ("ana", NOW)


def test_everything_given_is_kept(book: Path, run: Run) -> None:
    add_room(book, "Drying room")
    ran = run(
        "dip", book, "standing", "--at", "2026-03-05 09:15", "--tank", "P2", "--stucco", "zircon",
        "--room", "drying ROOM", "--note", "drained 40 s", "--reason", "the day is short",
    )  # fmt: skip
    assert ran.code == FINE
    (coat,) = coats_of(book, "H-1")
    assert coat.dipped_at == datetime(2026, 3, 5, 8, 15, tzinfo=UTC)
    assert (coat.tank, coat.step.stucco, coat.note, coat.reason) == (
        "P2",
        "zircon",
        "drained 40 s",
        "the day is short",
    )
    assert coat.movement is AirMovement.FAN_ON_SHELL


def test_the_second_press_is_refused_with_the_time_of_the_first(
    book: Path, run: Run, clock: time_machine.Traveller
) -> None:
    run("dip", book, "H-1")
    clock.shift(30)
    ran = run("dip", book, "H-1")
    assert ran.code == MEND
    assert "Coat 1 went on Standing heron at 14:00" in ran.err
    assert ran.out == ""
    assert len(coats_of(book, "H-1")) == 1
    clock.shift(31)
    assert run("dip", book, "H-1").code == FINE


def test_an_early_dip_is_logged_and_noted(
    book: Path, run: Run, clock: time_machine.Traveller
) -> None:
    run("dip", book, "H-1")
    clock.shift(timedelta(minutes=10))
    ran = run("dip", book, "H-1")
    assert ran.code == FINE
    assert "not been read yet" in ran.err
    assert all(line.startswith("note: ") for line in ran.err.splitlines())
    assert coats_of(book, "H-1")[1].warnings
    assert "Coat 2 went on before the wall was safely dry" in run("rack", book).out


@pytest.mark.parametrize(
    ("at", "moment"),
    [
        # On 25 October 2026 Madrid's clock shows 02:30 twice; now it is the second 02:45.
        ("02:30", datetime(2026, 10, 25, 0, 30, tzinfo=UTC)),
        ("02:30 +01:00", datetime(2026, 10, 25, 1, 30, tzinfo=UTC)),
        ("2026-10-25 02:30 +02:00", datetime(2026, 10, 25, 0, 30, tzinfo=UTC)),
        ("2026-10-25T02:30+01:00", datetime(2026, 10, 25, 1, 30, tzinfo=UTC)),
        ("2026-10-25 02:30:15", datetime(2026, 10, 25, 0, 30, 15, tzinfo=UTC)),
        ("01:59", datetime(2026, 10, 24, 23, 59, tzinfo=UTC)),
        ("2026-10-25T01:30Z", datetime(2026, 10, 25, 1, 30, tzinfo=UTC)),
    ],
)
def test_half_past_two_in_the_night_that_has_two(
    book: Path, run: Run, clock: time_machine.Traveller, at: str, moment: datetime
) -> None:
    clock.move_to(datetime(2026, 10, 25, 1, 45, tzinfo=UTC))
    ran = run("dip", book, "H-1", "--at", at)
    assert ran.code == FINE, ran.err
    assert [coat.dipped_at for coat in coats_of(book, "H-1")] == [moment]


def test_both_half_past_twos_are_two_coats_and_told_apart(
    book: Path, run: Run, clock: time_machine.Traveller
) -> None:
    clock.move_to(datetime(2026, 10, 25, 1, 45, tzinfo=UTC))
    run("dip", book, "H-1", "--at", "02:30 +01:00")
    run("dip", book, "H-1", "--at", "02:30")
    coats = coats_of(book, "H-1")
    assert [coat.utc_offset_min for coat in coats] == [120, 60]
    assert coats[1].dipped_at - coats[0].dipped_at == timedelta(hours=1)
    again = run("dip", book, "H-1", "--at", "02:30 +01:00")
    assert again.code == MEND
    assert "Coat 2 went on Standing heron at 02:30 +01:00" in again.err


def test_a_time_the_clock_skipped_is_refused(
    book: Path, run: Run, clock: time_machine.Traveller
) -> None:
    clock.move_to(datetime(2026, 3, 29, 10, 0, tzinfo=UTC))
    ran = run("dip", book, "H-1", "--at", "02:30")
    assert ran.code == MEND
    assert "skips 02:30 on 2026-03-29 in Europe/Madrid" in ran.err
    assert not coats_of(book, "H-1")


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ("half past two", '"half past two" is not understood'),
        ("25:00", '"25:00" is not understood'),
        ("2026-02-30 12:00", "is not understood"),
        ("", None),
        ("23:50", "23:50 has not come yet"),
        ("2026-03-06 09:00", "Fri 09:00 has not come yet"),
        ("1911-01-01 09:00", "date between 1950 and 2200"),
    ],
)
def test_a_time_that_cannot_be_names_the_field_and_an_example(
    book: Path, run: Run, at: str, said: str | None
) -> None:
    ran = run("dip", book, "H-1", "--at", at)
    if said is None:  # nothing given is now
        assert ran.code == FINE
        return
    assert ran.code == MEND
    assert said in ran.err
    assert "Time" in ran.err
    assert not coats_of(book, "H-1")


def test_the_machines_zone_is_no_matter(
    tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A book of Kolkata on a machine in St John's: times are Kolkata's."""
    monkeypatch.setenv("TZ", "America/St_Johns")
    if hasattr(time, "tzset"):
        time.tzset()
    try:
        path = make_book(tmp_path / "far.shellbook", zone="Asia/Kolkata")
        run("dip", path, "H-1", "--at", "09:30")
        (coat,) = coats_of(path, "H-1")
        assert coat.dipped_at == datetime(2026, 3, 5, 4, 0, tzinfo=UTC)
        assert coat.utc_offset_min == 330
    finally:
        monkeypatch.undo()
        if hasattr(time, "tzset"):
            time.tzset()


def test_the_tank_and_room_of_the_last_coat_of_its_kind_are_taken_again(
    book: Path, run: Run, clock: time_machine.Traveller
) -> None:
    add_room(book, "Drying room")
    run("dip", book, "H-1", "--tank", "P7", "--room", "Drying room")
    clock.shift(timedelta(minutes=5))
    run("dip", book, "B-1")
    first, second = coats_of(book, "H-1")[0], coats_of(book, "B-1")[0]
    assert (second.tank, second.room_id) == ("P7", first.room_id)


def test_a_shell_with_all_its_coats_is_not_dipped_by_a_slip(
    book: Path, run: Run, clock: time_machine.Traveller
) -> None:
    for _ in range(9):
        assert run("dip", book, "H-1").code == FINE
        clock.shift(timedelta(hours=8))
    ran = run("dip", book, "H-1")
    assert ran.code == MEND
    assert "All 9 coats of Standing heron are on" in ran.err
    assert len(coats_of(book, "H-1")) == 9


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("crane",), "No shell is called 'crane'"),
        (("H-1", "--room", "Attic"), "Say which room with --room: Dipping room"),
        (("H-1", "--note", "x" * 4001), "Note has 4001 characters"),
        (("H-1", "--tank", "bell\a"), "Tank holds characters that cannot be kept"),
    ],
)
def test_what_was_given_wrong_is_named(
    book: Path, run: Run, arguments: tuple[str, ...], said: str
) -> None:
    before = entries_in(book)
    ran = run("dip", book, *arguments)
    assert ran.code == MEND
    assert said in ran.err
    assert ran.err.startswith("shellcoat: ")
    assert "Traceback" not in ran.err
    assert entries_in(book) == before


def test_without_a_shell_it_is_no_command(book: Path, run: Run) -> None:
    ran = run("dip", book)
    assert ran.code == USAGE
    assert "shell" in ran.err


# Undo.


def test_undo_takes_the_last_coat_back_and_keeps_both_entries(
    book: Path, run: Run, clock: time_machine.Traveller
) -> None:
    run("dip", book, "H-1", "--at", "09:00")
    run("dip", book, "H-1", "--at", "13:00")
    before = entries_in(book)
    ran = run("undo", book, "standing", "--reason", "it was the crane")
    assert ran.code == FINE
    assert ran.out.startswith("Coat 2 of Standing heron is taken back")
    assert len(coats_of(book, "H-1")) == 1
    assert entries_in(book) == before + 1
    with open_book(book, read_only=True) as opened:
        assert list(opened.ledger.entries.values())[-1].reason == "it was the crane"
    assert run("dip", book, "H-1", "--at", "13:00").code == FINE
    assert len(coats_of(book, "H-1")) == 2


def test_there_is_nothing_to_undo_on_a_bare_wax(book: Path, run: Run) -> None:
    ran = run("undo", book, "H-1")
    assert ran.code == MEND
    assert "Standing heron has no coat to take back" in ran.err
