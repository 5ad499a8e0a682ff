"""Commands about outcomes: log how a shell stood the pour, tell how the pours went."""

from __future__ import annotations

import argparse
import json
from uuid import uuid4

from shellcoat.cli.opened import opened_shop, system_now
from shellcoat.cli.times import read_time
from shellcoat.operations.check_wording import CheckWriter
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.outcome_reports import outcomes_json, outcomes_text
from shellcoat.operations.outcome_wording import write_outcome
from shellcoat.operations.outcomes import log_outcome
from shellcoat.operations.pour_evidence import poured_shells
from shellcoat.operations.shells import find_shell
from shellcoat.operations.wording import write_time
from shellcoat.shop import Outcome, PourResult
from shellcoat.shop.outcome import METAL_MASS_KG, METAL_TEMP_C, SHELL_TEMP_C
from shellcoat.units import Quantity, read_quantity


def log_poured(options: argparse.Namespace) -> None:
    """Log an outcome, and say what was logged."""
    now = system_now()
    with opened_shop(options.book) as opened:
        shell = find_shell(opened, options.shell)
        temperature, mass = Quantity.TEMPERATURE, Quantity.MASS
        outcome = Outcome(
            id=uuid4(),
            shell_id=shell.id,
            poured_at=read_time(options.at, opened.zone, now) if options.at else now,
            result=PourResult(options.result),
            where=options.where,
            metal_temp_c=_figure(
                opened, options.metal, temperature, "Metal temperature", METAL_TEMP_C
            ),
            shell_temp_c=_figure(
                opened, options.shell_temp, temperature, "Shell temperature", SHELL_TEMP_C
            ),
            metal_mass_kg=_figure(opened, options.mass, mass, "Metal poured", METAL_MASS_KG),
            note=options.note,
        )
        log_outcome(opened, outcome, now, finish=options.finish)
        at = write_time(outcome.poured_at, opened.zone, now)
        said = write_outcome(outcome, CheckWriter(opened.units))
        print(f"Logged for {shell.name}, poured {at}: {said}.")


def _figure(
    opened: OpenShop,
    text: str | None,
    quantity: Quantity,
    field: str,
    limits: tuple[float, float, str],
) -> float | None:
    if text is None:
        return None
    low, high, _ = limits
    unit = opened.units.unit_for(quantity)
    return read_quantity(text, quantity, field=field, unit=unit, low=low, high=high)


def tell_outcomes(options: argparse.Namespace) -> None:
    """Print how the pours went, and with what."""
    now = system_now()
    with opened_shop(options.book, read_only=True) as opened:
        shells = poured_shells(opened, now)
        if options.json:
            print(json.dumps(outcomes_json(opened, shells), indent=2, ensure_ascii=False))
        else:
            print(outcomes_text(opened, shells, now))
