"""The review on paper as rich text: what stands on the page, before it is cut into pages."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from string import Template

from shellcoat.desk.review.words import translate
from shellcoat.operations.review_frozen import CoatLine, Evidence, ReportLine, ReviewReport
from shellcoat.operations.review_report import NOTHING_SAYS
from shellcoat.review.finding import Verdict


@dataclass(frozen=True, slots=True)
class PaperHead:
    """What was decided and whether it still holds, in words; the reprint adds the last alone."""

    decision: str
    note: str = ""
    standing: str = ""
    out_of_date: bool = False


@dataclass(frozen=True, slots=True)
class PictureSizes:
    """How large pictures and marks are set, in tenths of a point."""

    section: tuple[int, int]
    plot: tuple[int, int]
    mark: int


_PAGE = Template("""<html><head><style>
body, td, th { font-size: ${size}px; color: #000000; }
h1 { font-size: ${large}px; margin: 0; }
h2 { font-size: ${medium}px; margin-top: 50px; margin-bottom: 15px; }
p { margin-top: 10px; margin-bottom: 15px; }
.small { font-size: ${small}px; }
</style></head><body>
<table width="100%" cellspacing="0" cellpadding="0"><tr><td>
<h1>$title</h1><p>$about</p></td>
<td align="right"><p><b>$shop</b><br/>$made</p></td></tr></table>
$decision
<p><b>$tally.</b> $nothing_says</p>
<table width="100%" cellspacing="0" cellpadding="12">$lines</table>
<h2 style="page-break-before: always">$coats_title</h2>
<table width="100%" cellspacing="0" cellpadding="6">$coats</table>
$pictures
<h2>$cautions_title</h2>
$cautions
<p class="small">$hash</p>
</body></html>""")


def paper_html(evidence: Evidence, head: PaperHead, sizes: PictureSizes, letter: int) -> str:
    """The whole review in letters of this size, all lengths in tenths of a point.

    Qt takes sizes in points for the screen's and whole pixels only: a tenth of a point a pixel
    makes the paper the same whatever the screen.
    """
    report = evidence.report
    return _PAGE.substitute(
        size=letter,
        small=round(0.9 * letter),
        medium=round(1.15 * letter),
        large=round(1.7 * letter),
        title=escape(f"{report.label} {report.name}"),
        about=escape(report.about),
        shop=escape(report.shop),
        made=escape(translate("Evidence of {made}").format(made=report.made)),
        decision=_decision(head),
        tally=escape(report.tally),
        nothing_says=escape(translate(NOTHING_SAYS)),
        lines="".join(_line(line, sizes.mark) for line in report.lines),
        coats_title=escape(translate("Coats")),
        coats=_coats(report.coats),
        pictures=_pictures(sizes),
        cautions_title=escape(translate("Cautions")),
        cautions="".join(_cautions(report.cautions)),
        hash=escape(hash_words(report)),
    )


def _decision(head: PaperHead) -> str:
    parts = [f"<b>{escape(head.decision)}</b>"]
    if head.note:
        parts.append(escape(head.note).replace("\n", "<br/>"))
    if head.standing:
        words = escape(head.standing)
        parts.append(f"<b>{words}</b>" if head.out_of_date else words)
    inside = "<br/>".join(parts)
    return (
        '<table width="100%" border="8" style="border-style: solid; border-color: #000000" '
        f'cellspacing="0" cellpadding="40"><tr><td>{inside}</td></tr></table>'
    )


def _line(line: ReportLine, mark: int) -> str:
    seen = " ".join(escape(each) for each in line.seen)
    change = ""
    if line.verdict is not Verdict.FINE:
        words = " ".join(escape(each) for each in line.would_change)
        change = f" <i>→ {words}</i>"
    said = escape(line.said.upper() if line.verdict is not Verdict.FINE else line.said)
    return (
        f'<tr><td width="3%"><img src="{line.verdict.value}" width="{mark}" height="{mark}"/></td>'
        f'<td width="7%"><b>{said}</b></td>'
        f'<td width="19%"><b>{escape(line.title)}</b></td><td>{seen}{change}</td></tr>'
    )


_COAT_COLUMNS = (
    ("Coat", 5),
    ("Dipped", 22),
    ("Slurry, stucco", 37),
    ("After", 14),
    ("Safe after", 11),
    ("Water left", 11),
)


def _coats(coats: tuple[CoatLine, ...]) -> str:
    head = "".join(
        f'<th align="left" width="{width}%">{escape(translate(title))}</th>'
        for title, width in _COAT_COLUMNS
    )
    return f"<tr>{head}</tr>" + "".join(_coat(coat) for coat in coats)


def _coat(coat: CoatLine) -> str:
    early = " " + translate("early") if coat.early else ""
    cells = (
        coat.number,
        coat.dipped,
        coat.coat,
        coat.waited + early,
        coat.safe_after,
        coat.left,
    )
    return "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in cells) + "</tr>"


def _pictures(sizes: PictureSizes) -> str:
    wide, high = sizes.section
    plot_wide, plot_high = sizes.plot
    plots = "".join(
        f'<td><img src="{name}" width="{plot_wide}" height="{plot_high}"/></td>'
        for name in ("growth", "drying")
    )
    return (
        f'<p><img src="section" width="{wide}" height="{high}"/></p>'
        f'<table cellspacing="0" cellpadding="0"><tr>{plots}</tr></table>'
    )


def _cautions(text: str) -> Iterator[str]:
    for paragraph in text.split("\n\n"):
        yield f'<p class="small">{escape(paragraph)}</p>'


def hash_words(report: ReviewReport) -> str:
    """From which state of the book the evidence was read."""
    return translate(
        "Read from the book of {entries} entries, {own} about this shell, whose hash is {head}."
    ).format(entries=report.book_entries, own=report.shell_entries, head=report.head)
