"""The art foundry: forty shells, two rooms, three people, and the slips of a busy week.

Every person, piece and shop here is invented; so are the readings of the prime room. The air
of the drying room from 4 February is a real log. The pieces stand in `art-foundry/pieces.csv`,
the rules of the dips in `dip_plan.py`, what went wrong in `foundry_slips.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from random import Random
from typing import Any, cast
from uuid import UUID

from demo_projects import foundry_checks as checks
from demo_projects import foundry_slips as slips
from demo_projects.dip_plan import CLOSES, OPENS, Job, PlannedDip, plan_dips
from demo_projects.foundry_pieces import Piece, read_pieces
from demo_projects.hollows import hollows, thin_spots
from demo_projects.story import (
    STORY_ENDS,
    Reading,
    RoomAir,
    Scribe,
    Story,
    office_air,
    on_wall,
    starter,
    three_a_day,
    wall,
)
from shellcoat.shop import (
    AirMovement,
    Coat,
    CoatKind,
    Record,
    Room,
    Shell,
    ShellCheck,
    ShellState,
    Shop,
    SlurryTest,
)

PRIMER, MORNING, AFTERNOON = "I. Marsh", "T. Lind", "O. Brook"
BENCH, OFFICE = "dip bench", "office"
STARTS = wall(2, 7)
LOGGER_UP = wall(4, 17, 51)

PRIME_AIR = Reading(STARTS, 22.0, 0.58)  # invented: what a humidifier holds
DRYING_AIR = Reading(STARTS, 21.8, 0.28)  # invented: like the real log that follows it

TANKS = {
    "colloidal silica prime, zircon flour": "P1",
    "fused silica backup": "B1",
    "aluminosilicate backup": "B2",
    "fused silica, one bucket": "B3",
}

Act = tuple[datetime, Callable[[datetime], None]]


def foundry_story() -> Story:
    """Tell the foundry's story from 2 to 10 February 2015."""
    foundry = _Foundry()
    foundry.open_shop()
    acts = [
        *foundry.air_acts(),
        *foundry.shell_acts(),
        *foundry.dip_acts(),
        *foundry.check_acts(),
    ]
    for at, act in sorted(acts, key=lambda one: one[0]):
        act(at)
    return foundry.scribe.story()


