"""Starter dip sequences, read from the tables that come with the program."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated
from uuid import UUID, uuid5

import msgspec

from shellcoat.errors import MendableError
from shellcoat.shop.band import Band
from shellcoat.shop.sequence import MOST_STEPS, AirLimits, CoatKind, CoatStep, DipSequence

# Ids follow from the file name alone, so the same starter is the same sequence in every shop.
STARTER_NAMESPACE = UUID("5b0c1a52-6f0e-4c0e-9d1b-7b7c6a2f9e11")

_Text = Annotated[str, msgspec.Meta(min_length=1)]
_Repeat = Annotated[int, msgspec.Meta(ge=1, le=MOST_STEPS)]
_Pair = tuple[float, float]


class StarterSequenceError(MendableError):
    """A sequence table that cannot be read, with the file, the coat and the field at fault."""


class _Row(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What is common to the tables of a file: a misspelt field is an error, not ignored."""


class _Figure(_Row, frozen=True, kw_only=True):
    value: float
    source: _Text


class _BandRow(_Row, frozen=True, kw_only=True):
    low: float
    likely: float
    high: float
    source: _Text

    def band(self, per_unit: float) -> Band:
        """The band in SI, `per_unit` of the file's unit to one of SI."""
        return Band(self.low / per_unit, self.likely / per_unit, self.high / per_unit)


class _AirRow(_Row, frozen=True, kw_only=True):
    temp_c: _Pair
    rh_percent: _Pair
    swing_k: float | None = None
    source: _Text

    def __post_init__(self) -> None:
        for field, (low, high) in (("temp_c", self.temp_c), ("rh_percent", self.rh_percent)):
            if not low < high:
                raise ValueError(f"{field} must rise, not go from {low:g} to {high:g}")

    def limits(self) -> AirLimits:
        """The limits as a record, humidity as a fraction."""
        return AirLimits(
            temp_low_c=self.temp_c[0],
            temp_high_c=self.temp_c[1],
            rh_low=self.rh_percent[0] / 100.0,
            rh_high=self.rh_percent[1] / 100.0,
            swing_k=self.swing_k,
        )


class _CoatRow(_Row, frozen=True, kw_only=True):
    kind: CoatKind
    repeat: _Repeat = 1
    slurry: _Text
    stucco: str = ""
    thickness_mm: _BandRow
    water_kg_m2: _BandRow
    air: _AirRow
    watch: _Text

    def step(self) -> CoatStep:
        """The planned coat."""
        return CoatStep(
            kind=self.kind,
            slurry=self.slurry,
            stucco=self.stucco,
            thickness_m=self.thickness_mm.band(1000.0),
            water_kg_m2=self.water_kg_m2.band(1.0),
            air=self.air.limits(),
            watch=self.watch,
            source=(
                f"Thickness: {self.thickness_mm.source}\nWater: {self.water_kg_m2.source}\n"
                f"Air: {self.air.source}"
            ),
        )


class _SequenceRow(_Row, frozen=True, kw_only=True):
    name: _Text
    description: str = ""
    source: _Text
    target_thickness_mm: _Figure
    final_hold_h: _Figure
    coat: list[_CoatRow]

    def source_text(self) -> str:
        """All sources of the sequence's own figures in words."""
        return (
            f"{self.source}\nTarget thickness: {self.target_thickness_mm.source}\n"
            f"Final hold: {self.final_hold_h.source}"
        )


def starter_sequences(folder: Path) -> tuple[DipSequence, ...]:
    """Read every sequence table of a folder, the shortest wall first."""
    files = sorted(folder.glob("*.toml"))
    if not files:
        raise StarterSequenceError(
            f"{folder}: no sequence table is here. Put at least one .toml file into this folder."
        )
    sequences = (sequence_from_toml(_text_of(file), file.stem) for file in files)
    return tuple(sorted(sequences, key=lambda sequence: (len(sequence.steps), sequence.name)))


def sequence_from_toml(text: str, name: str) -> DipSequence:
    """Read one sequence table; `name` is its file stem, which fixes the sequence's id."""
    row = _row(text, name)
    try:
        return DipSequence(
            id=uuid5(STARTER_NAMESPACE, name),
            name=row.name,
            steps=tuple(_steps(row, name)),
            target_thickness_m=row.target_thickness_mm.value / 1000.0,
            final_hold_s=row.final_hold_h.value * 3600.0,
            description=row.description,
            source=row.source_text(),
        )
    except StarterSequenceError:
        raise
    except MendableError as cause:
        raise StarterSequenceError(f"{name}.toml: {cause}") from cause


def _row(text: str, name: str) -> _SequenceRow:
    try:
        return msgspec.convert(tomllib.loads(text), _SequenceRow)
    except tomllib.TOMLDecodeError as cause:
        raise StarterSequenceError(f"{name}.toml: {cause}. Correct that place.") from cause
    except msgspec.ValidationError as cause:
        raise StarterSequenceError(f"{name}.toml: {_in_words(str(cause))}.") from cause


def _steps(row: _SequenceRow, name: str) -> Iterator[CoatStep]:
    for number, coat in enumerate(row.coat, start=1):
        try:
            step = coat.step()
        except MendableError as cause:
            raise StarterSequenceError(f"{name}.toml, coat table {number}: {cause}") from cause
        yield from [step] * coat.repeat


def _in_words(fault: str) -> str:
    """Turn the path of a fault, `$.coat[1].air`, into `coat table 2, air`."""
    path = re.compile(r"`\$\.?([^`]*)`")
    return path.sub(lambda found: _place(found[1]), fault)


def _place(path: str) -> str:
    counted = re.sub(r"\[(\d+)\]", lambda found: f" table {int(found[1]) + 1}", path)
    return counted.replace(".", ", ")


def _text_of(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8")
    except UnicodeDecodeError as cause:
        raise StarterSequenceError(f"{file.name}: not UTF-8. Save the file as UTF-8.") from cause
