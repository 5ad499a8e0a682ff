"""The colours: contrast after WCAG 2.2, and states that stay apart for every kind of eye."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication, QPushButton, QTableView

from shellcoat.desk.style_sheet import TABLE_ROW_PX
from shellcoat.desk.theme import DARK, LIGHT, Theme, apply_theme, palette_of, theme_for

THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])

GROUNDS = ("window", "panel", "raised", "stripe", "selection")
INKS = ("line", "focus", "accent", "warm", "cool", "leaf")
SECTION_BODIES = ("prime", "backup", "seal")
FILLS = (
    "fill_bare", "fill_wet", "fill_likely", "fill_due", "fill_holding", "fill_review",
    "fill_paused", "fill_trouble",
)  # fmt: skip

# G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, A Physiologically-based Model for
# Simulation of Color Vision Deficiency, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, severity
# 1.0, on linear RGB.
EYES = {
    "usual": np.eye(3),
    "protanopia": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranopia": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritanopia": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}


def linear(colour: str) -> np.ndarray:
    """Linear RGB of a #rrggbb colour, by the sRGB curve (IEC 61966-2-1)."""
    parts = np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    return float(linear(colour) @ np.array([0.2126, 0.7152, 0.0722]))


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def lab(rgb: np.ndarray) -> np.ndarray:
    """CIE 1976 L*a*b* of linear sRGB under D65."""
    xyz = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    ) @ np.clip(rgb, 0.0, 1.0)
    ratio = xyz / np.array([0.9505, 1.0, 1.089])
    root = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
    return np.array([116 * root[1] - 16, 500 * (root[0] - root[1]), 200 * (root[1] - root[2])])


def test_contrast_agrees_with_known_values():
    # Black on white is 21 by the definition; #767676 on white is the well-known 4.54.
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)


@THEMES
@pytest.mark.parametrize("ground", GROUNDS)
def test_text_can_be_read(theme: Theme, ground: str):
    # SC 1.4.3 asks 4.5; plain text reaches the 7 of SC 1.4.6 for a badly lit shop.
    under = getattr(theme, ground)
    assert contrast(theme.text, under) >= 7.0
    assert contrast(theme.muted, under) >= 4.5


@THEMES
def test_accent_carries_and_makes_text(theme: Theme):
    assert contrast(theme.accent_text, theme.accent) >= 4.5
    for ground in ("window", "panel", "raised", "stripe"):
        assert contrast(theme.accent, getattr(theme, ground)) >= 4.5


@THEMES
def test_disabled_text_is_still_there_to_be_seen(theme: Theme):
    # SC 1.4.3 exempts what is disabled; it keeps the 3:1 of graphics all the same.
    for ground in ("window", "panel", "raised"):
        assert contrast(theme.disabled, getattr(theme, ground)) >= 3.0


@THEMES
@pytest.mark.parametrize("ground", ["window", "panel", "raised", "stripe"])
def test_lines_and_focus_can_be_seen(theme: Theme, ground: str):
    for ink in INKS:
        assert contrast(getattr(theme, ink), getattr(theme, ground)) >= 3.0, ink


@THEMES
def test_focus_is_told_from_the_plain_border(theme: Theme):
    # SC 2.4.13 asks 3:1 between the focused and the unfocused state; ours differs in hue as
    # well as in lightness, and the border is two pixels wide.
    assert np.linalg.norm(lab(linear(theme.focus)) - lab(linear(theme.line))) > 35.0


@THEMES
@pytest.mark.parametrize("fill", FILLS)
def test_state_fills_carry_black_text_and_stand_out(theme: Theme, fill: str):
    colour = getattr(theme, fill)
    assert contrast(theme.ink, colour) >= 4.5
    for ground in GROUNDS:
        under = getattr(theme, ground)
        assert max(contrast(colour, under), contrast(theme.ink, under)) >= 3.0, ground


@pytest.mark.parametrize("eye", EYES)
def test_state_fills_stay_apart_for_every_eye(eye: str):
    seen = {fill: lab(EYES[eye] @ linear(getattr(LIGHT, fill))) for fill in FILLS}
    # A difference of 2.3 is just noticeable (Mahy et al. 1994); across a room ask for four times
    # that.
    for one, other in combinations(FILLS, 2):
        assert np.linalg.norm(seen[one] - seen[other]) > 9.2, (one, other)


@THEMES
def test_hatching_reads_on_every_coat_without_its_hue(theme: Theme):
    for body in (*SECTION_BODIES, "wet"):
        assert contrast(theme.hatch, getattr(theme, body)) >= 3.0, body
    assert contrast(theme.wax_ink, theme.wax) >= 3.0


@THEMES
def test_seams_between_coats_can_be_seen(theme: Theme):
    for body in SECTION_BODIES:
        assert contrast(theme.muted, getattr(theme, body)) >= 3.0, body


@THEMES
def test_palette_gives_qt_the_theme(theme: Theme):
    palette = palette_of(theme)
    assert palette.color(QPalette.ColorRole.WindowText).name() == theme.text.lower()
    assert palette.color(QPalette.ColorRole.Base).name() == theme.panel.lower()
    disabled = palette.color(QPalette.ColorGroup.Disabled, QPalette.ColorRole.ButtonText)
    assert disabled.name() == theme.disabled.lower()


def test_scheme_is_the_persons_choice(qapp: QApplication):
    assert apply_theme(qapp, "dark") is DARK
    assert qapp.palette().color(QPalette.ColorRole.Window).name() == DARK.window.lower()
    assert apply_theme(qapp, "light") is LIGHT


def test_system_scheme_follows_the_hint(qapp: QApplication):
    dark = qapp.styleHints().colorScheme() is Qt.ColorScheme.Dark
    assert theme_for(qapp, "system") is (DARK if dark else LIGHT)


def test_targets_are_large_enough(qtbot, qapp: QApplication):
    apply_theme(qapp, "light")
    button = QPushButton("Log this dip")
    qtbot.addWidget(button)
    assert button.sizeHint().height() >= 40
    table = QTableView()
    qtbot.addWidget(table)
    table.verticalHeader().setDefaultSectionSize(TABLE_ROW_PX)
    # WCAG 2.2 SC 2.5.5 asks 44 px.
    assert table.verticalHeader().defaultSectionSize() >= 44


def test_focus_ring_changes_what_is_painted(qtbot, qapp: QApplication):
    apply_theme(qapp, "light")
    button = QPushButton("Undo")
    button.resize(120, 40)
    qtbot.addWidget(button)
    button.show()
    plain = button.grab().toImage()
    button.activateWindow()
    button.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(button.hasFocus)
    ringed = button.grab().toImage()
    assert ringed.pixelColor(60, 0).name() == LIGHT.focus.lower()
    assert plain.pixelColor(60, 0) != ringed.pixelColor(60, 0)
