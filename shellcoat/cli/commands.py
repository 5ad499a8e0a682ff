"""Commands that need no window: look, log, and care for the book."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from shellcoat.book import open_book
from shellcoat.book.backup import back_up, backup_folder, restore
from shellcoat.book.check import check_book
from shellcoat.book.exchange import export_book, import_book
from shellcoat.cli.opened import opened_shop, system_now
from shellcoat.cli.times import read_time
from shellcoat.errors import MendableError
from shellcoat.operations.air import log_reading
from shellcoat.operations.book_check import check_sentences
from shellcoat.operations.dips import DipOrder, log_dip, order_from, propose_dip, undo_coat
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.person import person
from shellcoat.operations.rack import rack_rows
from shellcoat.operations.rack_report import rack_json, rack_table
from shellcoat.operations.shells import find_shell
from shellcoat.operations.wording import write_time, write_warnings
from shellcoat.shop import Room
from shellcoat.shop.shop import clock_of

if TYPE_CHECKING:
    from shellcoat.feeds.import_air import ImportProgress

FINE, UNSOUND = 0, 4


class RoomNeededError(MendableError):
    """A room that was not named, or that the shop does not have."""


class NothingToUndoError(MendableError):
    """A shell without a coat."""


def _room(opened: OpenShop, name: str | None) -> Room:
    rooms = opened.ledger.rooms
    if name is None and len(rooms) == 1:
        return rooms[0]
    for room in rooms:
        if name is not None and room.name.casefold() == name.strip().casefold():
            return room
    names = ", ".join(room.name for room in rooms)
    raise RoomNeededError(f"Say which room with --room: {names}.")


def rack(options: argparse.Namespace) -> int:
    """List the rack."""
    now = system_now()
    with opened_shop(options.book, read_only=True) as opened:
        rows = rack_rows(opened, opened.forecasts(now), now, gone=options.all)
        if options.json:
            print(json.dumps(rack_json(opened, rows, now), indent=2, ensure_ascii=False))
        else:
            print(rack_table(opened, rows, now))
    return FINE


def dip(options: argparse.Namespace) -> int:
    """Log a dip, and say when it will be dry."""
    now = system_now()
    with opened_shop(options.book) as opened:
        shell = find_shell(opened, options.shell)
        forecast = opened.forecast_shell(shell, now)
        proposal = propose_dip(opened, shell, forecast)
        order = order_from(proposal, now)
        if order is None:
            raise MendableError(
                f"All {len(shell.sequence.steps)} coats of {shell.name} are on. "
                "Log an extra coat in the window, or give the shell a longer sequence."
            )
        warnings = write_warnings(forecast, opened.units)
        coat = log_dip(opened, _adjusted(opened, order, options, warnings, now), now)
        after = opened.forecast_shell(shell, now)
        for warning in warnings:
            print(f"note: {warning}", file=sys.stderr)
        print(f"Coat {after.coats_on} is on {shell.name}, {coat.step.slurry}.")
        if after.likely_at and after.safe_at:
            likely, safe = (
                write_time(t, opened.zone, now) for t in (after.likely_at, after.safe_at)
            )
            print(f"Likely dry {likely}, safe {safe}.")
    return FINE


def _adjusted(
    opened: OpenShop,
    order: DipOrder,
    options: argparse.Namespace,
    warnings: tuple[str, ...],
    now: datetime,
) -> DipOrder:
    """The proposed dip with what was given on the command line."""
    from dataclasses import replace

    step = order.step if options.stucco is None else replace(order.step, stucco=options.stucco)
    room = _room(opened, options.room) if options.room else opened.ledger.room(order.room_id)
    return replace(
        order,
        step=step,
        dipped_at=read_time(options.at, opened.zone, now) if options.at else now,
        tank=order.tank if options.tank is None else options.tank,
        room_id=room.id,
        movement=room.movement,
        note=options.note,
        reason=options.reason,
        warnings=warnings,
    )


def undo(options: argparse.Namespace) -> int:
    """Take back the last dip of a shell."""
    with opened_shop(options.book) as opened:
        shell = find_shell(opened, options.shell)
        coats = opened.ledger.coats(shell.id)
        if not coats:
            raise NothingToUndoError(f"{shell.name} has no coat to take back.")
        undo_coat(opened, coats[-1].id, system_now(), options.reason)
        print(f"Coat {len(coats)} of {shell.name} is taken back; the book keeps both entries.")
    return FINE


def read(options: argparse.Namespace) -> int:
    """Log a reading of the air."""
    from shellcoat.units import Quantity, read_quantity, write_quantity

    now = system_now()
    with opened_shop(options.book) as opened:
        room, units = _room(opened, options.room), opened.units
        temp = read_quantity(
            options.temperature,
            Quantity.TEMPERATURE,
            field="Air temperature",
            unit=units.unit_for(Quantity.TEMPERATURE),
            low=-30,
            high=70,
        )
        rh = read_quantity(
            options.humidity, Quantity.HUMIDITY, field="Humidity", unit="%", low=0, high=1
        )
        at = read_time(options.at, opened.zone, now) if options.at else now
        log_reading(opened, room.id, at, temp, rh, now)
        words = [
            write_quantity(temp, Quantity.TEMPERATURE, units),
            write_quantity(rh, Quantity.HUMIDITY, units),
        ]
        print(f"{room.name}: {', '.join(words)} at {write_time(at, opened.zone, now)}.")
    return FINE


def import_air_file(options: argparse.Namespace) -> int:
    """Import a logger's file, saying first what was understood."""
    from shellcoat.feeds.import_air import import_air
    from shellcoat.feeds.logger_shape import inspect_file
    from shellcoat.feeds.wording import describe

    shape = inspect_file(options.file)
    for sentence in describe(shape):
        print(sentence)
    if options.look:
        return FINE
    with opened_shop(options.book) as opened:
        zone = clock_of(options.zone) if options.zone else opened.zone
        report = import_air(
            opened.book,
            options.file,
            shape,
            _room(opened, options.room).id,
            zone=zone,
            who=opened.who,
            now=system_now(),
            progress=_show_progress,
            stop=lambda: False,
        )
    if sys.stderr.isatty():
        print(file=sys.stderr)
    for sentence in report.summary():
        print(sentence)
    return FINE


