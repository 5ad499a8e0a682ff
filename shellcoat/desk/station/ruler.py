"""Millimetres on the screen: what the screen says of itself, put right once with a bank card."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from PySide6.QtCore import QSettings
from PySide6.QtGui import QScreen

MM_PER_INCH = 25.4
USUAL_DPI = 96.0
BELIEVED_DPI = (50.0, 400.0)
"""Screens between a projector and a phone; what lies outside is a screen that does not know."""

PRIMARY_MM = 25.0
BUTTON_MM = 22.0
LEAST_MM = 20.0
"""Targets of the station. Standing at a touch kiosk keys of 20 mm do as well as 25 mm, smaller ones
do worse: H. A. Colle and K. J. Hiszem, Ergonomics 47 (2004) 1406, by its abstract."""

GAP_MM = 5.5
MARGIN_MM = 5.5

CAP_LEAST_MM = 14.0
CAP_AIM_MM = 17.5
CAP_MOST_MM = 30.0
"""Capitals seen from 3 m: 16 minutes of arc at least, 20 preferred (NUREG-0700 rev. 2,
1.3.1-4). The height is 3 m times the angle: 14.0 and 17.5 mm. Above 30 mm words only wrap."""

CARD_MM = (85.60, 53.98)
"""Width and height of a bank card: ID-1 of ISO/IEC 7810."""

NOTE_CAP_MM = 5.0
"""Notes are read from the tank's edge: 16 minutes of arc at 1 m is 4.7 mm."""


@dataclass(frozen=True, slots=True)
class Ruler:
    """Turns millimetres into the window's own pixels, never short of them."""

    px_per_mm: float

    def px(self, millimetres: float) -> int:
        """The least whole number of pixels that is so long."""
        return ceil(millimetres * self.px_per_mm - 1e-6)

    def scaled(self, factor: float) -> Ruler:
        """A longer or shorter one, within what screens there are."""
        low, high = (dpi / MM_PER_INCH for dpi in BELIEVED_DPI)
        return Ruler(min(max(self.px_per_mm * factor, low), high))


def said_by(screen: QScreen) -> Ruler:
    """What the screen says of itself; the usual density where that cannot be."""
    dpi = screen.physicalDotsPerInch()
    low, high = BELIEVED_DPI
    return Ruler((dpi if low <= dpi <= high else USUAL_DPI) / MM_PER_INCH)


def ruler_for(screen: QScreen) -> Ruler:
    """The kept measure of this screen, or what it says of itself."""
    kept = _number(QSettings().value(_key(screen)))
    low, high = (dpi / MM_PER_INCH for dpi in BELIEVED_DPI)
    return Ruler(kept) if low <= kept <= high else said_by(screen)


def is_measured(screen: QScreen) -> bool:
    """Whether somebody has held a card against this screen, or chosen not to."""
    return QSettings().contains(_key(screen))


def keep_measure(screen: QScreen, ruler: Ruler) -> None:
    """Keep the measure of this screen."""
    QSettings().setValue(_key(screen), ruler.px_per_mm)


def _key(screen: QScreen) -> str:
    size = screen.size()
    name = screen.name().replace("/", "_") or "screen"
    return f"station/px_per_mm/{name} {size.width()}x{size.height()}"


def _number(value: object) -> float:
    try:
        return float(str(value))
    except ValueError:
        return 0.0
