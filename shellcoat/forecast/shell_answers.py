"""From a shell's chain of coats to the answer the pages show."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from shellcoat.forecast.air_track import AirLog, AirTrack
from shellcoat.forecast.air_watch import (
    Stretch,
    air_basis,
    humidity_warnings,
    reading_warnings,
    swing_warnings,
)
from shellcoat.forecast.answers import (
    AirBasis,
    CoatAnswer,
    CoreAnswer,
    DryState,
    ShellForecast,
    ShellWarning,
    WarningKind,
)
from shellcoat.forecast.history import NOTHING, ROUNDING, ShellChain
from shellcoat.forecast.starting_values import StartingValues
from shellcoat.forecast.thickness import wall_at_end, wall_thickness
from shellcoat.forecast.times import from_seconds, seconds
from shellcoat.shop import Band, Shell, ShellState


@dataclass(frozen=True, slots=True)
class AnswerRules:
    """What turns numbers into answers: values, the certainty of "safe", and the moment."""

    values: StartingValues
    safe_quantile: float
    now: datetime

    def basis(self, last_reading_at: datetime | None) -> AirBasis:
        """What a forecast with this last reading rests on."""
        return air_basis(last_reading_at, self.now, self.values)


def last_reading(logs: Mapping[UUID, AirLog], room_id: UUID, now: datetime) -> datetime | None:
    """When the room's air was last read, up to now."""
    log = logs.get(room_id, AirLog.empty()).until(seconds(now))
    return from_seconds(float(log.at_s[-1])) if log.at_s.size else None


def bare_answer(
    shell: Shell, last: datetime | None, planned: Sequence[Band], rules: AnswerRules
) -> ShellForecast:
    """The answer for a wax that has no coat yet; `planned` [m] what each coat builds."""
    return ShellForecast(
        shell_id=shell.id,
        made_at=rules.now,
        coats_on=0,
        coats_planned=len(shell.sequence.steps),
        state=DryState.BARE,
        likely_at=None,
        safe_at=None,
        due_at=None,
        chance_dry=1.0,
        water_left=NOTHING,
        thickness_m=NOTHING,
        thickness_at_end_m=wall_at_end([], planned, rules.values.shared_error),
        coming_m=tuple(planned),
        next_step=shell.next_step(0),
        coats=(),
        warnings=(),
        air_basis=rules.basis(last),
        last_reading_at=last,
    )


def dipped_answer(
    chain: ShellChain,
    cores: tuple[CoreAnswer, ...],
    tracks: Mapping[UUID, AirTrack],
    swings: tuple[ShellWarning, ...],
    last: datetime | None,
    planned: Sequence[Band],
    rules: AnswerRules,
) -> ShellForecast:
    """The answer for a shell with coats; `swings` are the warnings of the coats before the last."""
    shell, answer = chain.shell, chain.answers[-1]
    walls = [coat.thickness_m for coat in chain.answers]
    error = rules.values.shared_error
    next_step = shell.next_step(len(chain.coats))
    wet_cores = _core_warnings(cores, chain, rules)
    warnings = (*swings, *wet_cores, *_warnings(chain, tracks, last, rules))
    return ShellForecast(
        shell_id=shell.id,
        made_at=rules.now,
        coats_on=len(chain.coats),
        coats_planned=len(shell.sequence.steps),
        state=_state(chain.chance, answer, rules.safe_quantile),
        likely_at=answer.likely_at,
        safe_at=answer.safe_at,
        due_at=due_at(chain),
        chance_dry=chain.chance,
        water_left=chain.left_share,
        thickness_m=wall_thickness(walls, error),
        thickness_at_end_m=wall_at_end(walls, planned, error),
        coming_m=tuple(planned[len(walls) :]),
        next_step=next_step,
        coats=tuple(chain.answers),
        warnings=warnings if shell.state is ShellState.IN_WORK else (),
        air_basis=rules.basis(last),
        last_reading_at=last,
        cores=cores,
    )


def _core_warnings(
    cores: tuple[CoreAnswer, ...], chain: ShellChain, rules: AnswerRules
) -> Iterator[ShellWarning]:
    """Cores that will not be dry in time, that are about to close, or that hold water locked."""
    coats_on = len(chain.coats)
    for core in cores:
        wet = core.chance_by_due < rules.safe_quantile - ROUNDING
        shut = core.closed or core.plugged
        closing = next((coat for coat in core.closes_at if coat is not None), None)
        if shut and core.water_kg.high > core.dry_kg:
            yield ShellWarning(
                WarningKind.CORE_LOCKED, coats_on, core.water_kg.likely, None, core.name
            )
        elif wet and not shut:
            yield ShellWarning(
                WarningKind.CORE_WET, coats_on, core.water_kg.likely, core.chance_by_due, core.name
            )
        if not shut and closing is not None and closing <= coats_on + 1:
            # Still open, so a coat that is on already did not close it.
            coat = max(closing, coats_on + 1)
            yield ShellWarning(WarningKind.CORE_CLOSING, coat, core.width_m, None, core.name)


def _state(chance: float, answer: CoatAnswer, safe_quantile: float) -> DryState:
    if chance >= safe_quantile - ROUNDING:
        return DryState.DRY
    if answer.likely_at is None:
        return DryState.OUT_OF_SIGHT
    return DryState.LIKELY_DRY if chance >= 0.5 else DryState.WET


def due_at(chain: ShellChain) -> datetime | None:
    """When the next act is due: the next dip once the wall is safely dry, or the hold's end.

    The final hold counts from the last dip, and does not end before that coat is dry.
    """
    answer = chain.answers[-1]
    if answer.safe_at is None or chain.shell.next_step(len(chain.coats)) is not None:
        return answer.safe_at
    hold = timedelta(seconds=chain.shell.sequence.final_hold_s)
    return max(chain.coats[-1].dipped_at + hold, answer.safe_at)


def _warnings(
    chain: ShellChain, tracks: Mapping[UUID, AirTrack], last: datetime | None, rules: AnswerRules
) -> Iterator[ShellWarning]:
    early = [answer for answer in chain.answers if answer.dipped_early]
    if early:
        yield ShellWarning(WarningKind.DIPPED_EARLY, early[-1].number, early[-1].left_before.likely)
    coat, answer = chain.coats[-1], chain.answers[-1]
    end = min(rules.now, answer.safe_at or rules.now)
    stretch = Stretch.of(tracks[coat.room_id], coat.dipped_at, end)
    yield from swing_warnings(coat, answer.number, stretch)
    if chain.chance >= rules.safe_quantile - ROUNDING:
        if last is None:
            yield ShellWarning(WarningKind.NO_READING)
        return
    yield from humidity_warnings(coat, answer.number, stretch, rules.values)
    if answer.safe_at is None:
        yield ShellWarning(WarningKind.NOT_DRYING, answer.number)
    yield from reading_warnings(rules.basis(last), last, rules.now, rules.values)
