"""State marks: told apart by their shape alone, crisp, and never without a word."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from shellcoat.desk.marks import MarkState, mark_fill, mark_icon, mark_word, paint_mark
from shellcoat.desk.theme import DARK, LIGHT, Theme

SIDE = 16


def grey_mark(state: MarkState, theme: Theme) -> np.ndarray:
    """Paint a mark as a grey printer would at 16 pixels, every fill the same grey."""
    one_fill = {name: "#BBBBBB" for name in theme.colours if name.startswith("fill_")}
    grey = Theme(dark=theme.dark, **{**theme.colours, **one_fill})
    image = QImage(SIDE, SIDE, QImage.Format.Format_ARGB32)
    image.fill(QColor(theme.panel))
    painter = QPainter(image)
    paint_mark(painter, QRectF(0, 0, SIDE, SIDE), state, grey)
    painter.end()
    grey_image = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(grey_image.constBits(), np.uint8).reshape(SIDE, -1)
    return rows[:, :SIDE].astype(float)


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_shapes_alone_tell_the_states_apart(qapp: QApplication, theme: Theme):
    painted = {state: grey_mark(state, theme) for state in MarkState}
    for one, other in combinations(MarkState, 2):
        differing = np.abs(painted[one] - painted[other]) > 60
        # At least an eighth of the pixels differ clearly.
        assert differing.sum() >= SIDE * SIDE / 8, (one, other)


def test_every_state_has_a_word_of_its_own():
    words = [mark_word(state) for state in MarkState]
    assert len(set(words)) == len(MarkState)
    assert all(word.strip() for word in words)


@pytest.mark.parametrize("state", MarkState)
def test_mark_stays_inside_its_square(qapp: QApplication, state: MarkState):
    image = QImage(40, 40, QImage.Format.Format_ARGB32)
    image.fill(0)
    painter = QPainter(image)
    paint_mark(painter, QRectF(8, 8, 24, 24), state, LIGHT)
    painter.end()
    alpha = np.frombuffer(image.constBits(), np.uint8).reshape(40, 40, 4)[:, :, 3].copy()
    assert alpha[8:32, 8:32].any()
    alpha[7:33, 7:33] = 0
    assert not alpha.any()


@pytest.mark.parametrize("ratio", [1.0, 2.0, 3.0])
def test_icon_has_a_pixel_for_every_device_pixel(qapp: QApplication, ratio: float):
    pixmap = mark_icon(MarkState.WET, LIGHT, 24).pixmap(QSize(24, 24), ratio)
    assert pixmap.devicePixelRatio() == ratio
    assert pixmap.width() == 24 * ratio


def test_fill_is_the_themes():
    assert mark_fill(MarkState.WET, LIGHT) == LIGHT.fill_wet
    assert mark_fill(MarkState.WARNING, DARK) == DARK.fill_trouble
