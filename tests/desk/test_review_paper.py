"""The review on paper: pages, words that can be searched, marks that survive grey, reprints."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QSizeF, Qt
from PySide6.QtGui import QImage
from small_shop import NOW
from through import put_through

from shellcoat.desk.review.paper_pictures import (
    drying_image,
    growth_image,
    section_image,
    verdict_image,
)
from shellcoat.desk.review.paper_text import PaperHead, hash_words
from shellcoat.desk.review.pdf import PdfNotWrittenError, paper, save_signed, save_unsigned
from shellcoat.desk.theme import Theme
from shellcoat.operations.dips import correct_coat
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.review import (
    Signature,
    make_review,
    review_input,
    review_state,
    sign_review,
)
from shellcoat.operations.review_answers import answer_question
from shellcoat.operations.review_frozen import Evidence
from shellcoat.review.finding import Verdict
from shellcoat.shop import Decision, LookAnswer, Review, ReviewQuestion, Shell

SIZE = QSizeF(300.0, 150.0)


def tool(name: str) -> str:
    """A program of poppler-utils; only CI must have it."""
    found = shutil.which(name)
    if found is None:
        if os.environ.get("CI"):
            pytest.fail(f"{name} is missing: install poppler-utils")
        pytest.skip(f"{name} is not installed")
    return found


def run(*command: str | Path) -> str:
    done = subprocess.run(
        [str(part) for part in command], capture_output=True, check=True, timeout=60
    )
    return done.stdout.decode()


def text_of(path: Path) -> str:
    """The words of a PDF as a search finds them: on one line, with plain spaces."""
    return " ".join(run(tool("pdftotext"), "-layout", path, "-").replace("\u00a0", " ").split())


def flat(path: Path) -> str:
    """The words in the order they were written, whatever column they stand in."""
    return " ".join(run(tool("pdftotext"), "-raw", path, "-").replace("\u00a0", " ").split())


def pages_of(path: Path) -> int:
    facts = run(tool("pdfinfo"), path)
    return int(next(line.split()[1] for line in facts.splitlines() if line.startswith("Pages")))


@pytest.fixture
def egret(opened: OpenShop, theme: Theme) -> Shell:
    return put_through(opened)


def evidence_of(opened: OpenShop, shell: Shell) -> Evidence:
    return make_review(opened, review_input(opened, shell, NOW))


@pytest.fixture
def evidence(opened: OpenShop, egret: Shell) -> Evidence:
    return evidence_of(opened, egret)


def sign(opened: OpenShop, evidence: Evidence, note: str = "") -> Review:
    burn = Signature(decision=Decision.BURN_OUT, name="R. Vale", note=note)
    return sign_review(opened, evidence, burn, NOW)


def test_every_word_of_the_evidence_is_on_paper(tmp_path: Path, evidence: Evidence) -> None:
    path = save_unsigned(tmp_path / "egret.pdf", evidence)
    told = flat(path)
    report = evidence.report
    for line in report.lines:
        said = line.said if line.verdict is Verdict.FINE else line.said.upper()
        assert f"{said} {line.title}" in told
        for sentence in line.seen:
            assert " ".join(sentence.replace("\u00a0", " ").split()) in told
    for paragraph in report.cautions.split("\n\n"):
        assert " ".join(paragraph.split()) in told
    assert report.head in told.replace(" ", "")
    assert "Not signed: evidence only. A person decides." in told


def test_a_verdict_is_a_word_and_what_would_change_it_follows(
    tmp_path: Path, opened: OpenShop, egret: Shell
) -> None:
    answer_question(opened, egret.id, ReviewQuestion.DRAINS, LookAnswer.NO, NOW)
    told = flat(save_unsigned(tmp_path / "egret.pdf", evidence_of(opened, egret)))
    assert "STOP Drains for the wax" in told
    assert "→ Open drains at the lowest places" in told


def test_a_shell_of_three_coats_takes_two_pages(tmp_path: Path, evidence: Evidence) -> None:
    assert pages_of(save_unsigned(tmp_path / "egret.pdf", evidence)) == 2


def test_the_fullest_shell_takes_two_pages_too(tmp_path: Path, opened: OpenShop) -> None:
    """Fourteen coats, three cores, every question answered with a note: still two sheets."""
    full = put_through(opened, "Heron group, three birds", "099", cores=3, steps=14)
    for question in ReviewQuestion:
        note = "looked with a lamp and a mirror, from below and from the cup"
        answer_question(opened, full.id, question, LookAnswer.NO, NOW, note)
    path = save_unsigned(tmp_path / "full.pdf", evidence_of(opened, full))
    assert pages_of(path) == 2
    assert "hollow 3" in text_of(path)


def test_marks_differ_in_grey(theme: Theme) -> None:
    """On a grey printer a tick, a lens and a triangle stay three shapes."""
    marks = [
        verdict_image(verdict).convertToFormat(QImage.Format.Format_Grayscale8)
        for verdict in Verdict
    ]
    dark = [
        {
            (x // 4, y // 4)
            for x in range(mark.width())
            for y in range(mark.height())
            if mark.pixelColor(x, y).value() < 100
        }
        for mark in marks
    ]
    for one in range(3):
        for other in range(one):
            common, both = dark[one] & dark[other], dark[one] | dark[other]
            assert len(common) < 0.6 * len(both)


@pytest.mark.parametrize("draw", [section_image, growth_image, drying_image])
def test_pictures_are_fine_enough_for_paper_and_not_blank(
    evidence: Evidence, draw: Callable[[Evidence, QSizeF], QImage]
) -> None:
    image = draw(evidence, SIZE)
    assert image.width() / (SIZE.width() / 72.0) == pytest.approx(220, rel=0.01)
    small = image.scaled(60, 30).convertToFormat(QImage.Format.Format_Grayscale8)
    shades = {small.pixelColor(x, y).value() for x in range(60) for y in range(30)}
    assert len(shades) > 10
    assert image.pixelColor(0, 0) == Qt.GlobalColor.white


def test_a_page_is_ink_on_white_in_the_dark_too(
    tmp_path: Path, evidence: Evidence, qapp: object
) -> None:
    from shellcoat.desk.theme import apply_theme

    light = save_unsigned(tmp_path / "light.pdf", evidence)
    apply_theme(qapp, "dark")
    dark = save_unsigned(tmp_path / "dark.pdf", evidence)
    apply_theme(qapp, "light")
    for path in (light, dark):
        run(tool("pdftoppm"), "-r", "40", "-gray", "-png", path, path.with_suffix(""))
    for page in ("-1.png", "-2.png"):
        one, other = (QImage(str(tmp_path / f"{name}{page}")) for name in ("light", "dark"))
        assert not one.isNull()
        assert one == other
        assert one.pixelColor(2, 2) == Qt.GlobalColor.white


def test_a_signed_review_is_printed_again_word_by_word(
    tmp_path: Path, opened: OpenShop, egret: Shell, evidence: Evidence
) -> None:
    review = sign(opened, evidence, "core looked into with a lamp")
    first = save_signed(tmp_path / "first.pdf", review, review_state(opened, review))
    told = flat(first)
    assert "burn out – signed by R. Vale" in told
    assert "core looked into with a lamp" in told
    assert "Nothing about this shell was entered since." in told
    again = save_signed(tmp_path / "again.pdf", review, review_state(opened, review))
    assert flat(again) == told


def test_a_later_correction_marks_the_reprint_and_changes_no_finding(
    tmp_path: Path, opened: OpenShop, egret: Shell, evidence: Evidence
) -> None:
    review = sign(opened, evidence)
    before = flat(save_signed(tmp_path / "before.pdf", review, review_state(opened, review)))
    coat = opened.ledger.coats(egret.id)[0]
    correct_coat(opened, replace(coat, tank="2"), NOW, "wrong tank")
    after = flat(save_signed(tmp_path / "after.pdf", review, review_state(opened, review)))
    assert "Out of date: a coat was corrected by Ana" in after
    for line in evidence.report.lines:
        for sentence in line.seen:
            plain = " ".join(sentence.replace("\u00a0", " ").split())
            assert plain in before
            assert plain in after


def test_odd_names_and_notes_are_text_and_not_markup(tmp_path: Path, opened: OpenShop) -> None:
    shell = put_through(opened, "<b>Crane</b> & “co” {0}", "022")
    review = sign(opened, evidence_of(opened, shell), "1 < 2 & <i>so</i>\n{name}")
    told = flat(save_signed(tmp_path / "odd.pdf", review, review_state(opened, review)))
    assert "<b>Crane</b> & “co” {0}" in told
    assert "1 < 2 & <i>so</i> {name}" in told


def test_the_paper_names_the_book_it_was_read_from(evidence: Evidence) -> None:
    told = hash_words(evidence.report)
    assert evidence.report.head in told
    assert str(evidence.report.book_entries) in told


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path, evidence: Evidence) -> None:
    missing = tmp_path / "nowhere" / "egret.pdf"
    with pytest.raises(PdfNotWrittenError, match="Choose another place"):
        save_unsigned(missing, evidence)


def test_the_paper_is_a_pdf_whatever_the_screen(evidence: Evidence) -> None:
    made = paper(evidence, PaperHead("Not signed"))
    assert made.startswith(b"%PDF-")
    assert made.rstrip().endswith(b"%%EOF")
