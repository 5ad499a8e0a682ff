"""Tests of slurries and stuccos: logged in any unit, put right, left out, taken back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import QAction
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import NOW, an_id

from shellcoat.desk.dialogs import film_test_forms, grain_form, plate_form, shell_check_forms
from shellcoat.desk.dialogs.film_test_forms import RheologyForm
from shellcoat.desk.dialogs.film_tests_dialog import FilmTestDialog, FilmTestsDialog
from shellcoat.desk.dialogs.grain_form import GrainForm
from shellcoat.desk.dialogs.plate_form import PlateForm
from shellcoat.desk.dialogs.reason_dialog import ReasonDialog
from shellcoat.desk.main_window import MainWindow
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.errors import MendableError
from shellcoat.operations.checks import log_check
from shellcoat.shop import (
    CaliperReading,
    InfraredReading,
    PlateTest,
    RheologyTest,
    SlurryTest,
    StuccoGrain,
    WallPlace,
    Weighing,
)
from shellcoat.shop.air import COLDEST_C, HOTTEST_C

PLATE = PlateTest(
    id=an_id("plate"),
    slurry="fused silica backup",
    at=NOW - timedelta(days=2),
    area_m2=0.03,
    mass_kg=0.0187,
)


@pytest.fixture
def tests(qtbot: QtBot, session: DeskSession, theme: Theme) -> FilmTestsDialog:
    return shown(qtbot, FilmTestsDialog(session))


def kept(session: DeskSession) -> list[SlurryTest]:
    return session.opened.ledger.slurry_tests


def only(session: DeskSession) -> SlurryTest:
    (test,) = kept(session)
    return test


def asked(dialog: FilmTestsDialog) -> FilmTestDialog:
    assert isinstance(dialog.dialog, FilmTestDialog)
    assert dialog.dialog.isVisible()
    return dialog.dialog


def why(dialog: FilmTestsDialog) -> ReasonDialog:
    assert isinstance(dialog.deeds.dialog, ReasonDialog)
    return dialog.deeds.dialog


def plate_of(dialog: FilmTestsDialog) -> PlateForm:
    form = asked(dialog).form
    assert isinstance(form, PlateForm)
    return form


def flow_of(dialog: FilmTestsDialog) -> RheologyForm:
    form = asked(dialog).form
    assert isinstance(form, RheologyForm)
    return form


def grain_of(dialog: FilmTestsDialog) -> GrainForm:
    form = asked(dialog).form
    assert isinstance(form, GrainForm)
    return form


def test_an_empty_list_says_what_a_test_is_for(tests: FilmTestsDialog) -> None:
    assert tests.empty.isVisible()
    assert "Dip a plate" in tests.empty.text()
    assert not tests.deeds.correct_button.isEnabled()


def test_a_plate_is_given_by_its_sides(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession
) -> None:
    tests.plate_button.click()
    form = plate_of(tests)
    known = [form.slurry.combo.itemText(row) for row in range(form.slurry.combo.count())]
    planned = {step.slurry for each in session.opened.ledger.sequences for step in each.steps}
    assert set(known) == planned
    form.slurry.set_value(known[1])
    qtbot.keyClicks(form.length.line, "150")
    qtbot.keyClicks(form.width.line, "4 in")
    qtbot.keyClicks(form.mass.line, "18.7")
    asked(tests).save_button.click()
    test = only(session)
    assert isinstance(test, PlateTest)
    assert test.slurry == known[1]
    assert test.area_m2 == pytest.approx(2 * 0.150 * 0.1016)  # both sides of the plate
    assert test.mass_kg == pytest.approx(0.0187)
    assert (test.density_kg_m3, test.water_share) == (None, None)
    assert tests.model.rowCount() == 1


@pytest.mark.parametrize(("sides", "area"), [(2, 0.03), (1, 0.015)])
def test_one_side_or_both(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession, sides: int, area: float
) -> None:
    tests.plate_button.click()
    form = plate_of(tests)
    form.wetted.set_value(sides)
    qtbot.keyClicks(form.length.line, "150 mm")
    qtbot.keyClicks(form.width.line, "100 mm")
    qtbot.keyClicks(form.mass.line, "18.7 g")
    asked(tests).save_button.click()
    test = only(session)
    assert isinstance(test, PlateTest)
    assert test.area_m2 == pytest.approx(area)


def test_or_by_its_area_with_the_other_fields_gone(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession
) -> None:
    tests.plate_button.click()
    form = plate_of(tests)
    assert not form.area.isVisible()
    form.wetted.combo.setCurrentIndex(2)
    assert form.area.isVisible()
    assert not form.length.isVisible()
    qtbot.keyClicks(form.area.line, "300 cm2")
    qtbot.keyClicks(form.mass.line, "18.7 g")
    qtbot.keyClicks(form.density.line, "1.65")
    qtbot.keyClicks(form.water.line, "23 %")
    asked(tests).save_button.click()
    test = only(session)
    assert isinstance(test, PlateTest)
    assert test.area_m2 == pytest.approx(0.03)
    assert test.density_kg_m3 == pytest.approx(1650.0)
    assert test.water_share == pytest.approx(0.23)


def test_a_flow_test_is_kept_in_si(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession
) -> None:
    tests.flow_button.click()
    form = flow_of(tests)
    qtbot.keyClicks(form.viscosity.line, "350 cP")
    qtbot.keyClicks(form.density.line, "1.65 g/cm3")
    qtbot.keyClicks(form.yields.line, "4.5")
    form.speed.line.clear()
    qtbot.keyClicks(form.speed.line, "8 cm/s")
    form.drain.line.clear()
    qtbot.keyClicks(form.drain.line, "45")
    asked(tests).save_button.click()
    test = only(session)
    assert isinstance(test, RheologyTest)
    assert test.viscosity_pa_s == pytest.approx(0.35)
    assert test.yield_stress_pa == pytest.approx(4.5)
    assert test.speed_m_s == pytest.approx(0.08)
    assert test.drain_time_s == pytest.approx(45.0)


def test_a_flow_test_asks_only_for_what_it_cannot_do_without(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession
) -> None:
    tests.flow_button.click()
    form = flow_of(tests)
    asked(tests).save_button.click()
    told = {
        field.line.objectName(): field.line.accessibleDescription()
        for field in (form.viscosity, form.density, form.yields, form.speed, form.drain)
    }
    assert {name for name, words in told.items() if words} == {
        "test_viscosity_line",
        "test_density_line",
    }
    qtbot.keyClicks(form.viscosity.line, "350")
    qtbot.keyClicks(form.density.line, "1.65")
    asked(tests).save_button.click()
    test = only(session)
    assert isinstance(test, RheologyTest)
    assert (test.yield_stress_pa, test.speed_m_s, test.drain_time_s) == (0.0, 0.05, 30.0)


@pytest.mark.parametrize(
    ("fine", "coarse", "finest_m", "coarsest_m"),
    [
        ("50 mesh", "30 mesh", 300e-6, 600e-6),  # ASTM E11: No. 50 and No. 30
        ("#100", "#50", 150e-6, 300e-6),
        ("0.2 mm", "0.5", 200e-6, 500e-6),
        ("30 mesh", "50mesh", 300e-6, 600e-6),  # the wrong way round
    ],
)
def test_a_stucco_is_given_by_sieves_or_lengths(
    qtbot: QtBot,
    tests: FilmTestsDialog,
    session: DeskSession,
    fine: str,
    coarse: str,
    finest_m: float,
    coarsest_m: float,
) -> None:
    tests.grain_button.click()
    form = grain_of(tests)
    qtbot.keyClicks(form.fine.line, fine)
    qtbot.keyClicks(form.coarse.line, coarse)
    asked(tests).save_button.click()
    test = only(session)
    assert isinstance(test, StuccoGrain)
    assert test.finest_m == pytest.approx(finest_m)
    assert test.coarsest_m == pytest.approx(coarsest_m)


def test_a_sieve_that_does_not_exist_is_refused_in_words(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession
) -> None:
    tests.grain_button.click()
    form = grain_of(tests)
    qtbot.keyClicks(form.fine.line, "55 mesh")
    qtbot.keyClicks(form.coarse.line, "5 g")
    asked(tests).save_button.click()
    assert "“55 mesh” is no sieve of ASTM E11" in form.fine.line.accessibleDescription()
    assert "is a mass, not a length" in form.coarse.line.accessibleDescription()
    assert kept(session) == []


def test_a_test_that_has_not_been_made_yet_is_refused(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession
) -> None:
    tests.plate_button.click()
    form, dialog = plate_of(tests), asked(tests)
    form.wetted.combo.setCurrentIndex(2)
    qtbot.keyClicks(form.area.line, "300 cm2")
    qtbot.keyClicks(form.mass.line, "18.7 g")
    dialog.time.set_value(NOW + timedelta(days=1))
    dialog.save_button.click()
    assert "has not come yet" in dialog.time.message
    assert kept(session) == []


def test_correcting_a_note_leaves_the_figures_to_the_last_digit(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession
) -> None:
    exact = replace(PLATE, mass_kg=0.018734567)
    log_check(session.opened, exact, NOW)
    tests.deeds.correct_button.click()
    dialog = asked(tests)
    qtbot.keyClicks(dialog.note.line, "second bucket")
    qtbot.keyClicks(dialog.reason.line, "forgotten")
    dialog.save_button.click()
    assert only(session) == replace(exact, note="second bucket")
    history = session.opened.ledger.history(exact.id)
    assert [entry.record for entry in history] == [exact, only(session)]
    assert history[-1].reason == "forgotten"


def test_leaving_out_needs_a_reason_and_taking_in_none(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession
) -> None:
    log_check(session.opened, PLATE, NOW)
    tests.deeds.leave_out_button.click()
    dialog = why(tests)
    assert "Plate test of fused silica backup" in dialog.what.text()
    dialog.confirm_button.click()
    assert only(session).left_out == ""
    qtbot.keyClicks(dialog.reason.line, "the slurry had settled")
    dialog.confirm_button.click()
    assert only(session).left_out == "the slurry had settled"
    assert tests.model.index(0, 4).data() == "the slurry had settled"
    tests.deeds.take_in_button.click()
    assert only(session).left_out == ""


def test_taken_back_it_is_gone_from_the_list_and_kept_in_the_book(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession
) -> None:
    log_check(session.opened, PLATE, NOW)
    tests.deeds.take_back_button.click()
    dialog = why(tests)
    qtbot.keyClicks(dialog.reason.line, "wrong slurry")
    qtbot.keyClick(dialog.reason.line, Qt.Key.Key_Return)
    assert kept(session) == []
    assert tests.empty.isVisible()
    assert session.opened.ledger.history(PLATE.id)[-1].reason == "wrong slurry"


def test_the_newest_stands_first_and_sizes_last(
    tests: FilmTestsDialog, session: DeskSession
) -> None:
    older = replace(PLATE, id=an_id("older"), at=NOW - timedelta(days=9))
    grain = StuccoGrain(id=an_id("grain"), stucco="fused silica", finest_m=3e-4, coarsest_m=6e-4)
    for test in (grain, older, PLATE):
        log_check(session.opened, test, NOW)
    first = [str(tests.model.index(row, 0).data()) for row in range(3)]
    assert first == ["Tue 14:00", "Tue 24 Feb 14:00", "as bought"]


def test_saved_twice_it_is_kept_once(
    qtbot: QtBot, tests: FilmTestsDialog, session: DeskSession
) -> None:
    tests.grain_button.click()
    dialog, form = asked(tests), grain_of(tests)
    qtbot.keyClicks(form.fine.line, "50 mesh")
    qtbot.keyClicks(form.coarse.line, "30 mesh")
    dialog.save()
    dialog.save()
    assert len(kept(session)) == 1


def bounded() -> list[tuple[Callable[[float], object], float, float]]:
    """Every limit that a field tells, with the record that has the last word on it."""
    shell = an_id("heron")
    infrared = InfraredReading(id=shell, shell_id=shell, at=NOW, surface_temp_c=18.0)
    weighing = Weighing(id=shell, shell_id=shell, at=NOW, mass_kg=3.4)
    caliper = CaliperReading(
        id=shell, shell_id=shell, at=NOW, place=WallPlace.FLAT, thickness_m=5e-3
    )
    flow = RheologyTest(
        id=shell, slurry="backup", at=NOW, viscosity_pa_s=0.35, density_kg_m3=1650.0
    )
    grain = StuccoGrain(id=shell, stucco="silica", finest_m=1e-5, coarsest_m=0.02)
    films, checks, plates = film_test_forms, shell_check_forms, plate_form
    return [
        (lambda x: replace(infrared, surface_temp_c=x), COLDEST_C, HOTTEST_C),
        (lambda x: replace(weighing, mass_kg=x), checks.LEAST_MASS_KG, checks.MOST_MASS_KG),
        (lambda x: replace(caliper, thickness_m=x), checks.THINNEST_M, checks.THICKEST_M),
        (lambda x: replace(PLATE, area_m2=x), plates.LEAST_AREA_M2, plates.MOST_AREA_M2),
        (lambda x: replace(PLATE, mass_kg=x), plates.LEAST_MASS_KG, plates.MOST_MASS_KG),
        (lambda x: replace(PLATE, density_kg_m3=x), films.LEAST_DENSITY, films.MOST_DENSITY),
        (lambda x: replace(PLATE, water_share=x), films.LEAST_SHARE, films.MOST_SHARE),
        (lambda x: replace(flow, viscosity_pa_s=x), films.LEAST_VISCOSITY, films.MOST_VISCOSITY),
        (lambda x: replace(flow, yield_stress_pa=x), 0.0, films.MOST_YIELD_PA),
        (lambda x: replace(flow, speed_m_s=x), films.LEAST_SPEED, films.MOST_SPEED),
        (lambda x: replace(flow, drain_time_s=x), films.LEAST_DRAIN_S, films.MOST_DRAIN_S),
        (
            lambda x: replace(grain, grain_density_kg_m3=x),
            grain_form.LEAST_MINERAL,
            grain_form.MOST_MINERAL,
        ),
        (
            lambda x: replace(grain, finest_m=x, coarsest_m=x),
            grain_form.LEAST_GRAIN_M,
            grain_form.MOST_GRAIN_M,
        ),
    ]


@pytest.mark.parametrize(("make", "low", "high"), bounded())
def test_a_field_lets_through_just_what_the_record_takes(
    make: Callable[[float], object], low: float, high: float
) -> None:
    margin = 1e-6 * (high - low)
    for allowed in (low, high):
        make(allowed)
    for beyond in (low - margin, high + margin):
        with pytest.raises(MendableError):
            make(beyond)


def test_the_shop_menu_leads_to_them(
    qtbot: QtBot,
    session: DeskSession,
    theme: Theme,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    opened: list[str] = []

    def note(dialog: FilmTestsDialog) -> int:
        opened.append(dialog.windowTitle())
        return 0

    monkeypatch.setattr(FilmTestsDialog, "exec", note)
    window = MainWindow(session, theme, "light")
    entry = window.findChild(QAction, "shop_film_tests")
    entry.trigger()
    assert opened == ["Slurry and stucco tests"]
    window.alerts.close()
    window.backups.close()
    window.close()
    window.deleteLater()