class _Foundry:
    """The foundry while its story is told: acts are gathered, then done in order of time."""

    def __init__(self) -> None:
        self.scribe = Scribe("art-foundry", Random(40))  # noqa: S311 - a fixed story, no secret
        self.prime_room = Room(
            id=self.scribe.id("room", "prime"),
            name="Prime room",
            note="Humidifier. Readings typed three times a day, invented for this demo.",
        )
        self.drying_room = Room(
            id=self.scribe.id("room", "drying"),
            name="Drying room",
            movement=AirMovement.FAN_IN_ROOM,
            note="Two fans. The logger's readings are a real log of an office.",
        )
        self.pieces = {piece.label: piece for piece in read_pieces()}
        self.sequences = {
            stem: starter(stem) for stem in sorted({one.sequence for one in self.pieces.values()})
        }
        usual = [_swung(one) for one in self._invented(range(2, 11), PRIME_AIR)]
        self.prime_air = sorted([*usual, *slips.FURTHER_LOOKS])
        self.drying_air = [
            one for one in self._invented(range(2, 5), DRYING_AIR) if one.at < LOGGER_UP
        ]
        self.log = office_air()
        self.air = {
            self.prime_room.id: RoomAir(self.prime_air, []),
            self.drying_room.id: RoomAir(self.drying_air, self.log),
        }
        self.dips = list(plan_dips(map(self._job, self.pieces.values()), self.scribe.chance))

    def _invented(self, days: range, typical: Reading) -> list[Reading]:
        return list(three_a_day(days, typical, self.scribe.chance))

    def _job(self, piece: Piece) -> Job:
        stops = {**slips.HELD, **slips.SCRAPPED}
        return Job(
            label=piece.label,
            sequence=self.sequences[piece.sequence],
            ready_at=piece.wax_ready + timedelta(minutes=10),
            stopped_at=stops[piece.label][0] if piece.label in stops else STORY_ENDS,
            hurried={
                number: wait
                for (label, number), (wait, _) in slips.EARLY.items()
                if label == piece.label
            },
        )

    def open_shop(self) -> None:
        """Enter the shop, its rooms and its sequences."""
        shop = Shop(
            id=self.scribe.id("shop"),
            name="Reedmere art foundry",
            zone="Europe/Madrid",
            altitude_m=20.0,
        )
        records: list[Record] = [shop, self.prime_room, self.drying_room, *self.sequences.values()]
        for record in records:
            self.scribe.write(STARTS, PRIMER, record, station=OFFICE)
        self.scribe.take_log(self.drying_room.id, self.log)

    # The air

    def air_acts(self) -> Iterator[Act]:
        """Readings typed in both rooms, one of them first with its digits swapped."""
        for reading in self.drying_air:
            yield reading.at, partial(self._type, self.drying_room, reading)
        for reading in self.prime_air:
            wrong = slips.MISREAD.get(_hour(reading))
            if wrong is not None:
                yield reading.at, partial(self._type, self.prime_room, reading._replace(rh=wrong))
                yield reading.at + timedelta(minutes=12), partial(self._correct_reading, reading)
            else:
                yield reading.at, partial(self._type, self.prime_room, reading)

    def _type(self, room: Room, reading: Reading, at: datetime) -> None:
        note = slips.SWING_NOTE if reading.temp_c == slips.SWING.get(_hour(reading)) else ""
        self.scribe.write(at, PRIMER, self.scribe.typed(room.id, reading, note), station=OFFICE)

    def _correct_reading(self, reading: Reading, at: datetime) -> None:
        right = self.scribe.typed(self.prime_room.id, reading)
        self.scribe.write(at, PRIMER, right, reason=slips.MISREAD_REASON, station=OFFICE)

    # The shells

    def shell_acts(self) -> Iterator[Act]:
        """A shell comes to the rack; some are weighed again, held or scrapped; some are done."""
        for piece in self.pieces.values():
            yield piece.wax_ready, partial(self._start, piece)
        for label, (at, wax_kg, reason) in slips.REWEIGHED.items():
            yield at, partial(self._change, label, reason, wax_mass_kg=wax_kg)
        for label, (at, reason) in slips.HELD.items():
            yield at, partial(self._change, label, reason, state=ShellState.ON_HOLD)
        for label, (at, reason) in slips.SCRAPPED.items():
            yield (
                at,
                partial(self._change, label, reason, state=ShellState.SCRAPPED, rack_place=""),
            )
        for dip in self.dips:
            sequence = self.sequences[self.pieces[dip.label].sequence]
            if dip.number == len(sequence.steps):
                hold_over = dip.at + timedelta(seconds=sequence.final_hold_s, minutes=20)
                yield _in_hours(hold_over), partial(self._finish, dip.label)

    def _start(self, piece: Piece, at: datetime) -> None:
        shell = Shell(
            id=self._shell_id(piece.label),
            name=piece.name,
            label=piece.label,
            sequence=self.sequences[piece.sequence],
            room_id=self.drying_room.id,
            started_at=piece.wax_ready,
            rack_place=piece.rack_place,
            metal=piece.metal,
            drying_length_m=piece.height_m,
            area_m2=piece.area_m2,
            wax_mass_kg=piece.wax_kg,
            cores=hollows(self._shell_id(piece.label), piece.label),
            spots=thin_spots(self._shell_id(piece.label), piece.label),
        )
        self.scribe.write(at, PRIMER, shell, station=OFFICE)

    def _shell_id(self, label: str) -> UUID:
        return self.scribe.id("shell", label)

    def _change(self, label: str, reason: str, at: datetime, **changes: Any) -> None:
        """Correct the shell as it stands in the book."""
        shell = cast("Shell", self.scribe.latest[self._shell_id(label)].record)
        self.scribe.write(at, PRIMER, replace(shell, **changes), reason=reason, station=OFFICE)

    def _finish(self, label: str, at: datetime) -> None:
        reason = "final hold is over, off the rack"
        self._change(label, reason, at, state=ShellState.FINISHED, rack_place="")

    # The dips

    def dip_acts(self) -> Iterator[Act]:
        """Every dip as it was logged, and what was put right afterwards."""
        for dip in self.dips:
            yield from self._logged(dip, self._coat(dip))

    def _coat(self, dip: PlannedDip) -> Coat:
        step = self.sequences[self.pieces[dip.label].sequence].steps[dip.number - 1]
        room = self.prime_room if step.kind is CoatKind.PRIME else self.drying_room
        _, early = slips.EARLY.get((dip.label, dip.number), (None, ""))
        return Coat(
            id=self.scribe.id("coat", dip.label, dip.number),
            shell_id=self._shell_id(dip.label),
            step=step,
            dipped_at=dip.at,
            utc_offset_min=60,
            room_id=room.id,
            movement=room.movement,
            tank=TANKS[step.slurry],
            air=self.air[room.id].known_at(dip.at),
            warnings=(f"Coat {dip.number - 1} is not safely dry yet.",) if early else (),
            reason=early,
        )

    def _logged(self, dip: PlannedDip, coat: Coat) -> Iterator[Act]:
        key = (dip.label, dip.number)
        who = _dipper(coat)
        if key in slips.ENTERED_LATE:
            at, note = slips.ENTERED_LATE[key]
            yield at, partial(self._enter, who, replace(coat, note=note))
        elif key in slips.WRONG_TIME:
            minutes, reason = slips.WRONG_TIME[key]
            wrong = replace(coat, dipped_at=dip.at - timedelta(minutes=minutes))
            yield from self._put_right(who, wrong, coat, reason)
        elif key in slips.WRONG_TANK:
            tank, reason = slips.WRONG_TANK[key]
            yield from self._put_right(who, replace(coat, tank=tank), coat, reason)
        else:
            yield dip.at, partial(self._enter, who, coat)
        if key in slips.WRONG_SHELL:
            yield from self._doubled(who, dip, coat)

    def _put_right(self, who: str, wrong: Coat, right: Coat, reason: str) -> Iterator[Act]:
        at = right.dipped_at
        yield at, partial(self._enter, who, wrong)
        yield at + timedelta(minutes=22), partial(self._enter, who, right, reason=reason)

    def _doubled(self, who: str, dip: PlannedDip, coat: Coat) -> Iterator[Act]:
        label, reason = slips.WRONG_SHELL[dip.label, dip.number]
        slip = replace(coat, id=self.scribe.id("slip", label), shell_id=self._shell_id(label))
        yield dip.at, partial(self._enter, who, slip)
        yield dip.at + timedelta(minutes=3), partial(self._take_back, who, slip, reason)

    def _enter(self, who: str, coat: Coat, at: datetime, reason: str = "") -> None:
        self.scribe.write(at, who, coat, reason=reason, station=BENCH)

    def _take_back(self, who: str, coat: Coat, reason: str, at: datetime) -> None:
        self.scribe.withdraw(at, who, coat.id, reason)

    # The checks

    def check_acts(self) -> Iterator[Act]:
        """What was found out, by whoever was at the bench, and what was left out again."""
        for test in checks.slurry_tests(self.scribe.id):
            yield test.at, partial(self._keep, test, "")
        for check in checks.shell_checks(self._shell_id, self.scribe.id):
            yield check.at, partial(self._keep, check, "")
        stray = checks.left_out(self._shell_id, self.scribe.id)
        yield checks.LEFT_OUT_AT, partial(self._keep, stray, stray.left_out)

    def _keep(self, found: ShellCheck | SlurryTest, reason: str, at: datetime) -> None:
        who = MORNING if on_wall(at).hour < 13 else AFTERNOON
        self.scribe.write(at, who, found, reason=reason, station=BENCH)


def _dipper(coat: Coat) -> str:
    """Primes are one person's work; the others share the day."""
    if coat.step.kind is CoatKind.PRIME:
        return PRIMER
    return MORNING if on_wall(coat.dipped_at).hour < 13 else AFTERNOON


def _hour(reading: Reading) -> tuple[int, int]:
    shown = on_wall(reading.at)
    return shown.day, shown.hour


def _swung(reading: Reading) -> Reading:
    return reading._replace(temp_c=slips.SWING.get(_hour(reading), reading.temp_c))


def _in_hours(moment: datetime) -> datetime:
    """Move a moment to when somebody is in: the same, or the next opening."""
    shown = on_wall(moment)
    if shown.time() < OPENS:
        return wall(shown.day, OPENS.hour, OPENS.minute + 10)
    if shown.time() >= CLOSES:
        return wall(shown.day + 1, OPENS.hour, OPENS.minute + 10)
    return moment
