"""A small shop for the alert tests: shells, coats, forecasts, and books that need no disk."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

from shellcoat.alerts.life import Alert, AlertState, AlertWhat
from shellcoat.book.faults import EntryIdReusedError, NotSavedError
from shellcoat.forecast.answers import AirBasis, CoatAnswer, DryState, ShellForecast
from shellcoat.shop import (
    AirMovement,
    Band,
    Coat,
    CoatKind,
    CoatStep,
    DipSequence,
    Entry,
    Ledger,
    Room,
    Shell,
)

START = datetime(2016, 3, 14, 8, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)
BAND = Band(0.1, 0.2, 0.3)
STEP = CoatStep(
    kind=CoatKind.BACKUP, slurry="backup", thickness_m=Band(1e-4, 2e-4, 3e-4), water_kg_m2=BAND
)
ROOM = Room(id=UUID(int=1), name="Loft")


def clock_words(moment):
    return f"{moment:%H:%M}"


BACKUP = STEP
PRIME = replace(STEP, kind=CoatKind.PRIME, slurry="prime")


def sequence(steps=3, hold=24 * HOUR):
    return DipSequence(
        id=UUID(int=2),
        name="Short wall",
        steps=(STEP,) * steps,
        target_thickness_m=5e-3,
        final_hold_s=hold.total_seconds(),
    )


def shell(number, name="Heron", rack_place="B3", steps=3, hold=24 * HOUR):
    return Shell(
        id=UUID(int=100 + number),
        name=name,
        label=f"L{number}",
        sequence=sequence(steps, hold),
        room_id=ROOM.id,
        started_at=START,
        rack_place=rack_place,
    )


def coat(number, of, dipped_at=START, step=STEP):
    return Coat(
        id=UUID(int=1000 + number),
        shell_id=of.id,
        step=step,
        dipped_at=dipped_at,
        utc_offset_min=0,
        room_id=ROOM.id,
        movement=AirMovement.STILL_ROOM,
    )


def forecast(of, coats, safe, now=START, *, warnings=(), last_reading_at=None):
    """What the forecast says of a shell; `safe` holds each coat's safe time, None for never."""
    answers = tuple(
        CoatAnswer(
            coat_id=one.id,
            number=number,
            thickness_m=BAND,
            water_kg_m2=0.2,
            wetted_depth_m=1e-3,
            left_before=BAND,
            likely_at=safe[one.id],
            safe_at=safe[one.id],
            dipped_early=False,
        )
        for number, one in enumerate(coats, start=1)
    )
    next_step = of.next_step(len(coats))
    safe_at = answers[-1].safe_at if answers else None
    hold_end = safe_at and max(
        safe_at, coats[-1].dipped_at + timedelta(seconds=of.sequence.final_hold_s)
    )
    return ShellForecast(
        shell_id=of.id,
        made_at=now,
        coats_on=len(coats),
        coats_planned=len(of.sequence.steps),
        state=DryState.WET if answers else DryState.BARE,
        likely_at=safe_at,
        safe_at=safe_at,
        due_at=safe_at if next_step else hold_end,
        chance_dry=0.5,
        water_left=BAND,
        thickness_m=BAND,
        thickness_at_end_m=BAND,
        coming_m=tuple(step.thickness_m for step in of.sequence.steps[len(coats) :]),
        next_step=next_step,
        coats=answers,
        warnings=tuple(warnings),
        air_basis=AirBasis.READINGS,
        last_reading_at=last_reading_at,
    )


class Pen:
    """Writes entries whose ids count up."""

    def __init__(self, first=10_000):
        self.next_number = first

    def __call__(self, record, replaces=None, at=START):
        self.next_number += 1
        return Entry(
            id=UUID(int=self.next_number),
            recorded_at=at,
            who="R. Vale",
            record=record,
            replaces=replaces,
        )


class DisklessBook:
    """A book that keeps its entries in a list, which other such books may share.

    It keeps a real book's promises: all or none, passing over what is there already, refusing
    another entry of the same id, and a ledger that is replaced and never changed. `fault` makes
    the next writes fail.
    """

    def __init__(self, entries=None, read_only=False):
        self.entries = [] if entries is None else entries
        self.read_only = read_only
        self.fault = None
        self.listeners = []
        self.refresh()

    def refresh(self):
        self.ledger = Ledger.of(self.entries)

    def append(self, entries):
        if self.fault is not None:
            raise self.fault
        self.refresh()
        known = self.ledger.entries
        for entry in entries:
            if known.get(entry.id, entry) != entry:
                raise EntryIdReusedError(known[entry.id])
        self.entries += [entry for entry in entries if entry.id not in known]
        self.refresh()
        for listener in self.listeners:
            listener(tuple(entries))


def disk_full():
    return NotSavedError(Path("studio.shellbook"), "the disk is full")


class Bell:
    """A way of telling that remembers what it told."""

    name = "bell"

    def __init__(self):
        self.tellings = []

    def tell(self, lines):
        self.tellings.append(list(lines))

    @property
    def lines(self):
        return [line for telling in self.tellings for line in telling]

    @property
    def told(self):
        return [alert.about for line in self.lines for alert in line.alerts]


def alert(number=1, **changes):
    """One alert by itself, due at START."""
    plain = Alert(
        about=UUID(int=1000 + number),
        coat_id=UUID(int=1000 + number),
        shell_id=UUID(int=100 + number),
        shell_name=f"Shell {number}",
        rack_place="B3",
        coat_number=4,
        coats_planned=9,
        due_at=START,
        what=AlertWhat.NEXT_DIP,
        state=AlertState.DUE,
    )
    return replace(plain, **changes)
