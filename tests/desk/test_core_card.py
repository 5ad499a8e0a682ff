"""The Cores tab of the Shell page: how each core stands, what would help, what was done."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot
from small_shop import NOW, SetClock, an_id

from shellcoat.book import open_book
from shellcoat.desk.marks import MarkState
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.core_card import CoreCard
from shellcoat.desk.shell.core_drawing import CoreDrawing
from shellcoat.desk.shell.core_picture import CoreCoat, CorePicture, core_picture
from shellcoat.desk.shell.core_words import core_mark, cores_at_risk
from shellcoat.desk.shell.page import ShellPage
from shellcoat.desk.theme import DARK, LIGHT, Theme
from shellcoat.forecast.answers import CoreAnswer
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import (
    AirReading,
    Band,
    CareKind,
    CoatKind,
    Core,
    CoreCare,
    Opening,
    OpeningShape,
    Shell,
)

BODY = Core(
    id=an_id("body"),
    name="Body of the heron",
    area_m2=0.03,
    openings=(Opening(width_m=0.012, height_m=0.012),),
)
LEG = Core(
    id=an_id("leg"),
    name="Left leg",
    area_m2=0.004,
    openings=(Opening(width_m=0.0045, height_m=0.0045),),
)


@pytest.fixture
def cored(opened: OpenShop, heron: Shell, read: AirReading) -> Shell:
    """The heron with a slow core and one so narrow that its coats have closed it."""
    return edit_shell(opened, replace(heron, cores=(BODY, LEG)), NOW, "measured")


def shell_page(qtbot: QtBot, session: DeskSession, theme: Theme, shell: Shell) -> ShellPage:
    session.forecast_now()
    page = ShellPage(session, theme)
    qtbot.addWidget(page)
    page.resize(1266, 700)
    page.show()
    qtbot.waitExposed(page)
    page.show_shell(shell.id)
    return page


@pytest.fixture
def page(qtbot: QtBot, session: DeskSession, theme: Theme, cored: Shell) -> ShellPage:
    """The shell page with its Cores tab in front and all work done."""
    page = shell_page(qtbot, session, theme, cored)
    page.plots.setCurrentWidget(page.cores)
    qtbot.waitUntil(lambda: not session.runner.busy)
    return page


def care(session: DeskSession) -> list[CoreCare]:
    return [act for acts in session.opened.ledger.care().values() for act in acts]


def card(page: ShellPage, core: Core) -> CoreCard:
    return next(each for each in page.cores.cards if each.core.id == core.id)


def answer(**changes: object) -> CoreAnswer:
    usual = CoreAnswer(
        core_id=BODY.id,
        name=BODY.name,
        likely_at=NOW + timedelta(hours=3),
        safe_at=NOW + timedelta(hours=5),
        chance_dry=0.1,
        chance_by_due=0.5,
        water_kg=Band(0.004, 0.006, 0.008),
        dry_kg=0.0006,
        steam_l=Band(6.0, 10.0, 14.0),
        width_m=0.008,
        closes_at=(5, 6, 8),
        closed=False,
        plugged=False,
    )
    return replace(usual, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "state", "word"),
    [
        ({}, MarkState.WET, "drying"),
        ({"safe_at": NOW - timedelta(hours=1)}, MarkState.FINISHED, "dry"),
        ({"safe_at": None}, MarkState.WILL_NOT_DRY, "will not dry"),
        ({"closed": True}, MarkState.WARNING, "closed, wet inside"),
        ({"closed": True, "water_kg": Band(0, 0, 0)}, MarkState.FINISHED, "closed, dry inside"),
        ({"plugged": True}, MarkState.WARNING, "plugged, wet inside"),
    ],
)
def test_every_state_has_its_own_word(
    changes: dict[str, object], state: MarkState, word: str
) -> None:
    assert core_mark(answer(**changes), NOW) == (state, word)


def test_a_card_for_every_core_says_how_it_stands(page: ShellPage) -> None:
    assert [each.name.text() for each in page.cores.cards] == [BODY.name, LEG.name]
    assert "of water held" in card(page, BODY).state.text()
    assert card(page, LEG).word.text() == "closed, wet inside"
    assert "12\u00a0mm" in card(page, BODY).measured.text()


def test_the_title_counts_the_cores_the_forecast_warns_of(
    page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    forecast = session.forecasts[cored.id]
    count = cores_at_risk(forecast)
    assert count == len({warning.core for warning in forecast.warnings if warning.core}) == 2
    assert page.plots.tabText(page.plots.indexOf(page.cores)) == "&Cores (2 at risk)"


def test_what_would_help_is_computed_only_once_somebody_looks(
    qtbot: QtBot, session: DeskSession, theme: Theme, cored: Shell
) -> None:
    page = shell_page(qtbot, session, theme, cored)
    qtbot.waitUntil(lambda: not session.runner.busy)
    advice = card(page, BODY).advice
    assert advice.text().startswith("Computing")
    page.plots.setCurrentWidget(page.cores)
    assert session.runner.busy
    qtbot.waitUntil(lambda: not session.runner.busy)
    assert advice.text().startswith("1.  Blow")


def test_actions_are_those_of_the_forecast_in_its_order(
    page: ShellPage, session: DeskSession, cored: Shell
) -> None:
    given = session.opened.forecast_input(session.now(), [cored])
    gains = [action.gain_s for action in session.opened.core_actions(given)[BODY.id]]
    assert gains == sorted(gains, reverse=True)
    assert len(card(page, BODY).advice.text().splitlines()) == min(len(gains), 5)


def test_nothing_is_advised_for_a_closed_core_but_opening_it(page: ShellPage) -> None:
    assert card(page, LEG).advice.text().startswith("Nothing dries a closed core. Open it")


def test_blowing_is_logged_with_its_flow_and_ended(
    qtbot: QtBot, page: ShellPage, session: DeskSession, clock: SetClock
) -> None:
    body = card(page, BODY)
    body.flow.line.clear()
    qtbot.keyClicks(body.flow.line, "0.5 cfm")
    body.blow_button.click()
    (blown,) = care(session)
    assert (blown.kind, blown.core_id, blown.at) == (CareKind.BLOW, BODY.id, NOW)
    assert blown.flow_m3_s == pytest.approx(0.5 * 0.3048**3 / 60.0)  # the foot of 1959, exact
    assert body.stop_button.isVisible()
    assert not body.blow_button.isVisible()
    clock.forward(hours=2)
    body.stop_button.click()
    (ended,) = care(session)
    assert ended.until == NOW + timedelta(hours=2)
    assert body.blow_button.isVisible()


def test_a_flow_that_is_none_is_told_and_nothing_is_logged(
    qtbot: QtBot, page: ShellPage, session: DeskSession
) -> None:
    body = card(page, BODY)
    body.flow.line.clear()
    qtbot.keyClicks(body.flow.line, "5 mm")
    with qtbot.waitSignal(session.failed) as told:
        body.blow_button.click()
    assert told.args is not None
    assert str(told.args[0]).startswith("Air flow")
    assert care(session) == []


def test_turning_is_of_the_whole_shell(page: ShellPage, session: DeskSession) -> None:
    card(page, BODY).turn_button.click()
    (turned,) = care(session)
    assert (turned.kind, turned.core_id) == (CareKind.TURN, None)
    assert "upside down" in card(page, BODY).care.text()
    assert "upside down" in card(page, LEG).care.text()


def test_air_that_is_still_blown_in_is_not_forgotten_over_what_came_after(
    page: ShellPage, clock: SetClock
) -> None:
    body = card(page, BODY)
    body.blow_button.click()
    clock.forward(minutes=5)
    body.turn_button.click()
    assert "shell turned over 14:05" in body.care.text()
    assert "air blown in 10.0\u00a0L/min from 14:00" in body.care.text()


def test_a_core_without_an_opening_is_shown_as_closed(
    qtbot: QtBot, session: DeskSession, theme: Theme, cored: Shell
) -> None:
    sealed = edit_shell(
        session.opened, replace(cored, cores=(replace(LEG, openings=()),)), NOW, "sealed"
    )
    page = shell_page(qtbot, session, theme, sealed)
    page.plots.setCurrentWidget(page.cores)
    qtbot.waitUntil(lambda: not session.runner.busy)
    (leg,) = page.cores.cards
    assert leg.measured.text() == "No opening."
    assert leg.word.text() == "closed, dry inside"
    assert not leg.closing.isVisible()
    assert "no opening" in leg.drawing.accessibleDescription()


def test_plugged_then_opened_again(page: ShellPage, session: DeskSession, clock: SetClock) -> None:
    body = card(page, BODY)
    assert not body.open_button.isEnabled()
    body.plug_button.click()
    session.forecast_now()
    assert body.word.text() == "plugged, wet inside"
    assert not body.blow_button.isEnabled()
    assert not body.plug_button.isEnabled()
    clock.forward(minutes=5)
    body.open_button.click()
    session.forecast_now()
    assert [act.kind for act in care(session)] == [CareKind.PLUG, CareKind.OPEN]
    assert body.plug_button.isEnabled()


def test_what_is_typed_stays_while_the_forecast_is_made_anew(
    qtbot: QtBot, page: ShellPage, session: DeskSession
) -> None:
    body = card(page, BODY)
    body.flow.line.clear()
    qtbot.keyClicks(body.flow.line, "7 L")
    session.forecast_now()
    assert card(page, BODY) is body
    assert body.flow.line.text() == "7 L"


def test_a_shell_without_cores_says_what_one_is(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    page = shell_page(qtbot, session, theme, heron)
    page.plots.setCurrentWidget(page.cores)
    assert page.cores.empty.isVisible()
    assert "hollow" in page.cores.empty.text()
    assert page.cores.add_button.isEnabled()
    assert page.plots.tabText(page.plots.indexOf(page.cores)) == "&Cores"
    qtbot.waitUntil(lambda: not session.runner.busy)


def test_a_book_to_read_only_disables_every_deed(
    qtbot: QtBot, opened: OpenShop, cored: Shell, theme: Theme
) -> None:
    read_only = open_book(opened.book.path, read_only=True)
    session = DeskSession(OpenShop(read_only, who="Ana", station="bench"), now=lambda: NOW)
    page = shell_page(qtbot, session, theme, cored)
    page.plots.setCurrentWidget(page.cores)
    body = card(page, BODY)
    deeds = (body.blow_button, body.turn_button, body.plug_button, body.open_button)
    assert not any(button.isEnabled() for button in (*deeds, page.cores_button))
    qtbot.waitUntil(lambda: not session.runner.busy)
    session.close()


def test_the_picture_ends_with_the_coat_that_closes_it(session: DeskSession, cored: Shell) -> None:
    session.forecast_now()
    forecast = session.forecasts[cored.id]
    picture = core_picture(BODY, forecast.cores[0], cored, forecast)
    assert picture.closes_at is not None
    assert [coat.number for coat in picture.coats] == list(range(1, picture.closes_at + 1))
    built = sum(coat.thickness_m for coat in picture.on)
    assert picture.clear_m == pytest.approx(BODY.openings[0].width_m - 2 * built)


def _picture(coats: int, *, planned: int = 0) -> CorePicture:
    layers = [
        CoreCoat(number, 0.001, CoatKind.BACKUP, planned=number > coats)
        for number in range(1, coats + planned + 1)
    ]
    return CorePicture(
        opening=Opening(shape=OpeningShape.SLOT, width_m=0.01, height_m=0.02),
        coats=tuple(layers),
        closes_at=None,
        wetness=0.0,
        closed=False,
        plugged=False,
        clear_m=0.01 - 0.002 * coats,
    )


def clear_rows(session: DeskSession, theme: Theme, coats: int) -> int:
    """How many pixels of a column through the neck are neither wax nor coat."""
    drawing = CoreDrawing(session, theme)
    drawing.setStyleSheet(f"background: {theme.panel};")
    drawing.resize(drawing.sizeHint())
    drawing.show_picture(_picture(coats))
    image = drawing.grab().toImage()
    column = round(0.72 * image.width()) - 10
    ground = QColor(theme.panel)
    return sum(image.pixelColor(column, row) == ground for row in range(image.height() - 30))


@pytest.mark.parametrize("theme_worn", [LIGHT, DARK])
def test_the_opening_is_drawn_to_scale(
    session: DeskSession, theme: Theme, theme_worn: Theme
) -> None:
    """Of an opening of 10 mm, two coats of 1 mm on either side leave 6 mm."""
    bare, two = (clear_rows(session, theme_worn, coats) for coats in (0, 2))
    assert two / bare == pytest.approx(0.6, abs=0.06)


def test_the_drawing_is_told_in_words(page: ShellPage) -> None:
    words = card(page, BODY).drawing.accessibleDescription()
    assert words.startswith("3 coats in the opening")
    assert "closes it" in words


def test_a_very_long_name_leaves_the_page_as_wide(
    qtbot: QtBot, session: DeskSession, theme: Theme, cored: Shell
) -> None:
    long = replace(cored, cores=(replace(BODY, name="N" * 200),))
    edit_shell(session.opened, long, NOW, "measured")
    page = shell_page(qtbot, session, theme, long)
    page.plots.setCurrentWidget(page.cores)
    qtbot.waitUntil(lambda: not session.runner.busy)
    assert page.width() == 1266
    assert page.cores.cards[0].minimumSizeHint().width() < 640
