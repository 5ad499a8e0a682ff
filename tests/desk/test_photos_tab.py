"""The Photos tab: a file or a drag becomes a photo in the book, and what cannot is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl, qVersion
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_photos import a_photo_file, keep_a_photo
from small_shop import NOW, SetClock, an_id

from shellcoat.book import open_book
from shellcoat.desk.dialogs.reason_dialog import ReasonDialog
from shellcoat.desk.photos.dialog import PhotoDialog
from shellcoat.desk.photos.viewer import PhotoViewer
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.page import ShellPage
from shellcoat.desk.theme import Theme
from shellcoat.operations.open_shop import OpenShop
from shellcoat.shop import Shell

COPY = Qt.DropAction.CopyAction
QT_VERSION = tuple(int(part) for part in qVersion().split("."))
WHERE = QPointF(60, 60) if QT_VERSION >= (6, 12) else QPoint(60, 60)


@pytest.fixture
def page(qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell) -> ShellPage:
    made = ShellPage(session, theme)
    qtbot.addWidget(made)
    made.resize(1200, 700)
    made.show()
    made.plots.setCurrentWidget(made.photos)
    qtbot.waitExposed(made)
    qtbot.waitUntil(lambda: not session.runner.busy)
    return made


def asked(qtbot: QtBot, page: ShellPage) -> PhotoDialog:
    dialog = page.photos.dialog
    assert isinstance(dialog, PhotoDialog)
    qtbot.waitUntil(lambda: not page.session.runner.busy)
    return dialog


def drag(page: ShellPage, *paths: Path) -> bool:
    """Drag files onto the page and let go where they are taken."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(WHERE, COPY, mime, left, none)
    enter.ignore()
    page.dragEnterEvent(enter)
    if enter.isAccepted():
        page.dropEvent(QDropEvent(QPointF(60, 60), COPY, mime, left, none))
    return enter.isAccepted()


def test_a_photo_dragged_onto_the_page_is_kept_with_its_words(
    qtbot: QtBot, page: ShellPage, opened: OpenShop, heron: Shell, tmp_path: Path
) -> None:
    page.plots.setCurrentIndex(0)
    assert drag(page, a_photo_file(tmp_path / "neck.JPG"))
    assert page.plots.currentWidget() is page.photos
    dialog = asked(qtbot, page)
    dialog.caption.set_value("hair crack at the neck")
    dialog.about.set_value(an_id(("coat", 2)))
    qtbot.mouseClick(dialog.save_button, Qt.MouseButton.LeftButton)
    (photo,) = opened.ledger.photos(heron.id)
    assert (photo.caption, photo.about) == ("hair crack at the neck", an_id(("coat", 2)))
    assert photo.taken_at == NOW
    assert page.photos.strip.count() == 1
    item = page.photos.strip.item(0)
    assert "coat 3" in item.toolTip()
    assert "hair crack" in item.data(Qt.ItemDataRole.AccessibleTextRole)
    assert not item.icon().isNull()


def test_only_one_file_that_may_be_a_photo_is_taken(page: ShellPage, tmp_path: Path) -> None:
    photo = a_photo_file(tmp_path / "a.png")
    text = tmp_path / "log.csv"
    text.write_text("time;temp")
    assert not drag(page, text)
    assert not drag(page, photo, a_photo_file(tmp_path / "b.png"))
    assert page.photos.dialog is None


