"""What the drawing of a core shows: its widest opening and the coats in it, free of Qt."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shellcoat.forecast.answers import CoreAnswer, ShellForecast
from shellcoat.shop import CoatKind, Core, Opening, Shell


@dataclass(frozen=True, slots=True)
class CoreCoat:
    """One coat in the opening; `planned` where it is still to come."""

    number: int
    thickness_m: float
    kind: CoatKind
    planned: bool


@dataclass(frozen=True, slots=True)
class CorePicture:
    """A core through its widest opening, which closes last.

    `opening` is None where the core has none. `coats` go from the wax inwards, no further than
    the coat `closes_at` that bridges the opening; `wetness` is the share of the present coat's
    water that is still there; `shut` whether the opening is closed or plugged now.
    """

    opening: Opening | None
    coats: tuple[CoreCoat, ...]
    closes_at: int | None
    wetness: float
    closed: bool
    plugged: bool
    clear_m: float

    @property
    def on(self) -> tuple[CoreCoat, ...]:
        """The coats that are in it."""
        return tuple(coat for coat in self.coats if not coat.planned)


def core_picture(
    core: Core, answer: CoreAnswer | None, shell: Shell, forecast: ShellForecast
) -> CorePicture:
    """Build the picture of a core as the forecast sees it."""
    widest = max(core.openings, key=lambda one: one.width_m, default=None)
    closes_at = answer.closes_at[1] if answer else None
    on = _on(shell, forecast)
    if answer and widest:
        on = _fitted(on, 0.5 * (widest.width_m - answer.width_m))
    coats = [*on, *_to_come(shell, forecast)]
    return CorePicture(
        opening=widest,
        coats=tuple(coat for coat in coats if closes_at is None or coat.number <= closes_at),
        closes_at=closes_at,
        wetness=_wetness(core, answer, forecast),
        closed=bool(answer and answer.closed),
        plugged=bool(answer and answer.plugged),
        clear_m=answer.width_m if answer else (widest.width_m if widest else 0.0),
    )


def _on(shell: Shell, forecast: ShellForecast) -> list[CoreCoat]:
    return [
        CoreCoat(coat.number, coat.thickness_m.likely, _kind(shell, coat.number), planned=False)
        for coat in forecast.coats
    ]


def _fitted(on: list[CoreCoat], wall_m: float) -> list[CoreCoat]:
    """Coats in the core, which may be other than on the face, as thick as its opening tells."""
    built = sum(coat.thickness_m for coat in on)
    if built <= 0.0:
        return on
    return [replace(coat, thickness_m=coat.thickness_m * wall_m / built) for coat in on]


def _to_come(shell: Shell, forecast: ShellForecast) -> list[CoreCoat]:
    later = enumerate(shell.sequence.steps, start=1)
    return [
        CoreCoat(number, step.thickness_m.likely, step.kind, planned=True)
        for number, step in later
        if number > forecast.coats_on
    ]


def _kind(shell: Shell, number: int) -> CoatKind:
    step = shell.next_step(number - 1) or shell.sequence.steps[-1]
    return step.kind


def _wetness(core: Core, answer: CoreAnswer | None, forecast: ShellForecast) -> float:
    """Share of the present coat's water that the core still holds; 0 where it is dry."""
    dry = answer is None or (answer.safe_at is not None and answer.safe_at <= forecast.made_at)
    if answer is None or dry or not forecast.coats:
        return 0.0
    full = forecast.coats[-1].water_kg_m2 * core.area_m2
    return min(max(answer.water_kg.likely / full, 0.0), 1.0) if full > 0.0 else 0.0
