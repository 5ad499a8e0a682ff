"""Writes the review as a PDF: two A4 pages, text that can be searched, fit for a grey printer."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QRectF, QSizeF, Qt, QUrl
from PySide6.QtGui import (
    QAbstractTextDocumentLayout,
    QFont,
    QImage,
    QPageLayout,
    QPageSize,
    QPainter,
    QPalette,
    QPdfWriter,
    QTextDocument,
)

from shellcoat.desk.review.paper_pictures import (
    MARK_PT,
    drying_image,
    growth_image,
    section_image,
    verdict_image,
)
from shellcoat.desk.review.paper_text import PaperHead, PictureSizes, paper_html
from shellcoat.desk.review.words import (
    signature_words,
    standing_words,
    translate,
    unsigned_words,
)
from shellcoat.errors import WorldError
from shellcoat.operations.review import ReviewState, Standing
from shellcoat.operations.review_frozen import Evidence, thaw
from shellcoat.review.finding import Verdict
from shellcoat.shop import Review
from shellcoat.shop.shop import clock_of

MARGIN_MM = 13.0
FOOT_PT = 14.0
TENTHS = 10
LETTERS = (88, 84, 80, 76, 72, 68, 64)
"""Sizes [0.1 pt] tried until everything stands on two pages; the last is still read by eye."""

FOOT_LETTER = 70
MOST_PAGES = 2
RESOLUTION = 1200
SECTION_SHARE, PLOT_SHARE = 0.30, 0.56


class PdfNotWrittenError(WorldError):
    """A report that could not be kept where it was wanted."""

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"{path}: the report could not be written ({why}). Choose another place.")


def save_unsigned(path: Path, evidence: Evidence) -> Path:
    """Write evidence nobody has signed."""
    return _save(path, evidence, PaperHead(unsigned_words()))


def save_signed(path: Path, review: Review, state: ReviewState) -> Path:
    """Print a signed review again as it was signed, and say whether it still holds."""
    evidence = thaw(review.findings)
    head = PaperHead(
        decision=signature_words(review, clock_of(evidence.report.zone)),
        note=review.note,
        standing=standing_words(state),
        out_of_date=state.standing is Standing.OUT_OF_DATE,
    )
    return _save(path, evidence, head)


def _save(path: Path, evidence: Evidence, head: PaperHead) -> Path:
    made = paper(evidence, head)
    try:
        path.write_bytes(made)
    except OSError as error:
        raise PdfNotWrittenError(path, error.strerror or str(error)) from error
    return path


def paper(evidence: Evidence, head: PaperHead) -> bytes:
    """The review as a PDF in memory."""
    kept = QByteArray()
    buffer = QBuffer(kept)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = _writer(buffer, evidence)
    area = QRectF(writer.pageLayout().paintRect(QPageLayout.Unit.Point))
    body = QSizeF(area.width(), area.height() - FOOT_PT)
    document = _fitted(evidence, head, body)
    painter = QPainter(writer)
    scale = RESOLUTION / 72.0
    painter.scale(scale, scale)
    pages = document.pageCount()
    for page in range(pages):
        if page:
            writer.newPage()
        _paint_page(painter, document, page, body)
        _paint_foot(painter, evidence, f"{page + 1}/{pages}", body)
    painter.end()
    buffer.close()
    return bytes(kept.data())


def _writer(buffer: QBuffer, evidence: Evidence) -> QPdfWriter:
    writer = QPdfWriter(buffer)
    writer.setResolution(RESOLUTION)
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    margins = QMarginsF(MARGIN_MM, MARGIN_MM, MARGIN_MM, MARGIN_MM)
    writer.setPageMargins(margins, QPageLayout.Unit.Millimeter)
    writer.setTitle(f"{evidence.report.label} {evidence.report.name}")
    writer.setCreator("shellcoat")
    return writer


def _fitted(evidence: Evidence, head: PaperHead, body_pt: QSizeF) -> QTextDocument:
    """The largest letters with which two pages are enough; else the smallest.

    The document is measured in tenths of a point.
    """
    sizes = _sizes(body_pt)
    document = QTextDocument()
    document.setDocumentMargin(0.0)
    for name, image in _images(evidence, body_pt).items():
        document.addResource(QTextDocument.ResourceType.ImageResource, QUrl(name), image)
    for letter in LETTERS:
        document.setDefaultFont(_plain_font(letter))
        document.setHtml(paper_html(evidence, head, sizes, letter))
        document.setPageSize(body_pt * TENTHS)
        if document.pageCount() <= MOST_PAGES:
            break
    return document


def _plain_font(letter: int) -> QFont:
    """A font without joined letters: a search for "fine" would not find them."""
    font = QFont()
    font.setPixelSize(letter)
    for joined in ("liga", "clig"):
        font.setFeature(QFont.Tag.fromString(joined), 0)
    return font


def _section_pt(body_pt: QSizeF) -> QSizeF:
    return QSizeF(body_pt.width(), SECTION_SHARE * body_pt.width())


def _plot_pt(body_pt: QSizeF) -> QSizeF:
    half = 0.495 * body_pt.width()
    return QSizeF(half, PLOT_SHARE * half)


def _sizes(body_pt: QSizeF) -> PictureSizes:
    section, plot = (
        (round(TENTHS * size.width()), round(TENTHS * size.height()))
        for size in (_section_pt(body_pt), _plot_pt(body_pt))
    )
    return PictureSizes(section, plot, round(TENTHS * MARK_PT))


def _images(evidence: Evidence, body_pt: QSizeF) -> dict[str, QImage]:
    marks = {verdict.value: verdict_image(verdict) for verdict in Verdict}
    return marks | {
        "section": section_image(evidence, _section_pt(body_pt)),
        "growth": growth_image(evidence, _plot_pt(body_pt)),
        "drying": drying_image(evidence, _plot_pt(body_pt)),
    }


def _paint_page(painter: QPainter, document: QTextDocument, page: int, body_pt: QSizeF) -> None:
    painter.save()
    painter.scale(1.0 / TENTHS, 1.0 / TENTHS)
    high = TENTHS * body_pt.height()
    painter.translate(0.0, -page * high)
    context = QAbstractTextDocumentLayout.PaintContext()
    context.clip = QRectF(0.0, page * high, TENTHS * body_pt.width(), high)
    # Black, whatever colours the program wears.
    context.palette.setColor(QPalette.ColorRole.Text, Qt.GlobalColor.black)
    painter.setClipRect(context.clip)
    document.documentLayout().draw(painter, context)
    painter.restore()


def _paint_foot(painter: QPainter, evidence: Evidence, page: str, body_pt: QSizeF) -> None:
    """Which shell, which state of the book, and which page, on every page."""
    report = evidence.report
    words = translate("{shell} · evidence of {made} · book {head} · page {page}").format(
        shell=f"{report.label} {report.name}"[:40],
        made=report.made,
        head=report.head[:16],
        page=page,
    )
    painter.save()
    painter.scale(1.0 / TENTHS, 1.0 / TENTHS)
    painter.setFont(_plain_font(FOOT_LETTER))
    painter.setPen(Qt.GlobalColor.black)
    foot = QRectF(0.0, body_pt.height(), body_pt.width(), FOOT_PT)
    box = QRectF(foot.topLeft() * TENTHS, foot.size() * TENTHS)
    painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom, words)
    painter.restore()
