"""The section drawing as painted: to scale, dense where wet, readable in grey, never failing."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter
from PySide6.QtWidgets import QApplication
from walls import a_picture, write_mm

from shellcoat.desk.section import SectionBand, SectionPicture, SectionView, paint_section
from shellcoat.desk.section.balloons import numbered
from shellcoat.desk.section.dimension import dimensions_of, scale_length
from shellcoat.desk.section.layout import lay_out
from shellcoat.desk.section.texture import hatch_path, hatch_pitch
from shellcoat.desk.theme import DARK, LIGHT
from shellcoat.shop import Band, CoatKind

LARGE = (760, 400)
SMALL = (120, 40)


def painted(
    picture: SectionPicture, size: tuple[int, int] = LARGE, ratio: float = 1.0, theme=LIGHT
) -> np.ndarray:
    """Paint a picture and return it in grey, a row per device pixel."""
    width, height = (max(round(side * ratio), 1) for side in size)
    image = QImage(width, height, QImage.Format.Format_ARGB32)
    image.setDevicePixelRatio(ratio)
    image.fill(QColor(theme.panel))
    painter = QPainter(image)
    try:
        paint_section(
            painter,
            QRectF(0, 0, *size),
            picture,
            theme,
            detail=size == LARGE,
            write_length=write_mm,
        )
    finally:
        painter.end()
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(grey.constBits(), np.uint8).reshape(height, -1)
    return rows[:, :width].astype(float)


def plain_wall(count: int, thickness_m: float, name: str = "Bell") -> SectionPicture:
    """So many like coats, the outer three wet, with an overlong name."""
    bands = tuple(
        SectionBand(thickness_m, CoatKind.BACKUP, 0.5 * (left < 3), number, name, False,
                    thickness_m * (left < 3), 0.7e-3)
        for number, left in zip(range(1, count + 1), range(count - 1, -1, -1), strict=True)
    )  # fmt: skip
    total = count * thickness_m
    spread = Band(0.9 * total, total, 1.1 * total)
    return SectionPicture(bands, 8e-3, spread, spread, name)


@pytest.mark.parametrize("detail", [True, False])
def test_bands_are_to_scale(detail: bool):
    picture = a_picture(5)
    layout = lay_out(QRectF(0, 0, *LARGE), picture, 15.0, detail=detail)
    spans = layout.spans(picture)
    for band, left, right in spans:
        assert right - left == pytest.approx(band.thickness_m * layout.px_per_m)
    assert spans[0][1] == pytest.approx(layout.face_x)
    assert layout.x_at(picture.target_m) <= layout.wall.right()


@pytest.mark.parametrize("size", [LARGE, (420, 300), (1400, 800), (330, 200)])
def test_parts_of_the_drawing_do_not_overlap(size: tuple[int, int]):
    rect = QRectF(0, 0, *size)
    layout = lay_out(rect, a_picture(5), 15.0, detail=True)
    assert layout.detail
    strips = [layout.title, layout.balloons, layout.wall, layout.foot, layout.parts]
    shown = [strip for strip in (*strips, *layout.dimensions) if not strip.isEmpty()]
    for one, other in combinations(shown, 2):
        overlap = one.intersected(other)
        assert overlap.width() * overlap.height() < 1e-6
    assert all(rect.contains(strip) for strip in shown)


def test_drawing_without_room_for_text_has_none():
    assert not lay_out(QRectF(0, 0, 200, 100), a_picture(5), 15.0, detail=True).detail


def test_hatching_has_as_many_lines_as_there_is_water():
    area = QRectF(0, 0, 400, 200)
    lines = {
        wetness: hatch_path(area, wetness, detail=True).elementCount() / 2
        for wetness in (0.0, 0.25, 0.5, 1.0)
    }
    assert lines[0.0] == 0
    assert lines[0.5] / lines[1.0] == pytest.approx(0.5, abs=0.03)
    assert lines[0.25] / lines[1.0] == pytest.approx(0.25, abs=0.03)


@given(st.floats(1e-6, 1.0))
def test_wet_wall_always_shows_a_line(wetness: float):
    path = hatch_path(QRectF(0, 0, 30, 30), wetness, detail=False)
    assert path.elementCount() >= 2
    assert hatch_pitch(wetness, detail=False) <= 3.6 / 0.02


@pytest.mark.parametrize("size", [LARGE, SMALL], ids=["large", "small"])
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_drying_can_be_followed_in_grey(qapp: QApplication, theme, size):
    def hatched(water_left: float) -> float:
        wet = painted(a_picture(5, wetted_mm=3.0, water_left=water_left), size, 2.0, theme)
        dry = painted(a_picture(5, water_left=0.0), size, 2.0, theme)
        layout = lay_out(QRectF(0, 0, *size), a_picture(5), 15.0, detail=size == LARGE)
        left, right = layout.x_at(2.5e-3), layout.x_at(4.0e-3)
        top, bottom = layout.wall.top() + 4, layout.wall.bottom() - 4
        window = np.s_[round(2 * top) : round(2 * bottom), round(2 * left) : round(2 * right)]
        return float((np.abs(wet[window] - dry[window]) > 60).mean())

    shares = [hatched(water_left) for water_left in (0.1, 0.35, 0.65, 1.0)]
    assert all(np.diff(shares) > 0.02), shares


@pytest.mark.parametrize("size", [LARGE, SMALL], ids=["large", "small"])
@pytest.mark.parametrize(
    "picture",
    [
        SectionPicture((), 0.0, Band(0, 0, 0), Band(0, 0, 0)),
        SectionPicture((), 8e-3, Band(0, 0, 0), Band(0, 0, 0), "N" * 200),
        plain_wall(1, 1e-5),
        plain_wall(40, 1e-5),
        plain_wall(40, 8e-4, "W" * 200),
        plain_wall(40, 0.02, "\u202eشمع‏ " * 20),
        plain_wall(1, 0.02),
    ],
    ids=["nothing", "bare", "thin", "40 thin", "40", "40 thick", "one thick"],
)
def test_odd_walls_are_drawn_all_the_same(qapp: QApplication, size, picture):
    image = painted(picture, size)
    # The wax at the left is always there.
    assert image[size[1] // 2, 5 if size == SMALL else 15] != image[0, size[0] - 1]


class TextRecorder(QPainter):
    """A painter that keeps where each text went."""

    def __init__(self, image: QImage) -> None:
        super().__init__(image)
        self.texts: list[tuple[str, QRectF]] = []

    def drawText(self, place, flags, words):  # noqa: N802 - Qt's name
        used = self.fontMetrics().boundingRect(place.toRect(), int(flags), words)
        self.texts.append((words, self.transform().mapRect(QRectF(used))))
        super().drawText(place, flags, words)


@pytest.mark.parametrize("size", [(330, 210), (420, 300), (620, 340), (760, 400), (1600, 900)])
@pytest.mark.parametrize(
    "picture",
    [
        a_picture(0),
        a_picture(1, water_left=0.9),
        a_picture(5, wetted_mm=3.0),
        a_picture(9),
        a_picture(12, 12, wetted_mm=5.0),
        a_picture(20, 40),
        plain_wall(40, 8e-4, "W" * 200),
        plain_wall(1, 1e-5),
        plain_wall(40, 0.02),
    ],
    ids=["bare", "1", "5", "9", "12", "20 of 40", "long name", "thin", "thick"],
)
def test_no_text_is_cut_or_covers_another(qapp: QApplication, size, picture):
    image = QImage(*size, QImage.Format.Format_ARGB32)
    painter = TextRecorder(image)
    rect = QRectF(0, 0, *size)
    paint_section(painter, rect, picture, LIGHT, detail=True, write_length=write_mm)
    painter.end()
    assert len(painter.texts) >= 4
    for words, place in painter.texts:
        assert rect.contains(place), words
    for (one, here), (other, there) in combinations(painter.texts, 2):
        # Boxes of text are as high as the tallest letter: allow them to touch.
        overlap = here.intersected(there)
        assert overlap.width() < 2 or overlap.height() < 3, (one, other)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 900), st.integers(0, 500))
def test_any_size_is_drawn(qapp: QApplication, width: int, height: int):
    picture = a_picture(4)
    image = QImage(max(width, 1), max(height, 1), QImage.Format.Format_ARGB32)
    painter = QPainter(image)
    rect = QRectF(0, 0, width, height)
    paint_section(painter, rect, picture, LIGHT, detail=True, write_length=write_mm)
    assert painter.end()


@pytest.mark.parametrize("ratio", [1.0, 1.5, 2.0, 3.0])
def test_target_line_is_crisp(qapp: QApplication, ratio: float):
    picture = a_picture(0)
    grey = painted(picture, SMALL, ratio)
    layout = lay_out(QRectF(0, 0, *SMALL), picture, 15.0, detail=False)
    middle = round(layout.x_at(picture.target_m) * ratio)
    row = grey[round(3 * ratio), middle - 4 : middle + 4]
    # Dark where the line is and bare ground within two device pixels of its 1.6 logical ones.
    dark = np.flatnonzero(row < grey.max() - 100)
    assert 1 <= dark.size <= math.ceil(1.6 * ratio) + 1


def test_same_wall_always_looks_the_same(qapp: QApplication):
    assert (painted(a_picture(5)) == painted(a_picture(5))).all()


def test_first_present_and_last_coat_always_have_their_number():
    wall = a_picture(21, 40)
    for most in (3, 5, 8, 13, 40):
        chosen = [band.number for band in numbered(wall, most)]
        assert len(chosen) <= most
        assert {1, 21, 40} <= set(chosen)
        assert chosen == sorted(chosen)


def test_dimensions_run_from_the_wax_shortest_first():
    lengths = [each.length.likely for each in dimensions_of(a_picture(5), write_mm)]
    assert lengths == sorted(lengths)
    words = [each.words.split()[0] for each in dimensions_of(a_picture(9), write_mm)]
    assert words == ["now", "target"]


def test_no_dimension_is_cut_short(qapp: QApplication):
    metrics = QFontMetricsF(qapp.font())
    for coats_on in (0, 1, 5, 9):
        picture = a_picture(coats_on)
        layout = lay_out(QRectF(0, 0, 420, 300), picture, metrics.height(), detail=True)
        for each in dimensions_of(picture, write_mm):
            assert metrics.horizontalAdvance(each.words) < layout.wall.width()


@given(st.floats(1e2, 1e7), st.sampled_from([1e-3, 0.0254]))
def test_scale_bar_is_a_round_length(px_per_m: float, unit_m: float):
    length = scale_length(px_per_m, unit_m, 45.0)
    # Long enough to read, and at most 2.5 times as long as asked for: 1, 2, 5, 10.
    assert 45.0 * (1 - 1e-9) <= length * px_per_m <= 45.0 * 2.5 * (1 + 1e-9)
    shown = length / unit_m
    mantissa = shown / 10.0 ** math.floor(math.log10(shown) + 1e-9)
    assert round(mantissa, 6) in {1.0, 2.0, 5.0}


def test_view_tells_in_words_what_it_shows(qtbot):
    view = SectionView(LIGHT, write_mm, detail=True)
    qtbot.addWidget(view)
    view.show_picture(a_picture(5))
    assert view.accessibleName()
    assert view.accessibleDescription().startswith("Wall of 5 coats")
    view.set_units(lambda length: f"{length / 0.0254:.3f} in", "in")
    assert "0.159 in" in view.accessibleDescription()
    view.show_picture(None)
    assert view.accessibleDescription() == ""


@pytest.mark.parametrize("detail", [True, False])
def test_each_coat_has_its_tooltip(qtbot, detail: bool):
    view = SectionView(LIGHT, write_mm, detail=detail)
    qtbot.addWidget(view)
    view.resize(*(LARGE if detail else SMALL))
    picture = a_picture(5)
    view.show_picture(picture)
    em = float(view.fontMetrics().height())
    layout = lay_out(QRectF(view.rect()), picture, em, detail=detail)
    for band, left, right in layout.spans(picture):
        middle = QPointF((left + right) / 2, layout.wall.center().y())
        assert view.tooltip_at(middle).startswith(f"Coat {band.number}, ")
    assert view.tooltip_at(QPointF(layout.face_x - 2, layout.wall.center().y())) == ""
    assert view.tooltip_at(QPointF(-5, -5)) == ""


def test_view_paints_in_the_theme_it_is_given(qtbot):
    view = SectionView(LIGHT, write_mm, detail=False)
    qtbot.addWidget(view)
    view.resize(*SMALL)
    view.show_picture(a_picture(3))
    corner = view.grab().toImage().pixelColor(0, 0)
    view.set_theme(DARK)
    assert corner.name() == LIGHT.panel.lower()
    assert view.grab().toImage().pixelColor(0, 0).name() == DARK.panel.lower()
