"""What is known of every shell that was poured: its wall, intervals, core water and air."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime

from shellcoat.forecast.answers import ShellForecast
from shellcoat.forecast.pour_odds import PouredShell, Trait
from shellcoat.forecast.wall_answers import WallAnswer
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import Coat, CoatKind, Outcome, PourResult, Shell, ShellState, WallPlace


def poured_shells(opened: OpenShop, now: datetime) -> list[PouredShell]:
    """Look at every shell that was poured; takes a moment for each, so run it in a worker.

    What was learned by `now` counts for the past as well.
    """
    outcomes = list(opened.ledger.outcomes.values())
    lessons = opened.forecast_input(now, []).lessons if outcomes else None
    found = []
    for outcome in outcomes:
        shell = opened.ledger.shell(outcome.shell_id)
        given = opened.forecast_input(_end_of(opened, shell, outcome), [shell])
        given = replace(given, lessons=lessons) if lessons is not None else given
        forecast, wall = opened.forecast(given)[shell.id], opened.wall(given)
        coats = opened.ledger.coats(shell.id)
        found.append(
            PouredShell(
                shell_id=shell.id,
                sound=outcome.result is PourResult.SOUND,
                traits={
                    Trait.THICKNESS: _wall_share(wall) if forecast.coats_on else None,
                    Trait.INTERVAL: _shortest_interval(forecast, coats),
                    Trait.CORE_WATER: _core_water(forecast),
                    Trait.AIR: _swing(opened, forecast, coats),
                },
            )
        )
    return found


def _end_of(opened: OpenShop, shell: Shell, outcome: Outcome) -> datetime:
    """When the shell left the rack: marked as finished, or poured if that was written later."""
    finished_at = outcome.poured_at
    for entry in reversed(opened.ledger.history(shell.id)):
        record = entry.record
        if not isinstance(record, Shell) or record.state is not ShellState.FINISHED:
            break
        finished_at = entry.recorded_at
    coats = opened.ledger.coats(shell.id)
    last = coats[-1].dipped_at if coats else finished_at
    return max(min(finished_at, outcome.poured_at), last)


def _wall_share(wall: WallAnswer) -> float | None:
    """The wall on the flats as all evidence has it, as a share of its target."""
    flats = [place for place in wall.places if place.place is WallPlace.FLAT]
    return flats[0].now_m.likely / flats[0].target_m if flats else None


def _shortest_interval(forecast: ShellForecast, coats: Iterable[Coat]) -> float | None:
    """The least of each coat's time until the next dip, as a share of the time it needed."""
    dips = [coat.dipped_at for coat in coats]
    shares = [
        # A coat that would not have dried within the horizon was dipped over too early.
        (after - dip) / (answer.safe_at - dip) if answer.safe_at is not None else 0.0
        for dip, after, answer in zip(dips, dips[1:], forecast.coats, strict=False)
    ]
    return min(shares, default=None)


def _core_water(forecast: ShellForecast) -> float | None:
    shares = [core.water_kg.likely / core.dry_kg for core in forecast.cores if core.dry_kg > 0.0]
    return max(shares, default=None)


def _swing(opened: OpenShop, forecast: ShellForecast, coats: tuple[Coat, ...]) -> float | None:
    """The largest measured swing over a prime coat as a share of its limit."""
    return max(_swings(opened, forecast, coats), default=None)


def _swings(opened: OpenShop, forecast: ShellForecast, coats: tuple[Coat, ...]) -> Iterator[float]:
    ends = [*(coat.dipped_at for coat in coats[1:]), forecast.made_at]
    for coat, end, answer in zip(coats, ends, forecast.coats, strict=False):
        limit = coat.step.air.swing_k
        if coat.step.kind is not CoatKind.PRIME or not limit:
            continue
        until = min(end, answer.safe_at or end)
        temps = opened.book.readings(coat.room_id, coat.dipped_at, until).temp_c.tolist()
        if len(temps) > 1:
            yield (max(temps) - min(temps)) / limit
