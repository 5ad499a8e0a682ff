"""Records behind a finding, each in a line: what, when, and by whom it was logged."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from shellcoat.operations.check_wording import CheckWriter, write_check
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.review_wording import question_text
from shellcoat.operations.wording import write_dated
from shellcoat.shop import (
    Coat,
    CoreCare,
    Defect,
    Entry,
    MeltPlan,
    Record,
    ReviewAnswer,
    Shell,
    ShellCheck,
)


def record_lines(opened: OpenShop, records: Iterable[UUID]) -> list[str]:
    """A line for each record as it stands; one that was taken back says so."""
    return [_line(opened, record_id) for record_id in records]


def _line(opened: OpenShop, record_id: UUID) -> str:
    ledger = opened.ledger
    entry = ledger.live.get(record_id)
    if entry is not None:
        return f"{_told(opened, entry)} {_by(opened, entry)}"
    history = ledger.history(record_id)
    if not history:
        return "A record that is not in this book."
    return f"Taken back since {_by(opened, history[-1])}"


def _by(opened: OpenShop, entry: Entry) -> str:
    verb = "Corrected" if entry.replaces else "Logged"
    return f"{verb} by {entry.who}, {write_dated(entry.recorded_at, opened.zone)}."


def _told(opened: OpenShop, entry: Entry) -> str:
    record = entry.record
    match record:
        case Shell():
            return f"Shell {record.label} {record.name}."
        case Coat():
            return _coat(opened, record)
        case ReviewAnswer():
            return f"{question_text(record.question)} {record.answer.value}."
        case MeltPlan():
            return "How the metal is melted."
        case _:
            return _timed(opened, record)


def _coat(opened: OpenShop, coat: Coat) -> str:
    numbers = [own.id for own in opened.ledger.coats(coat.shell_id)]
    at = write_dated(coat.dipped_at, opened.zone)
    return f"Coat {numbers.index(coat.id) + 1}, {coat.step.slurry}, {at}."


def _timed(opened: OpenShop, record: Record) -> str:
    if isinstance(record, ShellCheck):
        shell = opened.ledger.shell(record.shell_id)
        at = write_dated(record.at, opened.zone)
        return f"{at}: {write_check(record, shell, CheckWriter(opened.units))}"
    if isinstance(record, CoreCare):
        return f"{write_dated(record.at, opened.zone)}: core, {record.kind.value}."
    if isinstance(record, Defect):
        return f"{write_dated(record.at, opened.zone)}: {record.kind.value}, {record.where}."
    return ""
