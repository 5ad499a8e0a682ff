"""Checks in the book: kept, exported and moved whole; books made before there were any open."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import get_args

import jsonschema
import pytest
from book_builders import NOW, SHELL, a_withdrawal, an_entry, an_id, at, new_book
from book_strategies import shell_checks, slurry_tests
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shellcoat.book import Book, open_book
from shellcoat.book.check import check_book
from shellcoat.book.document import BadDocumentError
from shellcoat.book.exchange import export_book, exported, import_book
from shellcoat.book.schema import PUBLISHED
from shellcoat.shop import (
    CaliperReading,
    DryCheck,
    DryFinding,
    InfraredReading,
    PlateTest,
    Record,
    RheologyTest,
    ShellCheck,
    SlurryTest,
    StuccoGrain,
    WallPlace,
    Weighing,
)

DEMOS = sorted((Path(__file__).parents[2] / "demo_projects").glob("*/book.json"))
NEW_KINDS = {
    "dry_check",
    "infrared_reading",
    "weighing",
    "caliper_reading",
    "plate_test",
    "rheology_test",
    "stucco_grain",
}


def on_shell(name: str, hours: float) -> dict[str, object]:
    """What every check of the shell has."""
    return {"id": an_id(name), "shell_id": SHELL, "at": at(hours)}


def of_slurry(name: str, hours: float) -> dict[str, object]:
    """What every test of the slurry has."""
    return {"id": an_id(name), "slurry": "Silica backup", "at": at(hours)}


CHECKS = (
    DryCheck(**on_shell("touch", 3), finding=DryFinding.STILL_WET, core_id=an_id("core")),
    InfraredReading(**on_shell("gun", 4), surface_temp_c=18.5, left_out="gun just unpacked"),
    Weighing(**on_shell("scale", 5), mass_kg=12.4, note="hook — 0,4 kg — abgezogen"),
    CaliperReading(
        **on_shell("caliper", 6), place=WallPlace.CORNER, thickness_m=5.2e-3, where="under the wing"
    ),
)
TESTS = (
    PlateTest(**of_slurry("plate", 1), area_m2=0.02, mass_kg=0.018, water_share=0.28),
    RheologyTest(**of_slurry("cup", 2), viscosity_pa_s=0.6, density_kg_m3=1700.0),
    StuccoGrain(id=an_id("sand"), stucco="Silica 30-50", finest_m=0.3e-3, coarsest_m=0.6e-3),
)


@pytest.fixture
def checked(book: Book) -> Book:
    """A book with one of each, one of them corrected and one more taken back."""
    for record in (*TESTS, *CHECKS):
        book.append([an_entry(record, 7)])
    first = book.ledger.live[CHECKS[2].id]
    book.append([an_entry(replace(CHECKS[2], mass_kg=12.0), 8, replaces=first.id, reason="hook")])
    slip = an_entry(replace(CHECKS[0], id=an_id("slip")), 8)
    book.append([slip])
    book.append([a_withdrawal(slip, 9)])
    return book


@pytest.fixture
def document(checked: Book, tmp_path: Path) -> Path:
    export_book(checked, tmp_path / "out.json")
    return tmp_path / "out.json"


STANDING = {SHELL: (*CHECKS[:2], replace(CHECKS[2], mass_kg=12.0), CHECKS[3])}


def test_there_is_one_of_each_here() -> None:
    assert {type(record) for record in CHECKS} == set(get_args(ShellCheck))
    assert {type(record) for record in TESTS} == set(get_args(SlurryTest))


def test_checks_survive_close_and_open(checked: Book, path: Path) -> None:
    ledger = checked.ledger
    checked.close()
    with open_book(path, read_only=True) as found:
        assert found.ledger == ledger
        assert found.ledger.checks() == STANDING
        assert found.ledger.slurry_tests == list(TESTS)
        assert [line.reason for line in found.ledger.history(CHECKS[2].id)] == ["", "hook"]
        assert len(found.ledger.history(an_id("slip"))) == 2
    assert check_book(path).sound


def test_checks_survive_export_and_import(checked: Book, document: Path, tmp_path: Path) -> None:
    import_book(document, tmp_path / "in.shellbook")
    with open_book(tmp_path / "in.shellbook") as found:
        assert found.ledger == checked.ledger
        assert found.head == checked.head
        assert exported(found) == exported(checked)
    assert check_book(tmp_path / "in.shellbook").sound


def test_the_document_keeps_to_the_published_schema(document: Path) -> None:
    told = json.loads(document.read_text("utf-8"))
    assert {line["kind"] for line in told["entries"]} > NEW_KINDS
    jsonschema.validate(told, json.loads(PUBLISHED.read_text("utf-8")))


def test_the_book_is_written_in_words_that_stay(document: Path) -> None:
    """Books are kept for decades, so the names and values in them must never change."""
    told = {line["record"]["id"]: line for line in json.loads(document.read_text())["entries"]}
    touch = told[str(an_id("touch"))]
    assert (touch["kind"], touch["record"]["finding"]) == ("dry_check", "still wet")
    assert touch["record"]["at"] == "2026-03-02T11:00:00Z"
    caliper = told[str(an_id("caliper"))]
    assert (caliper["record"]["place"], caliper["record"]["thickness_m"]) == (
        "inside corner",
        5.2e-3,
    )


@pytest.mark.parametrize("field", ["thickness_mm", "left-out"])
def test_a_field_that_no_check_has_is_named(document: Path, tmp_path: Path, field: str) -> None:
    told = json.loads(document.read_text("utf-8"))
    (line,) = [line for line in told["entries"] if line["kind"] == "caliper_reading"]
    line["record"][field] = 5.2
    document.write_text(json.dumps(told), "utf-8")
    with pytest.raises(BadDocumentError, match=rf"\(caliper_reading\), record\.{field}: "):
        import_book(document, tmp_path / "in.shellbook")
    assert not (tmp_path / "in.shellbook").exists()


def test_a_value_that_no_check_can_have_is_named(document: Path, tmp_path: Path) -> None:
    text = document.read_text("utf-8").replace('"thickness_m": 0.0052', '"thickness_m": 5.2')
    document.write_text(text, "utf-8")
    with pytest.raises(BadDocumentError, match=r"\(caliper_reading\).*Wall thickness: 5\.2"):
        import_book(document, tmp_path / "in.shellbook")


def test_a_story_that_is_moved_takes_its_checks_along(document: Path, tmp_path: Path) -> None:
    days = timedelta(days=40)
    import_book(document, tmp_path / "in.shellbook", shift=lambda moment: moment + days)
    with open_book(tmp_path / "in.shellbook") as found:
        assert found.ledger.checks() == {
            SHELL: tuple(replace(check, at=check.at + days) for check in STANDING[SHELL])
        }
        (plate, cup, sand) = found.ledger.slurry_tests
    assert (plate.at, cup.at, sand) == (at(1) + days, at(2) + days, TESTS[2])


@settings(
    max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(shell_checks | slurry_tests, max_size=8, unique_by=lambda record: record.id))
def test_any_checks_come_back_as_they_went_in(
    tmp_path_factory: pytest.TempPathFactory, records: Sequence[Record]
) -> None:
    folder = tmp_path_factory.mktemp("any")
    mine = [replace(r, shell_id=SHELL) if hasattr(r, "shell_id") else r for r in records]
    with new_book(folder / "a.shellbook") as book:
        book.append([an_entry(record) for record in mine])
        export_book(book, folder / "a.json")
    import_book(folder / "a.json", folder / "b.shellbook")
    for name in ("a", "b"):
        with open_book(folder / f"{name}.shellbook", read_only=True) as found:
            assert [found.ledger.live[record.id].record for record in mine] == mine


@pytest.mark.parametrize("document", DEMOS, ids=lambda path: path.parent.name)
def test_a_book_from_before_there_were_checks_opens(document: Path, tmp_path: Path) -> None:
    """The entries of the demo shops without the kinds that came with the checks."""
    told = json.loads(document.read_text("utf-8"))
    kept = [line for line in told["entries"] if line["kind"] not in NEW_KINDS]
    stand = {line["id"] for line in kept}
    older = [line for line in kept if line.get("replaces") in stand | {None}]
    plain = {name: told[name] for name in ("format", "version", "book")} | {"entries": older}
    (tmp_path / "older.json").write_text(json.dumps(plain), "utf-8")
    import_book(tmp_path / "older.json", tmp_path / "older.shellbook")
    with open_book(tmp_path / "older.shellbook") as found:
        assert len(found.ledger.entries) == len(older)
        assert (found.ledger.checks(), found.ledger.slurry_tests) == ({}, [])
        shell = found.ledger.shells[0]
        check = Weighing(id=an_id("first"), shell_id=shell.id, at=NOW, mass_kg=3.0)
        found.append([an_entry(check)])
    with open_book(tmp_path / "older.shellbook", read_only=True) as again:
        assert again.ledger.checks() == {shell.id: (check,)}


@pytest.mark.parametrize("document", DEMOS, ids=lambda path: path.parent.name)
def test_the_demo_shops_open_as_they_are(document: Path, tmp_path: Path) -> None:
    import_book(document, tmp_path / "demo.shellbook")
    with open_book(tmp_path / "demo.shellbook", read_only=True) as found:
        told = json.loads(document.read_text("utf-8"))
        assert len(found.ledger.entries) == len(told["entries"])
    assert check_book(tmp_path / "demo.shellbook").sound