def test_the_button_asks_for_a_file_and_remembers_the_folder(
    qtbot: QtBot,
    page: ShellPage,
    opened: OpenShop,
    heron: Shell,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    began_in = []

    def choose(_parent: object, _title: str, folder: str, _kinds: str) -> tuple[str, str]:
        began_in.append(folder)
        return str(a_photo_file(tmp_path / "a.png")), ""

    monkeypatch.setattr(QFileDialog, "getOpenFileName", choose)
    for _ in range(2):
        qtbot.mouseClick(page.photos.add_button, Qt.MouseButton.LeftButton)
        asked(qtbot, page).save()
    assert began_in[1] == str(tmp_path)
    assert len(opened.ledger.photos(heron.id)) == 2


@pytest.mark.parametrize(
    ("content", "named"),
    [(b"GIF89a.....", "neither a JPEG nor a PNG"), (b"\xff\xd8\xff\xe0 half", "only half there")],
)
def test_a_file_that_is_no_photo_is_told_and_cannot_be_kept(
    qtbot: QtBot, page: ShellPage, opened: OpenShop, tmp_path: Path, content: bytes, named: str
) -> None:
    bad = tmp_path / "a.jpg"
    bad.write_bytes(content)
    before = len(opened.ledger.entries)
    page.photos.add(bad)
    dialog = asked(qtbot, page)
    assert named in dialog.fault.text()
    assert not dialog.save_button.isEnabled()
    dialog.save()
    assert len(opened.ledger.entries) == before


def test_a_second_press_keeps_no_second_photo(
    qtbot: QtBot, page: ShellPage, opened: OpenShop, heron: Shell, tmp_path: Path
) -> None:
    page.photos.add(a_photo_file(tmp_path / "a.png"))
    dialog = asked(qtbot, page)
    dialog.save()
    dialog.save()
    assert len(opened.ledger.photos(heron.id)) == 1


def test_a_time_to_come_is_told_at_its_field(
    qtbot: QtBot, page: ShellPage, opened: OpenShop, heron: Shell, tmp_path: Path
) -> None:
    page.photos.add(a_photo_file(tmp_path / "a.png"))
    dialog = asked(qtbot, page)
    dialog.time.set_value(NOW.replace(year=2027))
    dialog.save()
    assert "has not come yet" in dialog.time.message
    assert opened.ledger.photos(heron.id) == ()


def test_words_are_corrected_and_the_picture_stays(
    qtbot: QtBot, page: ShellPage, opened: OpenShop, heron: Shell
) -> None:
    photo = keep_a_photo(opened, heron)
    qtbot.mouseClick(page.photos.correct_button, Qt.MouseButton.LeftButton)
    dialog = asked(qtbot, page)
    assert dialog.caption.value() == "the wax"
    dialog.caption.set_value("the wax, spruced")
    dialog.save()
    (corrected,) = opened.ledger.photos(heron.id)
    assert corrected.caption == "the wax, spruced"
    assert corrected.digests == photo.digests
    assert page.photos.strip.item(0).text() == "the wax, spruced"


def test_a_photo_is_taken_back_only_with_a_reason(
    qtbot: QtBot, page: ShellPage, opened: OpenShop, heron: Shell
) -> None:
    photo = keep_a_photo(opened, heron)
    page.photos.take_back()
    dialog = page.photos.dialog
    assert isinstance(dialog, ReasonDialog)
    dialog.confirm()
    assert opened.ledger.photos(heron.id) == (photo,)
    dialog.reason.set_value("wrong shell")
    dialog.confirm()
    assert opened.ledger.photos(heron.id) == ()
    assert page.photos.empty.isVisible()
    assert not page.photos.look_button.isEnabled()


def test_arrow_keys_turn_through_the_photos(
    qtbot: QtBot, page: ShellPage, session: DeskSession, opened: OpenShop, heron: Shell
) -> None:
    photos = [keep_a_photo(opened, heron, caption) for caption in ("first", "second")]
    viewer = shown(qtbot, PhotoViewer(session, heron, photos, 0))
    viewer.activateWindow()
    qtbot.waitUntil(viewer.isActiveWindow)
    assert "first" in viewer.words.text()
    assert not viewer.picture.pixmap().isNull()
    assert not viewer.before_button.isEnabled()
    qtbot.keyClick(viewer, Qt.Key.Key_Right)
    assert "second" in viewer.picture.accessibleName()
    qtbot.keyClick(viewer, Qt.Key.Key_Right)
    assert viewer.number == 1
    qtbot.keyClick(viewer, Qt.Key.Key_Left)
    assert viewer.number == 0


def test_enter_on_a_thumbnail_shows_it_large(
    qtbot: QtBot, page: ShellPage, opened: OpenShop, heron: Shell
) -> None:
    keep_a_photo(opened, heron)
    page.photos.strip.setFocus()
    qtbot.keyClick(page.photos.strip, Qt.Key.Key_Return)
    assert isinstance(page.photos.dialog, PhotoViewer)
    page.photos.dialog.accept()


def test_a_book_open_to_read_only_takes_no_photo(
    qtbot: QtBot, opened: OpenShop, clock: SetClock, theme: Theme, heron: Shell, tmp_path: Path
) -> None:
    keep_a_photo(opened, heron)
    with open_book(opened.book.path, read_only=True) as book:
        session = DeskSession(OpenShop(book, who="Ben"), now=clock)
        page = ShellPage(session, theme)
        qtbot.addWidget(page)
        page.show()
        assert page.photos.strip.count() == 0  # thumbnails wait until they are looked at
        page.plots.setCurrentWidget(page.photos)
        assert page.photos.strip.count() == 1
        assert not page.photos.add_button.isEnabled()
        assert page.photos.look_button.isEnabled()
        assert not drag(page, a_photo_file(tmp_path / "a.png"))
        qtbot.waitUntil(lambda: not session.runner.busy)
        session.close()
