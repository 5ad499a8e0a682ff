"""Everything a review of one shell rests on, frozen at one moment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from shellcoat.forecast.answers import CoatAnswer, ShellForecast
from shellcoat.forecast.strength_need import SpotAnswer
from shellcoat.forecast.strength_values import MetalMatch
from shellcoat.forecast.wall_answers import WallAnswer
from shellcoat.shop import (
    Coat,
    CoreCare,
    Defect,
    LookAnswer,
    MeltPlan,
    ReviewAnswer,
    ReviewQuestion,
    Shell,
    ShellCheck,
)


@dataclass(frozen=True, slots=True)
class CoatAir:
    """The room's temperature [°C] as read while one coat dried, and how often it was read."""

    lowest_c: float
    highest_c: float
    readings: int

    @property
    def swing_k(self) -> float:
        """Largest less smallest reading [K]."""
        return self.highest_c - self.lowest_c


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewCase:
    """The records and answers of one shell.

    `coats` stand by time like the answers in `forecast`; `air` is what was read while each prime
    coat dried, by coat, without those nobody read; `answers` hold the newest to each question;
    `safe_quantile` [-] is the certainty that counts as safely dry.
    """

    shell: Shell
    coats: tuple[Coat, ...]
    forecast: ShellForecast
    wall: WallAnswer
    spots: tuple[SpotAnswer, ...]
    metal: MetalMatch
    now: datetime
    safe_quantile: float
    care: tuple[CoreCare, ...] = ()
    checks: tuple[ShellCheck, ...] = ()
    defects: tuple[Defect, ...] = ()
    answers: Mapping[ReviewQuestion, ReviewAnswer] = field(default_factory=dict)
    melt: MeltPlan | None = None
    air: Mapping[UUID, CoatAir] = field(default_factory=dict)

    def answer(self, question: ReviewQuestion) -> LookAnswer:
        """What was answered; nobody has looked where nothing was."""
        given = self.answers.get(question)
        return given.answer if given else LookAnswer.NOT_LOOKED

    def behind(self, question: ReviewQuestion) -> tuple[UUID, ...]:
        """The record of an answer, if there is one."""
        given = self.answers.get(question)
        return (given.id,) if given else ()

    @property
    def coat_ids(self) -> tuple[UUID, ...]:
        """The records of all coats."""
        return tuple(coat.id for coat in self.coats)

    @property
    def dried(self) -> tuple[tuple[Coat, CoatAnswer], ...]:
        """Every coat with what the forecast says of it."""
        return tuple(zip(self.coats, self.forecast.coats, strict=True))