def _show_progress(progress: ImportProgress) -> None:
    if sys.stderr.isatty():
        print(f"\r{progress.rows:,} rows read", end="", file=sys.stderr, flush=True)


def new(options: argparse.Namespace) -> int:
    """Start a book."""
    from shellcoat.operations.demo import local_zone
    from shellcoat.operations.new_shop import NewShop, create_shop
    from shellcoat.operations.sequences import starters
    from shellcoat.shop import AirMovement

    path = create_shop(
        NewShop(
            path=options.book,
            shop_name=options.name,
            who=person(),
            zone=options.zone or local_zone().key,
            units={"system": options.units},
            room_name=options.room,
            movement=AirMovement.STILL_ROOM,
            sequences=starters(),
        ),
        system_now(),
    )
    print(f"Started {path}.")
    return FINE


def export(options: argparse.Namespace) -> int:
    """Write the whole book as JSON."""
    with open_book(options.book, read_only=True) as book:
        export_book(book, options.file)
    print(f"Exported to {options.file}.")
    return FINE


def take_in(options: argparse.Namespace) -> int:
    """Make a book from an exported document."""
    import_book(options.file, options.book)
    print(f"Imported into {options.book}.")
    return FINE


def backup(options: argparse.Namespace) -> int:
    """Copy a book."""
    with open_book(options.book, read_only=True) as book:
        made = back_up(book, options.folder or backup_folder(book.path), system_now())
    print(f"Backed up to {made}.")
    return FINE


def put_back(options: argparse.Namespace) -> int:
    """Restore a backup."""
    aside = restore(options.backup, options.book, system_now())
    print(f"Restored {options.book} from {options.backup}.")
    if aside is not None:
        print(f"What was there before is kept as {aside}.")
    return FINE


def check(options: argparse.Namespace) -> int:
    """Log a check of a shell, or check the book itself."""
    from shellcoat.cli.checks import log_found

    if log_found(options):
        return FINE
    report = check_book(options.book)
    for sentence in check_sentences(report):
        print(sentence)
    return FINE if report.sound else UNSOUND


def learned(options: argparse.Namespace) -> int:
    """Tell what the checks have taught."""
    from shellcoat.cli.checks import tell_learned

    tell_learned(options)
    return FINE


def wall(options: argparse.Namespace) -> int:
    """Tell how thick a wall is by place."""
    from shellcoat.cli.checks import tell_wall

    tell_wall(options)
    return FINE


def review(options: argparse.Namespace) -> int:
    """Tell the evidence before burnout."""
    from shellcoat.cli.reviews import tell_review

    tell_review(options)
    return FINE


def outcome(options: argparse.Namespace) -> int:
    """Log how a shell stood the pour."""
    from shellcoat.cli.outcomes import log_poured

    log_poured(options)
    return FINE


def outcomes(options: argparse.Namespace) -> int:
    """Tell how the pours went."""
    from shellcoat.cli.outcomes import tell_outcomes

    tell_outcomes(options)
    return FINE


COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "rack": rack,
    "dip": dip,
    "undo": undo,
    "read": read,
    "import-air": import_air_file,
    "new": new,
    "export": export,
    "import": take_in,
    "backup": backup,
    "restore": put_back,
    "check": check,
    "learned": learned,
    "wall": wall,
    "outcome": outcome,
    "outcomes": outcomes,
    "review": review,
}
