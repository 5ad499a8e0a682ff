"""`check`, `learned` and `wall`: what was found on a shell, what it taught, how thick it is."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid5

import pytest
import time_machine
from cli_shop import (
    FINE,
    MEND,
    NAMESPACE,
    NOW,
    USAGE,
    Ran,
    Run,
    entries_in,
    make_book,
)
from test_cli_faults import write_protected
from test_cli_help import PARSERS

from shellcoat.book import open_book
from shellcoat.cli import found
from shellcoat.operations.check_wording import write_place_name
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import (
    CaliperReading,
    Core,
    DryCheck,
    DryFinding,
    InfraredReading,
    Opening,
    ShellCheck,
    WallPlace,
    Weighing,
)

SPACE = "\u00a0"
HERON = uuid5(NAMESPACE, "H-1")
BODY = uuid5(NAMESPACE, "body")


def checks_in(path: Path) -> tuple[ShellCheck, ...]:
    """The checks of the heron as they stand in the file."""
    with open_book(path, read_only=True) as book:
        return book.ledger.checks().get(HERON, ())


@pytest.fixture
def dipped(book: Path, run: Run, clock: time_machine.Traveller) -> Path:
    """A heron with its first coat on for six hours, in air that was read."""
    run("read", book, "21 C", "48 %")
    assert run("dip", book, "H-1").code == FINE
    clock.shift(timedelta(hours=6))
    run("read", book, "21 C", "48 %")
    return book


@pytest.fixture
def hollow(book: Path, run: Run) -> Path:
    """The heron with two hollows, one coat on."""
    mouth = Opening(width_m=0.030, height_m=0.030)
    cores = tuple(
        Core(id=uuid5(NAMESPACE, name), name=name, area_m2=0.03, openings=(mouth,))
        for name in ("body", "both wings", "head")
    )
    with open_book(book) as opened:
        shop = OpenShop(opened, who="ana")
        edit_shell(shop, replace(shop.ledger.shell(HERON), cores=cores), NOW)
    run("dip", book, "H-1", "--at", "09:00")
    return book


# Logged.


@pytest.mark.parametrize(
    ("word", "finding", "told"),
    [("dry", DryFinding.DRY, "dry"), ("wet", DryFinding.STILL_WET, "still wet")],
)
def test_a_touch_is_logged_now_and_says_when_the_coat_is_dry(
    dipped: Path, run: Run, word: str, finding: DryFinding, told: str
) -> None:
    ran = run("check", dipped, "H-1", word, "--note", "under the beak")
    assert (ran.code, ran.err) == (FINE, "")
    (check,) = checks_in(dipped)
    assert isinstance(check, DryCheck)
    assert (check.at, check.finding, check.core_id, check.note) == (
        NOW + timedelta(hours=6),
        finding,
        None,
        "under the beak",
    )
    first, second = ran.out.splitlines()
    assert first.startswith("Logged for Standing heron, 20:00. ")
    assert first.endswith(f"{told}.")
    assert second.startswith("Coat 1: likely dry ")
    assert ", safe " in second


def test_the_times_told_are_those_of_the_rack_afterwards(
    dipped: Path, run: Run, clock: time_machine.Traveller
) -> None:
    clock.move_to(NOW + timedelta(minutes=20))
    told = run("check", dipped, "H-1", "wet").out.splitlines()[1]
    (row,) = [line for line in run("rack", dipped).out.splitlines() if " H-1 " in line]
    likely, safe = told.removeprefix("Coat 1: likely dry ").removesuffix(".").split(", safe ")
    assert likely in row
    assert safe in row


@pytest.mark.parametrize("word", ["dry", "wet"])
def test_a_wall_that_is_wet_against_the_forecast_is_believed(
    dipped: Path, run: Run, clock: time_machine.Traveller, word: str
) -> None:
    clock.move_to(NOW + timedelta(days=2))
    said = run("check", dipped, "H-1", word).out.splitlines()[1]
    assert said.startswith("Coat 1: likely dry since Thu ")
    assert ", safe since " in said
    assert ("go by the touch" in said) == (word == "wet")


def test_a_check_of_the_past_is_logged_at_its_time(dipped: Path, run: Run) -> None:
    run("check", dipped, "H-1", "wet", "--at", "2026-03-05 16:30")
    (check,) = checks_in(dipped)
    assert check.at == datetime(2026, 3, 5, 15, 30, tzinfo=UTC)


def test_a_check_of_a_core_tells_when_that_core_is_dry(hollow: Path, run: Run) -> None:
    ran = run("check", hollow, "H-1", "wet", "--core", "BODY")
    assert ran.code == FINE, ran.err
    (check,) = checks_in(hollow)
    assert isinstance(check, DryCheck)
    assert check.core_id == BODY
    first, second = ran.out.splitlines()
    assert "core body: still wet" in first
    assert second.startswith("body: ")
    assert "litre" in second or "dry since" in second


def test_a_core_goes_by_its_first_letters_while_they_fit_one(hollow: Path, run: Run) -> None:
    assert run("check", hollow, "H-1", "dry", "--core", "he").code == FINE
    ran = run("check", hollow, "H-1", "dry", "--core", "bo")
    assert ran.code == MEND
    assert "'bo' is not one core of Standing heron. It has: body, both wings, head." in ran.err
    assert len(checks_in(hollow)) == 1


def test_a_shell_without_cores_says_so(book: Path, run: Run) -> None:
    ran = run("check", book, "H-1", "dry", "--core", "body")
    assert ran.code == MEND
    assert "Standing heron has no cores" in ran.err


@pytest.mark.parametrize(
    ("value", "air", "surface_c", "air_c"),
    [
        ("19.5C", "21.8C", 19.5, 21.8),
        ("19,5 °C", "21,8", 19.5, 21.8),
        ("68F", None, 20.0, None),
        ("19.5", None, 19.5, None),
    ],
)
def test_an_infrared_reading(
    dipped: Path, run: Run, value: str, air: str | None, surface_c: float, air_c: float | None
) -> None:
    ran = run("check", dipped, "H-1", "infrared", value, *(("--air", air) if air else ()))
    assert ran.code == FINE, ran.err
    (check,) = checks_in(dipped)
    assert isinstance(check, InfraredReading)
    assert check.surface_temp_c == pytest.approx(surface_c, abs=1e-9)
    assert check.air_temp_c == (air_c if air_c is None else pytest.approx(air_c, abs=1e-9))
    assert f"{surface_c:.1f}{SPACE}°C" in ran.out
    assert "Coat 1: likely dry " in ran.out


@pytest.mark.parametrize(
    ("value", "mass_kg"), [("12.4kg", 12.4), ("12,4 kg", 12.4), ("12.4", 12.4), ("800 g", 0.8)]
)
def test_a_weighing(dipped: Path, run: Run, value: str, mass_kg: float) -> None:
    ran = run("check", dipped, "standing", "weigh", value)
    assert ran.code == FINE, ran.err
    (check,) = checks_in(dipped)
    assert isinstance(check, Weighing)
    assert check.mass_kg == pytest.approx(mass_kg)
    assert f"{mass_kg:.3f}{SPACE}kg" in ran.out


@pytest.mark.parametrize(
    ("value", "options", "thickness_m", "place", "where"),
    [
        ("5.2mm", (), 5.2e-3, WallPlace.FLAT, ""),
        ("5,2", ("--place", "flat"), 5.2e-3, WallPlace.FLAT, ""),
        ("3/16 in", ("--place", "edge"), 4.7625e-3, WallPlace.EDGE, ""),
        ("0.61 cm", ("--place", "corner", "--where", "gate"), 6.1e-3, WallPlace.CORNER, "gate"),
    ],
)
def test_a_wall_measured_says_nothing_of_drying(
    dipped: Path,
    run: Run,
    value: str,
    options: tuple[str, ...],
    thickness_m: float,
    place: WallPlace,
    where: str,
) -> None:
    ran = run("check", dipped, "H-1", "wall", value, *options)
    assert ran.code == FINE, ran.err
    (check,) = checks_in(dipped)
    assert isinstance(check, CaliperReading)
    assert check.thickness_m == pytest.approx(thickness_m)
    assert (check.place, check.where) == (place, where)
    assert f"{1e3 * thickness_m:.2f}{SPACE}mm" in ran.out
    assert "dry" not in ran.out


def test_a_bare_number_is_in_the_shops_unit(tmp_path: Path, run: Run) -> None:
    """1 lb is 0.45359237 kg and 1 in 25.4 mm (NIST SP 811, appendix B.8)."""
    path = make_book(tmp_path / "us.shellbook", units="us")
    run("check", path, "H-1", "weigh", "10", "--at", "10:00")
    run("check", path, "H-1", "wall", "0.2", "--at", "10:01")
    run("check", path, "H-1", "infrared", "68", "--at", "10:02")
    weighing, caliper, infrared = checks_in(path)
    assert weighing.mass_kg == pytest.approx(4.5359237)
    assert caliper.thickness_m == pytest.approx(5.08e-3)
    assert infrared.surface_temp_c == pytest.approx(20.0)


def test_on_a_bare_wax_there_is_nothing_to_dry(book: Path, run: Run) -> None:
    ran = run("check", book, "H-1", "weigh", "2.1 kg")
    assert ran.code == FINE
    assert "No coat is on yet" in ran.out
    assert len(checks_in(book)) == 1


# Refused.


@pytest.mark.parametrize(
    ("arguments", "field", "said"),
    [
        (("infrared", "19.5 mm"), "Surface temperature", "is a length, not a temperature"),
        (("infrared", "warm"), "Surface temperature", "does not begin with a number"),
        (("infrared", "195 C"), "Surface temperature", f"70{SPACE}°C"),
        (("infrared", "19 C", "--air", "21 kg"), "Air temperature", "is a mass"),
        (("infrared", "19 C", "--air", ""), "Air temperature", "is empty"),
        (("weigh", "12 mm"), "Mass", "is a length, not a mass"),
        (("weigh", "1,234 kg"), "Mass", "1.234 kg"),
        (("weigh", "0"), "Mass", f"0.001{SPACE}kg"),
        (("weigh", "12 t"), "Mass", ""),
        (("wall", "5.2 kg"), "Wall thickness", "is a mass, not a length"),
        (("wall", "5.2 m"), "Wall thickness", "0.1"),
        (("wall", "8 mil"), "Wall thickness", "8 thou"),
        (("wall", ""), "Wall thickness", "is empty"),
    ],
)
def test_a_wrong_figure_names_its_field_and_leaves_the_book_alone(
    book: Path, run: Run, arguments: tuple[str, ...], field: str, said: str
) -> None:
    before = entries_in(book)
    ran = run("check", book, "H-1", *arguments)
    assert (ran.code, ran.out) == (MEND, "")
    assert ran.err.startswith(f"shellcoat: {field}: ")
    assert said in ran.err
    assert entries_in(book) == before


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("crane", "dry"), "No shell is called 'crane'"),
        (("H-1",), "Say what was found on the shell: dry, wet, infrared, weigh, wall."),
        (("H-1", "weigh"), "for example: weigh 12.4kg."),
        (("H-1", "infrared"), "for example: infrared 19.5C."),
        (("H-1", "wall"), "for example: wall 5.2mm."),
        (("H-1", "dry", "19.5C"), "dry needs no figure. Leave '19.5C' away."),
        (("H-1", "weigh", "2 kg", "--core", "body"), "--core goes with dry or wet, not with weigh"),
        (("H-1", "wall", "5mm", "--air", "20C"), "--air goes with infrared, not with wall"),
        (("H-1", "dry", "--place", "edge"), "--place goes with wall, not with dry"),
        (("H-1", "dry", "--where", "neck"), "--where goes with wall, not with dry"),
        (("H-1", "dry", "--at", "15:00"), "Time of the check: 15:00 has not come yet"),
        (("H-1", "dry", "--at", "noon"), '"noon" is not understood'),
        (("H-1", "dry", "--note", "x" * 4001), "Note has 4001 characters"),
        (("H-1", "wall", "5mm", "--where", "bell\a"), "Where holds characters"),
        (("H-1", "dry", "--core", ""), "Standing heron has no cores"),
        (("--core", "body"), "--core: say which shell was checked"),
        (("--at", "12:00"), "--at: say which shell was checked"),
    ],
)
def test_what_was_given_wrong_is_named(
    book: Path, run: Run, arguments: tuple[str, ...], said: str
) -> None:
    before = entries_in(book)
    ran = run("check", book, *arguments)
    assert (ran.code, ran.out) == (MEND, "")
    assert ran.err.startswith("shellcoat: ")
    assert said in ran.err
    assert entries_in(book) == before


@pytest.mark.parametrize("arguments", [("damp",), ("wall", "5mm", "--place", "rim")])
def test_a_word_that_is_none_of_the_findings_is_a_usage_error(
    book: Path, run: Run, arguments: tuple[str, ...]
) -> None:
    ran = run("check", book, "H-1", *arguments)
    assert ran.code == USAGE
    assert "invalid choice" in ran.err


def test_the_parser_knows_the_findings_and_places_that_are_read() -> None:
    choices = {action.dest: action.choices for action in PARSERS["check"]._actions}
    assert tuple(choices["finding"]) == found.FINDINGS
    assert tuple(choices["place"]) == tuple(found.PLACES)
    assert set(found.PLACES.values()) == set(WallPlace)
    assert set(found.TOUCHES.values()) == set(DryFinding)


def test_without_a_shell_the_book_itself_is_checked(dipped: Path, run: Run) -> None:
    run("check", dipped, "H-1", "dry")
    ran = run("check", dipped)
    assert ran.code == FINE
    assert f"is sound: {entries_in(dipped):,} entries" in ran.out


# Learned.


@pytest.fixture
def taught(dipped: Path, run: Run) -> Path:
    """A shop that has touched, shot, weighed and measured once each, all an hour ago."""
    for arguments in (
        ("wet",), ("infrared", "19.5C"), ("weigh", "2.4kg"), ("wall", "0.5mm"),
    ):  # fmt: skip
        assert run("check", dipped, "H-1", *arguments, "--at", "19:00").code == FINE
    return dipped


def told(ran: Ran) -> dict[str, Any]:
    """The data a command printed, held to what JSON is."""

    def refuse(word: str) -> None:
        raise ValueError(f"{word} is no JSON")

    assert (ran.code, ran.err) == (FINE, "")
    return json.loads(ran.out, parse_constant=refuse)


def bands(value: Any) -> Iterator[dict[str, float]]:
    """Every band in the data."""
    if isinstance(value, dict):
        if set(value) == {"low", "likely", "high"}:
            yield value
        for part in value.values():
            yield from bands(part)
    elif isinstance(value, list):
        for part in value:
            yield from bands(part)


def test_before_any_check_there_is_nothing_learned(dipped: Path, run: Run) -> None:
    ran = run("learned", dipped)
    assert ran.code == FINE
    assert "No check has been logged yet" in ran.out
    assert told(run("learned", dipped, "--json"))["lessons"] == []


def test_every_check_is_told_with_what_it_taught(taught: Path, run: Run) -> None:
    ran = run("learned", taught)
    assert (ran.code, ran.err) == (FINE, "")
    head, lines = ran.out.split("Checks, newest first:\n")
    assert len(lines.splitlines()) == 4
    assert all("H-1 Standing heron, coat 1: " in line for line in lines.splitlines())
    assert "it says how thick the wall is" in lines
    assert "Coats in usual air:" in head
    assert "Air at the walls of this shop" in head


def test_what_was_learned_is_data_in_si(taught: Path, run: Run) -> None:
    data = told(run("learned", taught, "--json"))
    assert data["shop"] == "Heron Yard"
    assert datetime.fromisoformat(data["made_at"]) == NOW + timedelta(hours=6)
    assert {factor["kind"] for factor in data["factors"]} >= {"air film", "crust"}
    assert all(0.0 < band["low"] <= band["high"] for band in bands(data["factors"]))
    for usual in data["usual_coats"]:
        assert 600.0 < usual["likely_s"] < usual["safe_s"] < 30 * 86_400.0
    by_kind = {lesson["check"]["kind"]: lesson for lesson in data["lessons"]}
    assert set(by_kind) == {"dry_check", "infrared_reading", "weighing", "caliper_reading"}
    assert by_kind["dry_check"]["check"]["finding"] == "still wet"
    assert by_kind["infrared_reading"]["check"]["surface_temp_c"] == 19.5
    assert by_kind["weighing"]["check"]["mass_kg"] == 2.4
    assert by_kind["caliper_reading"]["check"]["thickness_m"] == 0.5e-3
    for lesson in data["lessons"]:
        assert datetime.fromisoformat(lesson["at"]) == NOW + timedelta(hours=5)
        assert lesson["check"]["id"] == lesson["check_id"]
        assert lesson["shell_id"] == str(HERON)


def test_the_shops_unit_changes_the_words_and_not_the_data(
    tmp_path: Path, run: Run, clock: time_machine.Traveller
) -> None:
    outs = []
    for units in ("metric", "us"):
        path = make_book(tmp_path / f"{units}.shellbook", units=units)
        clock.move_to(NOW)
        run("dip", path, "H-1")
        clock.shift(timedelta(hours=6))
        run("check", path, "H-1", "infrared", "19.5 C", "--air", "21 C")
        run("check", path, "H-1", "wall", "0.5 mm", "--place", "edge")
        data = [
            told(run(*command, "--json")) for command in (("learned", path), ("wall", path, "H-1"))
        ]
        outs.append((data, run("wall", path, "H-1").out))
    (metric, metric_words), (us, us_words) = outs
    assert without_ids(metric) == without_ids(us)
    assert f"{SPACE}mm" in metric_words
    assert f"{SPACE}in" in us_words
    assert f"{SPACE}mm" not in us_words


def without_ids(value: Any) -> Any:
    """The data without what is drawn by lot."""
    if isinstance(value, dict):
        return {
            key: without_ids(part) for key, part in value.items() if key not in ("id", "check_id")
        }
    return [without_ids(part) for part in value] if isinstance(value, list) else value


# Wall.


def test_the_wall_is_told_by_place(taught: Path, run: Run) -> None:
    ran = run("wall", taught, "H-1")
    assert (ran.code, ran.err) == (FINE, "")
    lines = ran.out.splitlines()
    assert lines[0] == "H-1 Standing heron: 1 of 9 coats on."
    for place in WallPlace:
        assert sum(line.startswith(f"{write_place_name(place)}: ") for line in lines) == 1
    assert f"Weighed 2.400{SPACE}kg" in ran.out or "No weight is expected" in ran.out
    assert "What it rests on:" in ran.out


def test_the_wall_is_data_in_si(taught: Path, run: Run) -> None:
    data = told(run("wall", taught, "standing", "--json"))
    assert (data["shop"], data["label"], data["name"]) == ("Heron Yard", "H-1", "Standing heron")
    assert data["shell_id"] == str(HERON)
    places = {place["place"]: place for place in data["places"]}
    assert set(places) == {place.value for place in WallPlace}
    (sequence,) = {place["target_m"] for place in data["places"]}
    assert 1e-3 < sequence < 0.1
    for place in places.values():
        assert 0.0 < place["now_m"]["low"] <= place["now_m"]["likely"] <= place["now_m"]["high"]
        assert place["now_m"]["likely"] < place["at_end_m"]["likely"] < 0.05
        assert 0.0 <= place["chance_at_end"] <= 1.0
    assert places["flat"]["readings"] == 1
    calipers = [move for move in data["moves"] if move["evidence"] == "caliper"]
    assert [move["seen_m"] for move in calipers] == [0.5e-3]


def test_a_thicker_reading_makes_the_wall_thicker(taught: Path, run: Run) -> None:
    def likely() -> float:
        (flat,) = [
            place
            for place in told(run("wall", taught, "H-1", "--json"))["places"]
            if place["place"] == "flat"
        ]
        return flat["now_m"]["likely"]

    before = likely()
    run("check", taught, "H-1", "wall", "0.9mm")
    assert likely() > before


@pytest.mark.parametrize("command", [("learned",), ("wall", "H-1")], ids=lambda one: one[0])
def test_looking_writes_nothing_and_works_on_a_write_protected_book(
    taught: Path, run: Run, command: tuple[str, ...]
) -> None:
    before = entries_in(taught)
    name, *rest = command
    assert run(name, taught, *rest).code == FINE
    assert run(name, taught, *rest, "--json").code == FINE
    assert entries_in(taught) == before
    ran = write_protected(taught, command)
    assert ran.code == FINE, ran.err


def test_the_wall_of_a_shell_nobody_knows(book: Path, run: Run) -> None:
    ran = run("wall", book, "crane")
    assert (ran.code, ran.out) == (MEND, "")
    assert "No shell is called 'crane'" in ran.err


def test_the_wall_of_a_bare_wax(book: Path, run: Run) -> None:
    ran = run("wall", book, "H-1")
    assert ran.code == FINE, ran.err
    assert ran.out.startswith("H-1 Standing heron: 0 of 9 coats on.")
    data = told(run("wall", book, "H-1", "--json"))
    assert {place["now_m"]["likely"] for place in data["places"]} == {0.0}
