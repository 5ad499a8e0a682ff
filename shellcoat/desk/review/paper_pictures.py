"""The drawings of the printed review, in light colours on white, at a printer's fineness."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from zoneinfo import ZoneInfo

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from PySide6.QtCore import QRectF, QSizeF, Qt
from PySide6.QtGui import QFont, QImage, QPainter

from shellcoat.desk.marks import paint_mark
from shellcoat.desk.plots.drying import draw_drying_curve
from shellcoat.desk.plots.history import draw_coat_history
from shellcoat.desk.review.words import MARKS
from shellcoat.desk.section.paint import paint_section
from shellcoat.desk.section.picture import section_picture
from shellcoat.desk.theme import LIGHT, Theme
from shellcoat.forecast.answers import DryingCurve
from shellcoat.operations.review_frozen import Evidence
from shellcoat.review.finding import Verdict
from shellcoat.units import Quantity, UnitPreferences, write_quantity

DOTS_PER_INCH = 220
PAPER: Theme = replace(LIGHT, window="#FFFFFF", panel="#FFFFFF", raised="#FFFFFF")
SECTION_FONT_PT = 8.0
MARK_PT = 11.0


def verdict_image(verdict: Verdict) -> QImage:
    """The mark of a verdict."""
    side = round(MARK_PT * 300 / 72)
    image = _blank(QSizeF(side, side), 1.0)
    painter = QPainter(image)
    paint_mark(painter, QRectF(0, 0, side, side), MARKS[verdict], PAPER)
    painter.end()
    return image


def section_image(evidence: Evidence, size_pt: QSizeF) -> QImage:
    """The section through the wall."""
    scale = DOTS_PER_INCH / 72.0
    image = _blank(size_pt, scale)
    painter = QPainter(image)
    painter.scale(scale, scale)
    font = QFont()
    font.setPixelSize(round(SECTION_FONT_PT))
    painter.setFont(font)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    unit = evidence.report.length_unit
    paint_section(
        painter,
        QRectF(0, 0, size_pt.width(), size_pt.height()),
        section_picture(evidence.shell, evidence.forecast, evidence.coats),
        PAPER,
        detail=True,
        write_length=_write_length(evidence),
        length_unit=unit,
    )
    painter.end()
    return image


def _write_length(evidence: Evidence) -> Callable[[float], str]:
    units = UnitPreferences(chosen={Quantity.THICKNESS: evidence.report.length_unit})
    mark = evidence.report.decimal_mark
    return lambda metres: write_quantity(metres, Quantity.THICKNESS, units, decimal_mark=mark)


def _blank(size_pt: QSizeF, scale: float) -> QImage:
    image = QImage((size_pt * scale).toSize(), QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    return image


def growth_image(evidence: Evidence, size_pt: QSizeF) -> QImage:
    """The wall coat by coat."""

    def draw(axes: Axes) -> None:
        draw_coat_history(
            axes,
            evidence.shell,
            evidence.forecast,
            zone=ZoneInfo(evidence.report.zone),
            theme=PAPER,
            length_unit=evidence.report.length_unit,
            coats=evidence.coats,
        )

    return _plot(draw, size_pt)


def drying_image(evidence: Evidence, size_pt: QSizeF) -> QImage:
    """How the last coat dried."""
    bare = DryingCurve(at=(), low=(), likely=(), high=(), now_index=0, dry_share=0.1)
    curve, forecast = evidence.curve or bare, evidence.forecast

    def draw(axes: Axes) -> None:
        draw_drying_curve(
            axes,
            curve,
            likely_at=forecast.likely_at,
            safe_at=forecast.safe_at,
            now=evidence.report.made_at,
            zone=ZoneInfo(evidence.report.zone),
            theme=PAPER,
        )

    return _plot(draw, size_pt)


def _plot(draw: Callable[[Axes], None], size_pt: QSizeF) -> QImage:
    """A plot drawn somewhat larger and set smaller, so that its words stay clear of each other."""
    shrink = 1.35
    inches = (shrink * size_pt.width() / 72.0, shrink * size_pt.height() / 72.0)
    figure = Figure(figsize=inches, layout="constrained", facecolor=PAPER.panel)
    draw(figure.subplots())
    out = BytesIO()
    figure.savefig(out, dpi=DOTS_PER_INCH / shrink, format="png")
    return QImage.fromData(out.getvalue())
