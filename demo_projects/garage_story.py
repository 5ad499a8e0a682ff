"""The garage studio: one person, one bucket, three water birds, one room.

Every person, piece and shop here is invented; the air from 4 February is a real log.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from random import Random

from demo_projects.hollows import hollows, thin_spots
from demo_projects.story import (
    Reading,
    RoomAir,
    Scribe,
    Story,
    office_air,
    starter,
    three_a_day,
    wall,
)
from shellcoat.shop import AirMovement, Coat, CoatKind, DipSequence, Room, Shell, Shop

WHO = "R. Vale"
STATION = "garage bench"
FIRST_READINGS = Reading(wall(3, 8), 21.5, 0.29)  # what the typed ones scatter around


@dataclass(frozen=True, slots=True)
class Bird:
    """A wax bird: what it is, and when it was dipped (day, hour, minute by the wall clock)."""

    label: str
    name: str
    height_m: float
    wax_kg: float
    wax_ready: datetime
    dips: tuple[tuple[int, int, int], ...]
    note: str = ""


BIRDS = (
    Bird(
        label="H",
        name="Heron on a post",
        height_m=0.42,
        wax_kg=1.9,
        wax_ready=wall(4, 18, 30),
        # Before work and after supper; the whole wall is on by the evening of the 8th.
        dips=(
            *((5, 7, 40), (5, 19, 5), (6, 7, 35), (6, 19, 20)),
            *((7, 8, 15), (7, 18, 40), (8, 8, 30), (8, 19, 10)),
        ),
        note="Legs hang down when it dries; wire on the post.",
    ),
    Bird(
        label="G",
        name="Grebe, resting",
        height_m=0.16,
        wax_kg=0.8,
        wax_ready=wall(6, 20, 0),
        dips=(
            (7, 8, 40),
            (7, 19, 0),
            (8, 8, 50),
            (8, 19, 30),
            (9, 7, 50),
            (9, 17, 15),
            (10, 7, 45),
        ),
    ),
    Bird(
        label="B",
        name="Bittern chick",
        height_m=0.11,
        wax_kg=0.4,
        wax_ready=wall(8, 21, 0),
        dips=((9, 9, 10), (9, 18, 50), (10, 8, 20)),
        note="Down is very fine: brush the first coat in.",
    ),
)


def garage_story() -> Story:
    """Tell the garage's story from 3 to 10 February 2015."""
    scribe = Scribe("garage-studio", Random(3))  # noqa: S311 - a fixed story, not a secret
    room = Room(
        id=scribe.id("room"),
        name="Garage",
        movement=AirMovement.STILL_ROOM,
        note="A fan goes on for the backup coats. The logger's readings: a real log of an office.",
    )
    sequence = starter("one_bucket_8")
    shop = Shop(
        id=scribe.id("shop"), name="Vale's garage studio", zone="Europe/Madrid", altitude_m=20.0
    )
    for record in (shop, room, sequence):
        scribe.write(wall(3, 7, 30), WHO, record)
    air = _air(scribe, room)
    for bird in BIRDS:
        shell = _shell(scribe, bird, room, sequence)
        scribe.write(shell.started_at, WHO, shell, station=STATION)
        for coat in _coats(scribe, bird, shell, air):
            scribe.write(coat.dipped_at, WHO, coat, station=STATION)
    return scribe.story()


def _air(scribe: Scribe, room: Room) -> RoomAir:
    """Typed readings until the logger was put up on the evening of the 4th."""
    typed = [*three_a_day([3], FIRST_READINGS, scribe.chance), Reading(wall(4, 13, 4), 21.9, 0.28)]
    logged = office_air()
    scribe.type_readings(WHO, room.id, typed)
    scribe.take_log(room.id, logged)
    return RoomAir(typed, logged)


def _shell(scribe: Scribe, bird: Bird, room: Room, sequence: DipSequence) -> Shell:
    return Shell(
        id=scribe.id("shell", bird.label),
        name=bird.name,
        label=bird.label,
        sequence=sequence,
        room_id=room.id,
        started_at=bird.wax_ready,
        rack_place="shelf",
        metal="silicon bronze",
        drying_length_m=bird.height_m,
        wax_mass_kg=bird.wax_kg,
        note=bird.note,
        cores=hollows(scribe.id("shell", bird.label), bird.label),
        spots=thin_spots(scribe.id("shell", bird.label), bird.label),
    )


def _coats(scribe: Scribe, bird: Bird, shell: Shell, air: RoomAir) -> Iterator[Coat]:
    for number, (dip, step) in enumerate(zip(bird.dips, shell.sequence.steps, strict=False), 1):
        moment = wall(*dip)
        fan = step.kind is CoatKind.BACKUP
        yield Coat(
            id=scribe.id("coat", bird.label, number),
            shell_id=shell.id,
            step=step,
            dipped_at=moment,
            utc_offset_min=60,
            room_id=shell.room_id,
            movement=AirMovement.FAN_IN_ROOM if fan else AirMovement.STILL_ROOM,
            tank="bucket",
            air=air.known_at(moment),
        )
