"""Sizes in millimetres, measured on every button and every large line; and contrast."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QColor, QFontMetricsF, QImage
from pytestqt.qtbot import QtBot

from shellcoat.desk.session import DeskSession
from shellcoat.desk.station.arrangement import button_row
from shellcoat.desk.station.buttons import StationButton
from shellcoat.desk.station.lines import CapitalLine
from shellcoat.desk.station.ruler import CARD_MM, Ruler
from shellcoat.desk.station.window import StationWindow
from shellcoat.desk.theme import DARK, LIGHT, Theme
from shellcoat.operations.station import LineKind
from shellcoat.shop import Shell

SCREENS = [(1366, 768, 96), (1366, 768, 120), (1920, 1080, 96), (1920, 1080, 141), (1280, 800, 149)]
"""Pixels and dots an inch; the last is a tablet of 10 inches, the smallest that holds it all."""

SMALL = (800, 480, 133)
"""A panel of 7 inches, which cannot."""

STANDING = (LineKind.COAT, LineKind.SLURRY, LineKind.STUCCO, LineKind.STATE)

THEMES = pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])


def _named(screen: tuple[int, int, int]) -> str:
    return "x".join(map(str, screen))


@pytest.fixture(params=[*SCREENS, SMALL], ids=_named)
def sized(request: pytest.FixtureRequest, qtbot: QtBot, awake: StationWindow) -> StationWindow:
    """The station on screens of several sizes and densities."""
    width, height, dpi = request.param
    awake.resize(width, height)
    awake.set_ruler(Ruler(dpi / 25.4))
    qtbot.waitUntil(lambda: awake.board.width() == width)
    return awake


def shown(station: StationWindow) -> list[tuple[StationButton, QRect]]:
    """Every button that can be pressed now, where it lies in the window."""
    return [
        (button, QRect(button.mapTo(station, QPoint()), button.size()))
        for button in station.findChildren(StationButton)
        if button.isVisible()
    ]


def gap(one: QRect, other: QRect) -> int:
    """The pixels that lie between two rectangles: the larger of across and down."""
    across = max(other.left() - one.right(), one.left() - other.right()) - 1
    down = max(other.top() - one.bottom(), one.top() - other.bottom()) - 1
    return max(across, down)


def check_targets(station: StationWindow) -> None:
    """No target under 20 mm, the next step's 22 mm and more, 5 mm between any two, all inside."""
    per_mm = station.ruler.px_per_mm
    found = shown(station)
    assert found
    for button, rect in found:
        least = 22 if button is station.buttons["next"] else 20
        assert min(rect.width(), rect.height()) / per_mm >= least, button.objectName()
        assert station.rect().contains(rect), button.objectName()
    for (one, first), (other, second) in combinations(found, 2):
        assert gap(first, second) / per_mm >= 5.0, (one.objectName(), other.objectName())


def every_view(station: StationWindow, heron: Shell) -> list[str]:
    """Go through the board's three moments and a batch, checking the targets of each."""
    seen = []
    for act in (
        lambda: None,
        station.next_step,
        station.next_step,
        lambda: station.work.start_batch([heron.id]),
    ):
        act()
        station.show_all()
        check_targets(station)
        seen.append(station.buttons["next"].text())
    return seen


def test_every_button_of_the_board(sized: StationWindow, heron: Shell) -> None:
    seen = every_view(sized, heron)
    assert seen[:2] == ["THIS SHELL", "DIPPED"]
    assert seen[2].startswith("NEXT: BL-0")


def test_every_button_of_the_sheets(sized: StationWindow) -> None:
    for sheet in sized.sheets:
        sized.open_sheet(sheet)
        check_targets(sized)
    sized.open_sheet(sized.find_sheet)
    if sized.find_sheet.turn.isVisible():
        sized.find_sheet.turn.click()
    check_targets(sized)


def check_capitals(station: StationWindow, line: CapitalLine) -> None:
    """At least 14 mm by the font's own metrics, and nothing cut off."""
    setting, lettering = line.setting, line.lettering
    assert setting is not None
    assert lettering is not None
    metrics = QFontMetricsF(lettering.font(setting.size))
    assert metrics.capHeight() / station.ruler.px_per_mm >= 14.0
    assert " ".join(setting.rows) == line.text()
    room = line.width() - (1.4 * metrics.capHeight() if line.mark else 0)
    assert max(metrics.horizontalAdvance(row) for row in setting.rows) * setting.squeeze <= room + 1
    assert setting.squeeze >= 0.75


@pytest.mark.parametrize("sized", SCREENS, ids=_named, indirect=True)
@pytest.mark.parametrize("early", [False, True])
def test_capitals_can_be_read_from_three_metres(
    sized: StationWindow, heron: Shell, early: bool, clock
) -> None:
    if early:
        clock.forward(hours=-8)
        sized.session.forecast_now()
    sized.work.choose(heron.id)
    lines = sized.board.lines
    for kind in STANDING:
        assert lines[kind].isVisible(), kind
        check_capitals(sized, lines[kind])
    assert lines[LineKind.STATE].text().startswith("EARLY") is early
    if early and sized.height() / sized.ruler.px_per_mm > 150:  # else the line alone says it
        assert "Early: likely dry" in sized.board.notes.text()


