"""The review before burnout, on a terminal, as data, or on paper."""

from __future__ import annotations

import argparse
import json
import os
import sys
from pathlib import Path

from shellcoat.cli.opened import opened_shop, system_now
from shellcoat.operations.review import make_review, review_input
from shellcoat.operations.review_frozen import Evidence
from shellcoat.operations.review_report import review_json, review_text
from shellcoat.operations.shells import find_shell


def tell_review(options: argparse.Namespace) -> None:
    """Print the evidence about one shell, and write it as a PDF where one is wanted."""
    now = system_now()
    with opened_shop(options.book, read_only=True) as opened:
        shell = find_shell(opened, options.shell)
        evidence = make_review(opened, review_input(opened, shell, now))
    if options.json:
        print(json.dumps(review_json(evidence.report), indent=2, ensure_ascii=False))
    else:
        print(review_text(evidence.report))
    if options.pdf is not None:
        _write_pdf(options.pdf, evidence)
        print(f"Written to {options.pdf}.", file=sys.stderr)


def _write_pdf(path: Path, evidence: Evidence) -> None:
    """Only paper wants Qt; it is loaded here, and needs no display."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from shellcoat.desk.app import make_application
    from shellcoat.desk.review.pdf import save_unsigned

    application = make_application()  # stays for as long as anything is drawn
    save_unsigned(path, evidence)
    application.quit()
