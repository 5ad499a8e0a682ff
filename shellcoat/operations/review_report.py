"""The evidence in words: for the page, for paper, for a terminal, and as data."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from shellcoat.forecast.answers import CoatAnswer
from shellcoat.operations.cautions import cautions_text
from shellcoat.operations.open_shop import unit_preferences
from shellcoat.operations.plain_data import plain
from shellcoat.operations.review_frozen import CoatLine, ReportLine, ReviewReport
from shellcoat.operations.review_record import entries_about
from shellcoat.operations.review_wording import FindingWriter
from shellcoat.operations.wording import write_dated
from shellcoat.review.all_checks import review_checks, tally
from shellcoat.review.case import ReviewCase
from shellcoat.review.finding import Figure, Measure, ReviewCheck, Verdict
from shellcoat.review.values import review_values
from shellcoat.shop import Coat, Shell, Shop
from shellcoat.units import Quantity, write_duration

if TYPE_CHECKING:
    from shellcoat.operations.review import ReviewInput

NOTHING_SAYS = "Nothing here says that a shell will hold: it is evidence, and a person decides."

MARKS = {Verdict.FINE: "fine", Verdict.LOOK: "LOOK", Verdict.STOP: "STOP"}


def write_report(shop: Shop, case: ReviewCase, given: ReviewInput) -> ReviewReport:
    """Look at everything and write down what was found."""
    checks = review_checks(case, review_values())
    writer = FindingWriter(unit_preferences(shop), shop.clock, given.decimal_mark, given.translate)
    shell = case.shell
    return ReviewReport(
        shop=shop.name,
        label=shell.label,
        name=shell.name,
        about=", ".join(_about(shell)),
        tally=write_tally(checks, writer),
        made_at=given.now,
        made=write_dated(given.now, shop.clock),
        head=given.head,
        book_entries=len(given.ledger.entries),
        shell_entries=sum(1 for _ in entries_about(given.ledger, shell.id, given.now)),
        lines=tuple(_line(check, writer) for check in checks),
        coats=tuple(_coat_lines(case, writer)),
        cautions=cautions_text(),
        length_unit=writer.units.unit_for(Quantity.THICKNESS),
        zone=shop.zone,
        decimal_mark=given.decimal_mark,
    )


def _about(shell: Shell) -> Iterator[str]:
    yield shell.sequence.name
    if shell.metal:
        yield shell.metal
    if shell.rack_place:
        yield shell.rack_place


def write_tally(checks: tuple[ReviewCheck, ...], writer: FindingWriter) -> str:
    """How many checks say what: "2 stop, 5 look, 11 fine"."""
    counted = tally(checks)
    order = (Verdict.STOP, Verdict.LOOK, Verdict.FINE)
    return ", ".join(f"{counted[each]}\u00a0{writer.verdict(each)}" for each in order)


def _line(check: ReviewCheck, writer: FindingWriter) -> ReportLine:
    return ReportLine(
        kind=check.kind.name.casefold(),
        title=writer.title(check),
        verdict=check.verdict,
        said=writer.verdict(check.verdict),
        seen=writer.sentences(check.seen),
        would_change=writer.sentences(check.would_change),
        records=check.records,
    )


def _coat_lines(case: ReviewCase, writer: FindingWriter) -> Iterator[CoatLine]:
    before: tuple[Coat, CoatAnswer] | None = None
    for coat, answer in case.dried:
        step = coat.step
        yield CoatLine(
            number=str(answer.number),
            dipped=write_dated(coat.dipped_at, writer.zone),
            coat=f"{step.slurry}, {step.stucco}" if step.stucco else step.slurry,
            waited=_span(coat.dipped_at - before[0].dipped_at) if before else "",
            safe_after=_safe_after(before) if before else "",
            left=writer.figure(Figure(answer.left_before.likely, Measure.SHARE)) if before else "",
            early=answer.dipped_early,
        )
        before = coat, answer


def _safe_after(dried: tuple[Coat, CoatAnswer]) -> str:
    coat, answer = dried
    return _span(answer.safe_at - coat.dipped_at) if answer.safe_at else "–"


def _span(span: timedelta) -> str:
    return write_duration(span.total_seconds())


def review_text(report: ReviewReport) -> str:
    """The report for a terminal."""
    head = f"{report.label} {report.name} ({report.about}), evidence of {report.made}"
    lines = [head, f"{report.tally}. {NOTHING_SAYS}", ""]
    for line in report.lines:
        lines.append(f"[{MARKS[line.verdict]}] {line.title}")
        lines += [f"       {each}" for each in line.seen]
        if line.verdict is not Verdict.FINE:
            lines += [f"       → {each}" for each in line.would_change]
    lines += ["", f"Book {report.head}, {report.shell_entries} entries about this shell."]
    return "\n".join([*lines, "", report.cautions])


def review_json(report: ReviewReport) -> dict[str, Any]:
    """The report as plain data."""
    told: dict[str, Any] = plain(report)
    return told


def summary_line(report: ReviewReport) -> str:
    """One shell in one line, for a batch."""
    stops = [line.title for line in report.lines if line.verdict is Verdict.STOP]
    named = f" – {'; '.join(stops)}" if stops else ""
    return f"{report.label} {report.name}: {report.tally}{named}"
