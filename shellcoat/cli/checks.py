"""Commands about checks: log one, tell what they taught, tell how thick a wall is."""

from __future__ import annotations

import argparse
import json
from datetime import datetime
from typing import Any

from shellcoat.cli.found import names_a_shell, read_check
from shellcoat.cli.opened import opened_shop, system_now
from shellcoat.operations.check_reports import learned_json, learned_text, wall_json, wall_text
from shellcoat.operations.check_wording import CheckWriter, write_check
from shellcoat.operations.checks import log_check
from shellcoat.operations.cores import write_core
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.shells import find_shell
from shellcoat.operations.wording import write_time
from shellcoat.shop import CaliperReading, DryCheck, DryFinding, Shell, ShellCheck

TRUST_THE_TOUCH = "The forecast would have it dry; go by the touch."


def log_found(options: argparse.Namespace) -> bool:
    """Log what was found on a shell; False where none is named."""
    if not names_a_shell(options):
        return False
    now = system_now()
    with opened_shop(options.book) as opened:
        shell = find_shell(opened, options.shell)
        check = log_check(opened, read_check(opened, shell, options, now), now)
        at = write_time(check.at, opened.zone, now)
        told = write_check(check, shell, CheckWriter(opened.units))
        print(f"Logged for {shell.name}, {at}. {told}")
        if not isinstance(check, CaliperReading):
            print(_times(opened, shell, check, now))
    return True


def _times(opened: OpenShop, shell: Shell, check: ShellCheck, now: datetime) -> str:
    """When what was checked is dry, now that this is known."""
    after = opened.forecast_shell(shell, now)
    if not after.coats_on:
        return "No coat is on yet, so it teaches nothing about drying."
    if isinstance(check, DryCheck) and check.core_id is not None:
        (core,) = (core for core in after.cores if core.core_id == check.core_id)
        return write_core(core, opened, now)
    if after.likely_at is None or after.safe_at is None:
        return f"Coat {after.coats_on} will not be safely dry within a week in this air."
    likely, safe = (_when(opened, moment, now) for moment in (after.likely_at, after.safe_at))
    told = f"Coat {after.coats_on}: likely dry {likely}, safe {safe}."
    wet = isinstance(check, DryCheck) and check.finding is DryFinding.STILL_WET
    return f"{told} {TRUST_THE_TOUCH}" if wet and after.safe_at <= now else told


def _when(opened: OpenShop, moment: datetime, now: datetime) -> str:
    at = write_time(moment, opened.zone, now)
    return at if moment > now else f"since {at}"


def tell_learned(options: argparse.Namespace) -> None:
    """Print what the checks have taught."""
    now = system_now()
    with opened_shop(options.book, read_only=True) as opened:
        found = opened.learned(opened.forecast_input(now))
        tell = learned_json if options.json else learned_text
        _print(tell(opened, found, now))


def tell_wall(options: argparse.Namespace) -> None:
    """Print how thick a wall is by place."""
    now = system_now()
    with opened_shop(options.book, read_only=True) as opened:
        shell = find_shell(opened, options.shell)
        found = opened.wall(opened.forecast_input(now, [shell]))
        tell = wall_json if options.json else wall_text
        _print(tell(opened, shell, found, now))


def _print(told: str | dict[str, Any]) -> None:
    print(told if isinstance(told, str) else json.dumps(told, indent=2, ensure_ascii=False))
