"""What fills the bands: stucco grains, the hatching of wet wall, and the broken edge of a cut.

Everything is a vector path made from a fixed seed, so the same coat always looks the same, in
print as on a dense screen. Paths are kept, since a rack repaints the same few bands all day.
"""

from __future__ import annotations

import math
from functools import lru_cache
from random import Random

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath, QPolygonF

_DOT_BELOW_PX = 3.0
_LEAST_DOT_PX = 1.3
_MOST_DOTS = 600
_MOST_GRAINS = 160
_SEEDS = 4
_WIDEST_GRAIN = 0.86
"""Of the band: a coat is never thinner than the grain it holds."""

# Sizes of the grains in one sieve cut, coarse first, and the fines that fill between them.
_GRAIN_SIZES = ((0.80, 1.0), (0.62, 0.80), (0.30, 0.5))

_DENSE_HATCH_PX = 5.0
_DENSE_HATCH_SMALL_PX = 3.6


def grains_path(width: float, height: float, grain_px: float, seed: int) -> QPainterPath:
    """Return stucco laid without overlap into a band: grains, or dots where they are fine."""
    if grain_px <= 0.0 or width < 2.0 or height < 2.0:
        return QPainterPath()
    grain = min(grain_px, _WIDEST_GRAIN * width)
    size = (round(width * 2), round(height * 2), round(max(grain, _LEAST_DOT_PX) * 8))
    return _dots(*size, seed % _SEEDS) if grain < _DOT_BELOW_PX else _grains(*size, seed % _SEEDS)


@lru_cache(maxsize=1024)
def _dots(half_widths: int, half_heights: int, eighths: int, seed: int) -> QPainterPath:
    width, height, grain = half_widths / 2, half_heights / 2, eighths / 8
    pitch = max(1.5 * grain, grain + 1.4, math.sqrt(width * height / _MOST_DOTS))
    columns, rows = max(int(width / pitch), 1), max(int(height / pitch), 1)
    chance = Random(1000 * seed + eighths)  # noqa: S311 - a look, not a secret
    path = QPainterPath()
    for column in range(columns):
        for row in range(rows):
            # Every other column is set off by half a grain, as grains nest.
            y = (row + 0.5 + (0.25 if column % 2 else -0.25)) * height / rows
            place = QPointF((column + 0.5) * width / columns, y)
            radius = 0.5 * grain * chance.uniform(0.75, 1.0)
            path.addEllipse(place, radius, radius)
    return path


@lru_cache(maxsize=512)
def _grains(half_widths: int, half_heights: int, eighths: int, seed: int) -> QPainterPath:
    width, height, grain = half_widths / 2, half_heights / 2, eighths / 8
    chance = Random(1000 * seed + eighths)  # noqa: S311 - a look, not a secret
    laid: list[tuple[float, float, float]] = []
    for low, high in _GRAIN_SIZES:
        tries = 12 * int(width * height / grain**2) + 40
        for _ in range(min(tries, 8 * _MOST_GRAINS)):
            if len(laid) >= _MOST_GRAINS:
                break
            radius = 0.5 * grain * chance.uniform(low, high)
            x = chance.uniform(radius, max(width - radius, radius))
            y = chance.uniform(-radius, height + radius)
            if all((x - a) ** 2 + (y - b) ** 2 > (radius + r + 1.0) ** 2 for a, b, r in laid):
                laid.append((x, y, radius))
    path = QPainterPath()
    for x, y, radius in laid:
        _add_grain(path, QPointF(x, y), radius, chance)
    return path


def _add_grain(path: QPainterPath, middle: QPointF, radius: float, chance: Random) -> None:
    corners = chance.randint(5, 7)
    turn = chance.uniform(0.0, math.tau)
    polygon = QPolygonF()
    for corner in range(corners):
        angle = turn + (corner + chance.uniform(-0.22, 0.22)) * math.tau / corners
        reach = radius * chance.uniform(0.84, 1.0)
        polygon.append(middle + QPointF(reach * math.cos(angle), reach * math.sin(angle)))
    path.addPolygon(polygon)
    path.closeSubpath()


def hatch_pitch(wetness: float, *, detail: bool) -> float:
    """Return the spacing of the hatching [px]: as many lines to the inch as there is water left."""
    dense = _DENSE_HATCH_PX if detail else _DENSE_HATCH_SMALL_PX
    # Below this a narrow wall would show one lone line, which reads as a crack.
    return dense / max(wetness, 0.08)


def hatch_path(area: QRectF, wetness: float, *, detail: bool) -> QPainterPath:
    """Return 45° lines over `area`, one of them through its middle; nothing where it is dry."""
    path = QPainterPath()
    if wetness <= 0.0 or area.isEmpty():
        return path
    step = hatch_pitch(wetness, detail=detail) * math.sqrt(2.0)
    reach = 0.5 * (area.width() + area.height())
    lines = int(reach / step)
    rise = 0.5 * area.height()
    for line in range(-lines, lines + 1):
        x = area.center().x() + line * step
        path.moveTo(x - rise, area.bottom())
        path.lineTo(x + rise, area.top())
    return path


def cut_outline(wall: QRectF, *, wavy: bool) -> QPainterPath:
    """Return the outline of the piece cut out of the shell, its edges broken by hand."""
    path = QPainterPath()
    if not wavy:
        path.addRect(wall)
        return path
    top = _wave(wall.left() + 2.5, wall.right(), wall.top() + 2.5)
    bottom = _wave(wall.left() + 2.5, wall.right(), wall.bottom() - 2.5)
    side = [
        QPointF(point.y(), point.x())
        for point in _wave(wall.top() + 2.5, wall.bottom() - 2.5, wall.left() + 2.5)
    ]
    path.addPolygon(QPolygonF([*side[1:-1][::-1], *top, *reversed(bottom)]))
    path.closeSubpath()
    return path


def _wave(start: float, end: float, middle: float) -> list[QPointF]:
    steps = max(int((end - start) / 4.0), 1)
    along = [start + (end - start) * step / steps for step in range(steps + 1)]
    return [
        QPointF(place, middle + 1.6 * math.sin(place / 11.0) + 0.9 * math.sin(place / 4.7))
        for place in along
    ]
