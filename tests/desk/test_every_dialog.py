"""What holds for every dialog: names for all controls, keys, room on a small screen, reading."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAccessible, QColor
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QProgressBar,
    QPushButton,
    QWidget,
)
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_photos import keep_a_photo, keep_an_outcome
from small_shop import NOW, ROOM, SetClock

from shellcoat.book import open_book
from shellcoat.book.backup import back_up, backup_folder
from shellcoat.desk.alert_bridge import AlertBridge
from shellcoat.desk.alerts.panel import AlertPanel
from shellcoat.desk.alerts.trial_dialog import TrialDialog
from shellcoat.desk.alerts.until_dialog import UntilDialog
from shellcoat.desk.alerts.ways_dialog import AlertWaysDialog
from shellcoat.desk.dialogs.backup_dialog import BackupDialog
from shellcoat.desk.dialogs.check_dialog import CheckDialog
from shellcoat.desk.dialogs.coat_dialog import CoatDialog
from shellcoat.desk.dialogs.film_tests_dialog import FilmTestDialog, FilmTestsDialog
from shellcoat.desk.dialogs.form import FormDialog, SessionDialog
from shellcoat.desk.dialogs.lettering import breakable, shortened
from shellcoat.desk.dialogs.new_book_dialog import NewBookDialog
from shellcoat.desk.dialogs.sequence_dialog import SequenceDialog
from shellcoat.desk.dialogs.shell_check_dialog import ShellCheckDialog
from shellcoat.desk.dialogs.shell_check_forms import CheckKind
from shellcoat.desk.dialogs.shell_dialog import ShellDialog
from shellcoat.desk.dialogs.shop_dialog import ShopDialog
from shellcoat.desk.labels.dialog import LabelsDialog
from shellcoat.desk.outcomes.dialog import OutcomeDialog
from shellcoat.desk.outcomes.overview import OutcomesDialog
from shellcoat.desk.photos.dialog import PhotoDialog
from shellcoat.desk.photos.viewer import PhotoViewer
from shellcoat.desk.review.defect_dialog import DefectDialog
from shellcoat.desk.review.gatherer import desk_input
from shellcoat.desk.review.records_dialog import RecordsDialog
from shellcoat.desk.review.sign_dialog import SignDialog
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import DARK, Theme, apply_theme
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.review import make_review
from shellcoat.operations.review_frozen import Evidence
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import (
    CaliperReading,
    Decision,
    DryCheck,
    InfraredReading,
    Photo,
    PlateTest,
    RheologyTest,
    Shell,
    StuccoGrain,
    Weighing,
)

LAPTOP = QSize(1366, 768)
"""The smallest screen of a laptop still in use."""

Maker = Callable[[DeskSession], FormDialog]


def _coat_dialog(session: DeskSession) -> CoatDialog:
    (shell,) = session.opened.ledger.shells
    return CoatDialog(session, session.opened.ledger.coats(shell.id)[0])


def _edit_dialog(session: DeskSession) -> ShellDialog:
    (shell,) = session.opened.ledger.shells
    return ShellDialog(session, shell)


def _photo(session: DeskSession) -> Photo:
    (shell,) = session.opened.ledger.shells
    photos = session.opened.ledger.photos(shell.id)
    return photos[0] if photos else keep_a_photo(session.opened, shell)


def _photo_dialog(session: DeskSession) -> PhotoDialog:
    (shell,) = session.opened.ledger.shells
    return PhotoDialog(session, shell, _photo(session))


def _photo_viewer(session: DeskSession) -> PhotoViewer:
    (shell,) = session.opened.ledger.shells
    return PhotoViewer(session, shell, [_photo(session)], 0)


def _outcome_dialog(session: DeskSession) -> OutcomeDialog:
    (shell,) = session.opened.ledger.shells
    return OutcomeDialog(session, shell)


def _outcome_correction(session: DeskSession) -> OutcomeDialog:
    (shell,) = session.opened.ledger.shells
    if not session.opened.ledger.outcomes:
        keep_an_outcome(session.opened, shell)
    return OutcomeDialog(session, shell)


def _bridge(session: DeskSession) -> AlertBridge:
    bridge = AlertBridge(session, None, session)
    session.forecast_now()
    return bridge


def _shell_check(session: DeskSession, kind: CheckKind) -> ShellCheckDialog:
    (shell,) = session.opened.ledger.shells
    return ShellCheckDialog(session, shell, kind)


def _evidence(session: DeskSession) -> Evidence:
    (shell,) = session.opened.ledger.shells
    return make_review(session.opened, desk_input(session, shell))


def _defect_dialog(session: DeskSession) -> DefectDialog:
    (shell,) = session.opened.ledger.shells
    return DefectDialog(session, shell.id)


MAKERS: dict[str, Maker] = {
    "new shell": lambda session: ShellDialog(session, None),
    "edit shell": _edit_dialog,
    "coat": _coat_dialog,
    "sequences": SequenceDialog,
    "shop": ShopDialog,
    "new book": lambda _session: NewBookDialog(None),
    "backups": BackupDialog,
    "check": CheckDialog,
    "slurry and stucco tests": FilmTestsDialog,
    "plate test": lambda session: FilmTestDialog(session, PlateTest),
    "flow test": lambda session: FilmTestDialog(session, RheologyTest),
    "stucco size": lambda session: FilmTestDialog(session, StuccoGrain),
    "touch": lambda session: _shell_check(session, DryCheck),
    "infrared": lambda session: _shell_check(session, InfraredReading),
    "weighing": lambda session: _shell_check(session, Weighing),
    "wall measured": lambda session: _shell_check(session, CaliperReading),
    "sign": lambda session: SignDialog(session, _evidence(session), Decision.BURN_OUT),
    "sign to wait": lambda session: SignDialog(session, _evidence(session), Decision.WAIT_UNTIL),
    "defect": _defect_dialog,
    "records": lambda session: RecordsDialog(session, _evidence(session).report.lines[0]),
    "labels": LabelsDialog,
    "photo": _photo_dialog,
    "photo viewer": _photo_viewer,
    "outcome": _outcome_dialog,
    "outcome corrected": _outcome_correction,
    "outcomes": OutcomesDialog,
    "alerts": lambda session: AlertPanel(session, _bridge(session)),
    "put off until": UntilDialog,
    "ways of telling": lambda session: AlertWaysDialog(session, _bridge(session)),
    "test my alerts": lambda session: TrialDialog(session, _bridge(session)),
}
CONTROLS = (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QProgressBar,
)


@pytest.fixture(params=MAKERS.values(), ids=MAKERS)
def maker(request: pytest.FixtureRequest, theme: Theme, heron: Shell) -> Maker:
    made: Maker = request.param
    return made


@pytest.fixture
def dialog(qtbot: QtBot, session: DeskSession, maker: Maker) -> FormDialog:
    return settled(qtbot, maker(session))


def settled(qtbot: QtBot, dialog: FormDialog) -> FormDialog:
    """Show a dialog, and wait for what it does in the background."""
    shown(qtbot, dialog)
    if isinstance(dialog, SessionDialog):
        session = dialog.session
        qtbot.waitUntil(lambda: not session.runner.busy)
    return dialog


def controls(dialog: FormDialog) -> Iterator[QWidget]:
    """Everything a person acts on, without the inner parts that Qt makes for itself."""
    for widget in dialog.findChildren(QWidget):
        parent = widget.parentWidget()
        own = not widget.objectName().startswith("qt_")
        inner = isinstance(parent, (QAbstractItemView, QAbstractSpinBox)) or (
            parent is not None and "PrivateContainer" in type(parent).__name__
        )
        popup = bool(widget.window() is not dialog)
        if isinstance(widget, CONTROLS) and own and not inner and not popup:
            yield widget


def test_every_control_has_a_name_for_code_and_one_for_people(dialog: FormDialog) -> None:
    found = list(controls(dialog))
    assert len(found) >= 3
    for widget in found:
        assert widget.objectName(), widget
        spoken = QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name)
        assert spoken.strip(), widget.objectName()
        assert "_" not in spoken, widget.objectName()
    names = [widget.objectName() for widget in found]
    assert len(names) == len(set(names))


def test_every_control_is_reached_by_the_keyboard(dialog: FormDialog) -> None:
    reached, widget = set(), dialog.focusWidget() or dialog
    for _ in range(400):
        if widget.isVisible() and widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
            reached.add(widget)
        widget = widget.nextInFocusChain()
    for control in controls(dialog):
        usable = control.isVisible() and control.isEnabled()
        target = control.focusProxy() or control
        editor = control.lineEdit() if isinstance(control, QComboBox) else None
        if usable and not isinstance(control, QProgressBar):
            assert target in reached or editor in reached, control.objectName()


def test_tab_goes_down_each_column_and_ends_at_the_buttons(
    qtbot: QtBot, session: DeskSession, theme: Theme
) -> None:
    dialog = shown(qtbot, ShellDialog(session, None))
    assert isinstance(dialog, ShellDialog)
    dialog.name.line.setFocus()
    order: list[str] = []
    for _ in range(20):
        name = dialog.focusWidget().objectName().replace("_control", "").replace("_line", "")
        # The parts of a time are stops of their own inside one field.
        if name not in order[-1:]:
            order.append(name)
        qtbot.keyClick(dialog.focusWidget(), Qt.Key.Key_Tab)
    piece = ["shell_name", "shell_metal", "shell_height", "shell_area", "shell_wax"]
    place = ["shell_label", "shell_room", "shell_place", "shell_started_editor", "shell_note"]
    whole = [*piece, "shell_sequence", *place, "shell_save", "shell_cancel"]
    assert order[: len(whole) + 1] == [*whole, "shell_name"]


def test_it_fits_a_laptop(dialog: FormDialog) -> None:
    hint = dialog.sizeHint()
    assert hint.width() <= LAPTOP.width() - 24
    assert hint.height() <= LAPTOP.height() - 64
    least = dialog.minimumSizeHint()
    assert least.height() <= 420  # what is taller scrolls


def test_it_is_never_taller_than_the_screen(dialog: FormDialog) -> None:
    assert dialog.height() <= dialog.screen().availableSize().height()


def test_escape_closes_and_changes_nothing(
    qtbot: QtBot, session: DeskSession, dialog: FormDialog
) -> None:
    before = len(session.opened.ledger.entries)
    qtbot.keyClick(dialog.focusWidget() or dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    assert len(session.opened.ledger.entries) == before


def test_one_button_is_the_primary_one_and_enter_presses_it(dialog: FormDialog) -> None:
    primary = [b for b in dialog.findChildren(QPushButton) if b.property("role") == "primary"]
    assert len(primary) == 1
    assert primary[0].isDefault()


def test_it_wears_the_dark_as_well(dialog: FormDialog, qapp: QApplication) -> None:
    apply_theme(qapp, "dark")
    QApplication.processEvents()
    picture = dialog.grab().toImage()
    assert picture.pixelColor(3, 3) == QColor(DARK.window)
    assert DARK.muted in dialog.styleSheet()
    apply_theme(qapp, "light")


def test_names_of_200_characters_fit(
    qtbot: QtBot, session: DeskSession, maker: Maker, heron: Shell
) -> None:
    opened = session.opened
    usual = settled(qtbot, maker(session)).sizeHint().width()
    step = replace(heron.sequence.steps[0], slurry="S" * 200, stucco="T" * 200)
    sequence = replace(heron.sequence, name="N" * 200, steps=(step,) * 9)
    edit_shell(opened, replace(heron, name="W" * 200, sequence=sequence), NOW)
    opened.amend(sequence, NOW)
    opened.amend(replace(opened.ledger.room(ROOM), name="Q" * 200), NOW)
    opened.amend(replace(opened.shop, name="H" * 200), NOW)
    for coat in opened.ledger.coats(heron.id):
        opened.amend(replace(coat, step=step, tank="K" * 200, note="L" * 200), NOW, "R" * 200)
    dialog = settled(qtbot, maker(session))
    assert dialog.sizeHint().width() <= usual + 60
    assert dialog.minimumSizeHint().width() <= usual + 60
    assert len(dialog.windowTitle()) < 100


def test_a_book_open_to_read_only_says_why_nothing_can_be_saved(
    qtbot: QtBot, opened: OpenShop, clock: SetClock, theme: Theme, heron: Shell
) -> None:
    path: Path = opened.book.path
    keep_a_photo(opened, heron)
    keep_an_outcome(opened, heron)
    back_up(opened.book, backup_folder(path), clock())
    with open_book(path, read_only=True) as book:
        session = DeskSession(OpenShop(book, who="Ben"), now=clock)
        for name, make in MAKERS.items():
            if name in (
                "new book",
                "check",
                "labels",
                "photo viewer",
                "records",
                "outcomes",
                # What is done with alerts holds for as long as such a book is open.
                "alerts",
                "put off until",
                "test my alerts",
            ):  # they save nothing in the book
                continue
            dialog = settled(qtbot, make(session))
            saving = [b for b in dialog.findChildren(QPushButton) if _saves(b)]
            assert saving, name
            assert not any(button.isEnabled() for button in saving), name
            assert "read only" in dialog.notice.text(), name
        session.close()


def _saves(button: QPushButton) -> bool:
    ends = ("_save", "_take_back", "_new", "_copy", "_retire", "_restore")
    return button.objectName().endswith(ends)


def test_a_fault_of_the_world_is_shown_in_the_dialog(
    qtbot: QtBot, session: DeskSession, theme: Theme, heron: Shell
) -> None:
    dialog = shown(qtbot, ShellDialog(session, None))
    session.failed.emit("The disk is full. Make room and save again.")
    assert dialog.fault.isVisible()
    assert dialog.fault.text() == "The disk is full. Make room and save again."


def test_long_words_may_break_and_short_texts_stay() -> None:
    assert breakable("a plain sentence") == "a plain sentence"
    assert breakable("W" * 65).replace("\u200b", "") == "W" * 65
    assert max(len(part) for part in breakable("W" * 65).split("\u200b")) == 30
    assert shortened("Standing heron") == "Standing heron"
    assert shortened("W" * 200) == "W" * 59 + "…"
