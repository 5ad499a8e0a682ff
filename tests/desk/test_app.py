"""One window on one book, and the same program on the next one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, QTimer
from PySide6.QtWidgets import QApplication, QMessageBox
from pytestqt.qtbot import QtBot
from small_shop import NOW

from shellcoat.book import create_book
from shellcoat.desk import app as app_module
from shellcoat.desk.app import Desk
from shellcoat.operations.open_shop import OpenShop


@pytest.fixture
def desk(qtbot: QtBot, qapp: QApplication, opened: OpenShop, tmp_path: Path) -> Iterator[Desk]:
    """A desk with a window on a copy of the small shop, quitting as the program does."""
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    copy = tmp_path / "copy.shellbook"
    create_book(copy, list(opened.ledger.entries.values()), now=NOW).close()
    desk = Desk(qapp)
    assert desk.open(copy)
    yield desk
    if desk.window is not None:
        desk._close_window()


def test_reopening_the_book_does_not_end_the_program(
    qtbot: QtBot, qapp: QApplication, desk: Desk
) -> None:
    first = desk.window
    assert first is not None
    path = first.session.opened.book.path
    done: list[Path] = []
    quits: list[bool] = []
    qapp.lastWindowClosed.connect(lambda: quits.append(app_module.may_quit(desk)))
    QTimer.singleShot(0, lambda: first.close_then(done.append))
    qtbot.waitUntil(lambda: desk.window is not None and desk.window is not first)
    assert done == [path]
    assert not any(quits)
    assert desk.window is not None
    assert desk.window.isVisible()


def test_the_same_book_again_is_opened_again(qtbot: QtBot, desk: Desk) -> None:
    first = desk.window
    assert first is not None
    first.reopen(first.session.opened.book.path)
    assert desk.window is not None
    assert desk.window is not first


def test_a_file_that_is_no_book_leaves_the_window_as_it_was(
    qtbot: QtBot, desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    monkeypatch.setattr(QMessageBox, "warning", lambda *words: said.append(words[2]))
    wrong = tmp_path / "letter.shellbook"
    wrong.write_text("Dear founder, " * 200)
    before = desk.window
    assert before is not None
    before.reopen(wrong)
    assert desk.window is before
    assert before.isVisible()
    assert "letter.shellbook" in said[0]
