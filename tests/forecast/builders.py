"""Small shops, shells, coats and air logs for the forecast's tests."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid5

from shellcoat.forecast.air_track import AirLog
from shellcoat.forecast.answers import ShellForecast
from shellcoat.forecast.forecaster import Forecaster, ShellCase
from shellcoat.forecast.starting_values import StartingValues, starting_values
from shellcoat.shop import (
    AirLimits,
    AirMovement,
    Band,
    CareKind,
    Coat,
    CoatKind,
    CoatStep,
    Core,
    CoreCare,
    DipSequence,
    Opening,
    OpeningFacing,
    Room,
    Shell,
    ShellState,
    Shop,
)

NAMESPACE = UUID("5f2b2f3c-7f0e-4a57-9d5e-3a4c8e5b9a10")
MONDAY = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
MINUTE, HOUR, DAY = 60.0, 3600.0, 86400.0
STEADY_C, STEADY_RH = 22.0, 0.50


def an_id(name: object) -> UUID:
    """The same id for the same name."""
    return uuid5(NAMESPACE, str(name))


ROOM = an_id("dipping room")
OTHER_ROOM = an_id("drying room")


def at(hours: float) -> datetime:
    """The time so many hours after Monday 08:00."""
    return MONDAY + timedelta(hours=hours)


def seconds_at(hours: float) -> float:
    """The same in seconds since 1970."""
    return at(hours).timestamp()


def a_shop(**choices: object) -> Shop:
    """An invented shop at sea level."""
    return Shop(id=an_id("shop"), name="Heron Yard", **choices)


def a_room(room_id: UUID = ROOM, movement: AirMovement = AirMovement.FAN_ON_SHELL) -> Room:
    """A room with a fan."""
    return Room(id=room_id, name="Dipping room", movement=movement)


def prime(**changes: object) -> CoatStep:
    """A prime coat with the limits of the trade."""
    fields = {
        "kind": CoatKind.PRIME,
        "slurry": "zircon prime",
        "thickness_m": Band(0.3e-3, 0.45e-3, 0.6e-3),
        "water_kg_m2": Band(0.12, 0.15, 0.18),
        "air": AirLimits(rh_low=0.50, rh_high=0.65, swing_k=1.7),
    }
    return CoatStep(**(fields | changes))


def backup(**changes: object) -> CoatStep:
    """A backup coat with coarse stucco."""
    fields = {
        "kind": CoatKind.BACKUP,
        "slurry": "fused silica backup",
        "stucco": "fused silica 16-30 mesh",
        "thickness_m": Band(0.8e-3, 1.2e-3, 1.5e-3),
        "water_kg_m2": Band(0.20, 0.25, 0.30),
        "air": AirLimits(rh_low=0.40, rh_high=0.55),
    }
    return CoatStep(**(fields | changes))


NINE_COATS = (prime(), prime(), *[backup()] * 7)


def a_sequence(steps: Sequence[CoatStep] = NINE_COATS, final_hold_s: float = DAY) -> DipSequence:
    """A sequence of these steps."""
    return DipSequence(
        id=an_id("sequence"),
        name="Bell wall",
        steps=tuple(steps),
        target_thickness_m=8e-3,
        final_hold_s=final_hold_s,
    )


def a_shell(
    name: object = "heron", steps: Sequence[CoatStep] = NINE_COATS, **changes: object
) -> Shell:
    """A shell in the dipping room."""
    fields = {
        "id": an_id(("shell", name)),
        "name": f"Water bird {name}",
        "label": "A1",
        "sequence": a_sequence(steps),
        "room_id": ROOM,
        "started_at": at(-240.0),
        "state": ShellState.IN_WORK,
    }
    return Shell(**(fields | changes))


def a_coat(shell: Shell, number: int, hours: float, **changes: object) -> Coat:
    """Coat `number` (from 1) of a shell, dipped so many hours after Monday 08:00."""
    fields = {
        "id": an_id((shell.id, number)),
        "shell_id": shell.id,
        "step": shell.next_step(number - 1) or shell.sequence.steps[-1],
        "dipped_at": at(hours),
        "utc_offset_min": 0,
        "room_id": shell.room_id,
        "movement": AirMovement.FAN_ON_SHELL,
    }
    return Coat(**(fields | changes))


def a_case(shell: Shell, dip_hours: Iterable[float], **changes: object) -> ShellCase:
    """A shell dipped at these hours."""
    dips = sorted(dip_hours)
    coats = [a_coat(shell, number, hours, **changes) for number, hours in enumerate(dips, start=1)]
    return ShellCase(shell, tuple(coats))


def an_opening(
    width_m: float = 0.060, facing: OpeningFacing = OpeningFacing.SIDE, **changes: object
) -> Opening:
    """A round opening."""
    fields = {"width_m": width_m, "height_m": width_m, "facing": facing}
    return Opening(**(fields | changes))


def a_core(*openings: Opening, name: str = "body", **changes: object) -> Core:
    """A hollow with 0.03 m2 of wall."""
    fields = {"id": an_id(("core", name)), "name": name, "area_m2": 0.03, "openings": openings}
    return Core(**(fields | changes))


def a_care(shell: Shell, kind: CareKind, hours: float, **changes: object) -> CoreCare:
    """Something done to the core "body", or a turn of the whole shell, at some hour."""
    fields = {
        "id": an_id((shell.id, kind, hours)),
        "shell_id": shell.id,
        "core_id": None if kind is CareKind.TURN else an_id(("core", "body")),
        "kind": kind,
        "at": at(hours),
    }
    return CoreCare(**(fields | changes))


def a_blow(shell: Shell, hours: float, litres_min: float, until_h: float | None = None) -> CoreCare:
    """Air blown into the core "body"."""
    until = None if until_h is None else at(until_h)
    flow = litres_min / 60_000.0
    return a_care(shell, CareKind.BLOW, hours, flow_m3_s=flow, until=until)


def a_log(
    first_h: float,
    last_h: float,
    every_min: float = 30.0,
    temp_c: float | Callable[[float], float] = STEADY_C,
    rh: float | Callable[[float], float] = STEADY_RH,
) -> AirLog:
    """Readings from one hour to another; temperature and humidity may change with the hour."""
    count = round((last_h - first_h) * 60.0 / every_min) + 1
    hours = [first_h + index * every_min / 60.0 for index in range(count)]
    return AirLog.of(
        [seconds_at(hour) for hour in hours],
        [temp_c(hour) if callable(temp_c) else temp_c for hour in hours],
        [rh(hour) if callable(rh) else rh for hour in hours],
    )


def log_of(readings: Iterable[tuple[float, float, float]]) -> AirLog:
    """Readings given as hour, temperature [°C] and humidity."""
    rows = sorted(readings)
    return AirLog.of(
        [seconds_at(hour) for hour, _, _ in rows],
        [temp for _, temp, _ in rows],
        [rh for _, _, rh in rows],
    )


def a_forecaster(values: StartingValues | None = None, **choices: object) -> Forecaster:
    """A forecaster that remembers nothing yet."""
    return Forecaster(a_shop(**choices), values or starting_values())


def forecast_one(
    case: ShellCase, log: AirLog, now_h: float, forecaster: Forecaster | None = None
) -> ShellForecast:
    """The forecast of one shell in the dipping room."""
    run = forecaster or a_forecaster()
    return run.forecast([case], {ROOM: log}, at(now_h))[case.shell.id]


def hours_to(moment: datetime | None, since_h: float) -> float:
    """Hours from a dip to a time; infinite where there is none."""
    if moment is None:
        return float("inf")
    return (moment - at(since_h)).total_seconds() / HOUR
