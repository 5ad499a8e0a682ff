"""The section drawing in words: for assistive technology, tooltips and its list of coats."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

from shellcoat.desk.section.picture import SectionBand, SectionPicture
from shellcoat.shop import Band, CoatKind

WriteLength = Callable[[float], str]

translate = QCoreApplication.translate

_KINDS = {
    CoatKind.PRIME: QT_TRANSLATE_NOOP("Section", "prime"),
    CoatKind.BACKUP: QT_TRANSLATE_NOOP("Section", "backup"),
    CoatKind.SEAL: QT_TRANSLATE_NOOP("Section", "seal"),
}
_UNIT = re.compile(r"\s\S+$")


def kind_word(kind: CoatKind) -> str:
    """Return what the trade calls the coat."""
    return translate("Section", str(_KINDS[kind]))


@dataclass(frozen=True, slots=True)
class CoatRow:
    """Neighbouring coats that are alike, as one line of the list of coats."""

    numbers: str
    kind: str
    label: str
    thickness: str
    planned: bool


def coat_rows(picture: SectionPicture, write_length: WriteLength) -> list[CoatRow]:
    """Gather neighbouring coats of the same make and thickness into one row each."""

    def likeness(band: SectionBand) -> tuple[CoatKind, str, bool, str]:
        return band.kind, band.label, band.planned, write_length(band.thickness_m)

    return [_row(list(bands), write_length) for _, bands in groupby(picture.bands, likeness)]


def _row(bands: list[SectionBand], write_length: WriteLength) -> CoatRow:
    first, last = bands[0], bands[-1]
    several = len(bands) > 1
    thickness = write_length(first.thickness_m)
    return CoatRow(
        numbers=f"{first.number}–{last.number}" if several else f"{first.number}",
        kind=kind_word(first.kind),
        label=first.label,
        thickness=f"{len(bands)} × {thickness}" if several else thickness,
        planned=first.planned,
    )


def write_spread(band: Band, write_length: WriteLength) -> str:
    """Write a thickness with its spread, such as "5.1 mm (4.4–5.9 mm)"."""
    low, high = write_length(band.low), write_length(band.high)
    likely = write_length(band.likely)
    if low == high:
        return likely
    unit = _UNIT.search(high)
    if unit and low.endswith(unit.group()):
        low = low.removesuffix(unit.group())
    return f"{likely} ({low}–{high})"


def coats_words(count: int) -> str:
    """Count coats in words."""
    if count == 1:
        return translate("Section", "1 coat")
    return translate("Section", "{count} coats").format(count=count)


def describe_section(picture: SectionPicture, write_length: WriteLength) -> str:
    """Say in a sentence or two what the drawing shows."""
    target = write_length(picture.target_m)
    if not picture.on:
        return translate(
            "Section", "Bare wax, no coat yet; {target} of wall to build in {coats}."
        ).format(target=target, coats=coats_words(len(picture.to_come)))
    wall = translate("Section", "Wall of {coats}, {total} of {target}").format(
        coats=coats_words(len(picture.on)),
        total=write_length(picture.total.likely),
        target=target,
    )
    wet = wet_words(picture.wet_m, picture.wetness, write_length)
    return f"{wall}; {wet}.{_plan_words(picture, write_length)}"


def wet_words(wet_m: float, wetness: float, write_length: WriteLength) -> str:
    """Say how deep a wall or coat is wet and how much of the water is left."""
    if wet_m <= 0.0:
        return translate("Section", "dry")
    return translate("Section", "outer {depth} wet, {percent} % of the water left").format(
        depth=write_length(wet_m), percent=round(100 * wetness)
    )


def _plan_words(picture: SectionPicture, write_length: WriteLength) -> str:
    if not picture.to_come:
        return ""
    return " " + translate("Section", "{coats} to come, {total} at the end.").format(
        coats=coats_words(len(picture.to_come)), total=write_length(picture.planned_total.likely)
    )


def describe_band(band: SectionBand, write_length: WriteLength) -> str:
    """Say what one coat is, for its tooltip."""
    head = translate("Section", "Coat {number}, {kind}, {thickness}").format(
        number=band.number, kind=kind_word(band.kind), thickness=write_length(band.thickness_m)
    )
    return "\n".join([head, *band.label.split("\n"), _band_state(band, write_length)])


def _band_state(band: SectionBand, write_length: WriteLength) -> str:
    if band.planned:
        return translate("Section", "not on yet")
    if band.wet_m >= 0.995 * band.thickness_m:
        return translate("Section", "wet through, {percent} % of the water left").format(
            percent=round(100 * band.wetness)
        )
    return wet_words(band.wet_m, band.wetness, write_length)
