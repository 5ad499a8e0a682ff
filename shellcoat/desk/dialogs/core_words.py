"""Words for cores and their openings."""

from __future__ import annotations

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

from shellcoat.shop import OpeningFacing, OpeningShape

_SHAPES = {
    OpeningShape.ROUND: QT_TRANSLATE_NOOP("Cores", "round"),
    OpeningShape.SLOT: QT_TRANSLATE_NOOP("Cores", "slot"),
    OpeningShape.IRREGULAR: QT_TRANSLATE_NOOP("Cores", "irregular"),
}
_FACINGS = {
    OpeningFacing.UP: QT_TRANSLATE_NOOP("Cores", "up"),
    OpeningFacing.SIDE: QT_TRANSLATE_NOOP("Cores", "side"),
    OpeningFacing.DOWN: QT_TRANSLATE_NOOP("Cores", "down"),
}
_CORE = QT_TRANSLATE_NOOP(
    "Cores",
    "A core is a hollow of the wax that the slurry runs into and air reaches only through an "
    "opening. It dries last, and every coat narrows its way out.",
)


def translate(text: object) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Cores", str(text))


def shape_word(shape: OpeningShape) -> str:
    """What an opening looks like."""
    return translate(_SHAPES[shape])


def facing_word(facing: OpeningFacing) -> str:
    """Which way an opening looks."""
    return translate(_FACINGS[facing])


def what_a_core_is() -> str:
    """For a shell that has none."""
    return translate(_CORE)