def test_a_laptop_reaches_the_height_to_aim_at(awake: StationWindow) -> None:
    heights = {
        kind: line.cap_px / awake.ruler.px_per_mm
        for kind, line in awake.board.lines.items()
        if line.isVisible()
    }
    assert min(heights.values()) >= 17.5, heights


def test_a_small_panel_shows_fewer_things_not_smaller_ones(
    qtbot: QtBot, awake: StationWindow, heron: Shell
) -> None:
    awake.resize(SMALL[0], SMALL[1])
    awake.set_ruler(Ruler(SMALL[2] / 25.4))
    qtbot.waitUntil(lambda: awake.board.width() == SMALL[0])
    awake.work.choose(heron.id)
    visible = [line for line in awake.board.lines.values() if line.isVisible()]
    assert 0 < len(visible) < len(STANDING)
    assert all(line.cap_px / awake.ruler.px_per_mm >= 14.0 for line in visible)
    awake.work.back()
    assert len(shown(awake)) < 6  # a laptop has six


def ink_height(image: QImage, ground: QColor) -> int:
    """How many rows of a picture, from the first to the last, bear something else than ground."""
    rows = [
        y
        for y in range(image.height())
        if any(image.pixelColor(x, y) != ground for x in range(image.width()))
    ]
    return rows[-1] - rows[0] + 1


def test_the_painted_capitals_are_as_high_as_they_are_said_to_be(awake: StationWindow) -> None:
    line = awake.board.lines[LineKind.STUCCO]
    assert line.setting is not None
    assert len(line.setting.rows) == 1
    image = line.grab().toImage()
    high = ink_height(image, QColor(image.pixelColor(image.width() - 1, 0)))
    assert high / awake.ruler.px_per_mm >= 14.0
    assert high == pytest.approx(line.cap_px, rel=0.08)  # round letters reach over the line


def test_lines_notes_and_buttons_do_not_lie_on_each_other(sized: StationWindow) -> None:
    board = sized.board
    parts = [board.name, *(one for one in board.lines.values() if one.isVisible())]
    parts += [board.notes] if board.notes.isVisible() else []
    stacked = sorted((part.geometry() for part in parts), key=QRect.top)
    stacked.append(sized.buttons["next"].geometry())
    for upper, lower in pairwise(stacked):
        assert upper.bottom() < lower.top()


@pytest.mark.parametrize("count", range(1, 9))
@pytest.mark.parametrize("width_mm", [60, 100, 153, 218, 289, 361, 600])
def test_a_row_drops_buttons_before_it_shrinks_them(count: int, width_mm: int) -> None:
    ruler = Ruler(3.78)
    area = QRect(7, 9, ruler.px(width_mm), ruler.px(25))
    rects = button_row(area, count, ruler, primary=True)
    assert 1 <= len(rects) <= count
    assert rects[-1].right() <= area.right()
    for rect in rects:
        assert rect.width() / 3.78 >= 20
    for one, other in combinations(rects, 2):
        assert gap(one, other) / 3.78 >= 5
    if len(rects) < count:  # one more would not have gone in
        assert width_mm < 22 + len(rects) * 20 + len(rects) * 5 + 5 + len(rects)


def test_the_outline_is_a_bank_card(awake: StationWindow) -> None:
    # ISO/IEC 7810 ID-1: 85.60 mm by 53.98 mm.
    awake.measure()
    card = awake.card_sheet._card
    per_mm = awake.card_sheet.trial.px_per_mm
    assert card.width() / per_mm == pytest.approx(85.60)
    assert card.height() / per_mm == pytest.approx(53.98)
    assert CARD_MM == (85.60, 53.98)


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


@THEMES
def test_every_text_has_a_contrast_of_seven(
    qtbot: QtBot, awake: StationWindow, session: DeskSession, colours: Theme
) -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    awake.set_theme(colours)
    assert contrast(colours.text, colours.window) >= 7.0  # lines, notes, titles
    button = awake.buttons["next"]
    for resting in (False, True):
        button.resting = resting
        assert contrast(*button.colours()) >= 7.0
    awake.open_sheet(awake.settings_sheet)
    grounds = set()
    for one in awake.settings_sheet.buttons:
        if one.isVisible():
            grounds.add(one.colours())
    assert len(grounds) == 2  # ticked and not
    assert all(contrast(*pair) >= 7.0 for pair in grounds)
    awake.notice.say("x", flash=True)
    for left in (1, 2):
        awake.notice._left = left
        assert contrast(*awake.notice.colours()) >= 7.0
    assert contrast(colours.focus, colours.window) >= 3.0


@THEMES
def test_what_is_painted_wears_the_theme(awake: StationWindow, colours: Theme) -> None:
    awake.set_theme(colours)
    awake.show_all()
    image = awake.grab().toImage()
    assert image.pixelColor(2, 2).name().upper() == colours.window
    line = awake.board.lines[LineKind.COAT]
    painted = line.grab().toImage()
    seen = {
        painted.pixelColor(x, y).name().upper()
        for x in range(0, painted.width(), 2)
        for y in range(0, painted.height(), 2)
    }
    assert colours.text in seen
