"""What an open book hands to the forecast to learn from, and what comes of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from uuid import uuid4

import pytest
from shop_cases import BACKUP, at, at_the_book, dip, on_rack, shop_book, steady_air

from shellcoat.forecast.learned import FactorKind, Silence
from shellcoat.operations.checks import leave_out, log_check, take_in
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import set_state
from shellcoat.shop import (
    CaliperReading,
    DryCheck,
    DryFinding,
    PlateTest,
    Shell,
    ShellState,
    WallPlace,
    Weighing,
)

DIPS = (-40.0, -28.0)


@pytest.fixture
def opened(tmp_path: Path):
    with at_the_book(shop_book(tmp_path / "shop.shellbook")) as opened:
        yield opened


def a_shell_with_two_coats(opened: OpenShop, **changes: object) -> Shell:
    steady_air(opened, 0.5)
    shell = on_rack(opened, **changes)
    for hour in DIPS:
        dip(opened, shell, at(hour))
    return shell


def touch(shell: Shell, when: datetime, finding: DryFinding = DryFinding.STILL_WET) -> DryCheck:
    return DryCheck(id=uuid4(), shell_id=shell.id, at=when, finding=finding)


def calipers(shell: Shell, millimetres: float) -> list[CaliperReading]:
    return [
        CaliperReading(
            id=uuid4(),
            shell_id=shell.id,
            at=at(-1.0),
            place=WallPlace.FLAT,
            thickness_m=millimetres / 1e3,
            where=where,
        )
        for where in ("neck", "back", "foot")
    ]


def safe_at(opened: OpenShop, shell: Shell) -> datetime:
    found = opened.forecast_shell(shell, at(0)).safe_at
    assert found is not None
    return found


def test_a_wall_found_wet_late_is_told_later_and_left_out_it_is_not(opened):
    shell = a_shell_with_two_coats(opened)
    before = safe_at(opened, shell)
    check = log_check(opened, touch(shell, before), at(0))
    later = safe_at(opened, shell)
    assert later > before
    check = leave_out(opened, check, at(0), "it had been splashed")
    assert safe_at(opened, shell) == before
    take_in(opened, check, at(0))
    assert safe_at(opened, shell) == later


def test_one_shells_check_teaches_about_another(opened):
    shell = a_shell_with_two_coats(opened)
    other = on_rack(opened, "other")
    dip(opened, other, at(-10.0))
    before = safe_at(opened, other)
    log_check(opened, touch(shell, safe_at(opened, shell)), at(0))
    assert safe_at(opened, other) > before


def test_a_finished_or_scrapped_shell_goes_on_teaching(opened):
    shell = a_shell_with_two_coats(opened)
    log_check(opened, touch(shell, safe_at(opened, shell)), at(0))
    other = on_rack(opened, "other")
    dip(opened, other, at(-10.0))
    before = safe_at(opened, other)
    set_state(opened, shell.id, ShellState.SCRAPPED, at(0), "fell")
    assert safe_at(opened, other) == before


def test_every_check_has_its_lesson_or_says_why_not(opened):
    shell = a_shell_with_two_coats(opened)
    checks = {
        None: touch(shell, at(-20)),
        Silence.NO_COAT: touch(shell, at(-47)),
        Silence.LEFT_OUT: replace(touch(shell, at(-19)), left_out="wrong shell"),
        Silence.NOT_DRYING: calipers(shell, 1.2)[0],
        Silence.NO_AREA: Weighing(id=uuid4(), shell_id=shell.id, at=at(-20), mass_kg=2.0),
        Silence.NO_CORE: replace(touch(shell, at(-18)), core_id=uuid4()),
    }
    for check in checks.values():
        log_check(opened, check, at(0))
    lessons = {one.check_id: one for one in opened.learned(opened.forecast_input(at(0))).lessons}
    assert {silence: lessons[check.id].silence for silence, check in checks.items()} == {
        silence: silence for silence in checks
    }


def test_old_checks_no_longer_count(opened):
    shell = a_shell_with_two_coats(opened)
    log_check(opened, touch(shell, at(-20)), at(0))
    half_a_year = at(24.0 * 190)
    lessons = opened.learned(opened.forecast_input(half_a_year)).lessons
    assert [one.silence for one in lessons] == [Silence.TOO_OLD]


def test_a_clock_set_back_has_not_seen_later_checks(opened):
    shell = a_shell_with_two_coats(opened)
    log_check(opened, touch(shell, at(-20)), at(0))
    assert opened.learned(opened.forecast_input(at(-25))).lessons == ()


def test_learning_follows_readings_that_come_in_late(opened):
    """Air imported after the check changes what the check said."""
    shell = on_rack(opened)
    for hour in DIPS:
        dip(opened, shell, at(hour))
    log_check(opened, touch(shell, at(-22)), at(0))

    def film() -> float:
        factors = opened.learned(opened.forecast_input(at(0))).factors
        return next(one.now.likely for one in factors if one.kind is FactorKind.FILM)

    before = film()
    steady_air(opened, 0.8)
    assert film() != before


def test_calipers_move_the_wall_of_the_forecast_and_its_coats_add_up_to_it(opened):
    shell = a_shell_with_two_coats(opened)
    before = opened.forecast_shell(shell, at(0))
    for check in calipers(shell, 1.25e3 * before.thickness_m.likely):
        log_check(opened, check, at(0))
    after = opened.forecast_shell(shell, at(0))
    assert after.thickness_m.likely > 1.1 * before.thickness_m.likely
    assert sum(coat.thickness_m.likely for coat in after.coats) == pytest.approx(
        after.thickness_m.likely
    )
    coming = sum(band.likely for band in after.coming_m)
    assert after.thickness_m.likely + coming == pytest.approx(after.thickness_at_end_m.likely)
    assert after.safe_at == before.safe_at


def test_the_wall_answer_is_that_of_the_forecast(opened):
    shell = a_shell_with_two_coats(opened)
    for check in calipers(shell, 2.0):
        log_check(opened, check, at(0))
    wall = opened.wall(opened.forecast_input(at(0), [shell]))
    forecast = opened.forecast_shell(shell, at(0))
    assert wall.places[0].place is WallPlace.FLAT
    assert wall.places[0].now_m == forecast.thickness_m
    assert wall.places[0].at_end_m == forecast.thickness_at_end_m
    assert wall.places[0].readings == 3


def test_a_weighing_compares_with_what_was_expected_then(opened):
    shell = a_shell_with_two_coats(opened, area_m2=0.3, wax_mass_kg=2.0)
    given = opened.forecast_input(at(0), [shell])
    expected = opened.wall(given).mass_expected_kg
    assert expected is not None
    assert 2.0 < expected.low < expected.likely < expected.high < 3.5
    weighing = Weighing(id=uuid4(), shell_id=shell.id, at=at(-1), mass_kg=expected.likely)
    log_check(opened, weighing, at(0))
    wall = opened.wall(opened.forecast_input(at(0), [shell]))
    assert wall.mass_seen_kg == expected.likely
    assert wall.mass_expected_then_kg is not None
    assert wall.mass_expected_then_kg.likely == pytest.approx(expected.likely, rel=0.02)


def test_a_plate_test_changes_what_later_coats_bring(opened):
    shell = a_shell_with_two_coats(opened)
    before = opened.forecast_shell(shell, at(0))
    # A thin film: 0.4 kg/m2 of wet slurry where the sequence's water means about 0.9.
    test = PlateTest(
        id=uuid4(), slurry=BACKUP.slurry, at=at(-50), area_m2=0.03, mass_kg=0.012, water_share=0.27
    )
    log_check(opened, test, at(0))
    after = opened.forecast_shell(shell, at(0))
    assert after.coats[1].thickness_m.likely < before.coats[1].thickness_m.likely
    assert after.coats[1].water_kg_m2 < before.coats[1].water_kg_m2
    assert after.coats[0].water_kg_m2 == before.coats[0].water_kg_m2
    assert after.safe_at < before.safe_at
    leave_out(opened, test, at(0), "the plate had been wet")
    assert opened.forecast_shell(shell, at(0)) == before
