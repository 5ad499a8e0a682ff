"""The shop's tests of slurries and stuccos: a list of them, and what can be done with each."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from PySide6.QtCore import QModelIndex, QSize, Qt, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.check_deeds import CheckDeeds
from shellcoat.desk.dialogs.check_form import CheckForm, CheckFormDialog
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.film_test_forms import RheologyForm
from shellcoat.desk.dialogs.form import SessionDialog
from shellcoat.desk.dialogs.grain_form import GrainForm
from shellcoat.desk.dialogs.plate_form import PlateForm
from shellcoat.desk.dialogs.text_table import TextTableModel, text_table
from shellcoat.desk.session import DeskSession
from shellcoat.operations.check_wording import CheckWriter
from shellcoat.operations.film_wording import (
    write_film_test,
    write_film_test_kind,
    write_film_test_result,
)
from shellcoat.operations.wording import write_time
from shellcoat.shop import PlateTest, RheologyTest, SlurryTest, StuccoGrain

WIDTHS = (150, 250, 430, 190)
SIZE = QSize(1240, 520)

TestKind = type[PlateTest] | type[RheologyTest] | type[StuccoGrain]


class FilmTestDialog(CheckFormDialog):
    """One test of a slurry or a stucco: a new one of a kind, or one that is put right."""

    def __init__(
        self, session: DeskSession, what: SlurryTest | TestKind, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            session,
            "film_test_dialog",
            None if isinstance(what, type) else what,
            lambda body: _form(session, what, body),
            parent,
        )
        self.setWindowTitle(self.form.title)


def _form(session: DeskSession, what: SlurryTest | TestKind, body: QWidget) -> CheckForm:
    kind = what if isinstance(what, type) else type(what)
    if kind is PlateTest:
        return PlateForm(session, what if isinstance(what, PlateTest) else None, body)
    if kind is RheologyTest:
        return RheologyForm(session, what if isinstance(what, RheologyTest) else None, body)
    return GrainForm(session, what if isinstance(what, StuccoGrain) else None, body)


class FilmTestsDialog(SessionDialog):
    """All tests, the newest first; those left out stay in the list with the reason."""

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(session, "film_tests_dialog", "", parent)
        self.setWindowTitle(self.tr("Slurry and stucco tests"))
        self.dialog: FilmTestDialog | None = None
        self._tests: list[SlurryTest] = []
        self._make_table()
        self._make_buttons()
        self._lay_out()
        session.changed.connect(self._on_changed)
        self.close_button = self.add_primary(self.tr("Close"), "film_close", self.accept)
        self._fill()
        self.guard_saving(*self._new_buttons, *self.deeds.buttons)

    def _make_table(self) -> None:
        headings = (
            self.tr("Tested"),
            self.tr("What"),
            self.tr("Found"),
            self.tr("Note"),
            self.tr("Left out"),
        )
        self.model = TextTableModel(headings, self)
        self.table = text_table(
            self.model, "film_table", self.tr("Slurry and stucco tests"), WIDTHS, self.body
        )
        self.table.setWordWrap(False)
        self.table.activated.connect(self._on_activated)
        self.table.selectionModel().currentChanged.connect(self._on_chosen)
        self.empty = label(self.body, "film_empty", "empty", wrap=True)
        self.empty.setText(
            self.tr(
                "No test yet. Dip a plate, drain it like a shell and weigh it: that tells how "
                "thick your slurry really goes on."
            )
        )
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)

    def _make_buttons(self) -> None:
        self.plate_button = self._button(
            self.tr("New &plate test…"), "film_plate_new", self._on_plate
        )
        self.flow_button = self._button(self.tr("New &flow test…"), "film_flow_new", self._on_flow)
        self.grain_button = self._button(
            self.tr("New &stucco size…"), "film_grain_new", self._on_grain
        )
        self.deeds = CheckDeeds(self.session, "film", self.body)
        self.deeds.correct_requested.connect(self._on_correct)

    def _button(self, text: str, name: str, slot: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self.body)
        button.setObjectName(name)
        button.setAutoDefault(False)
        button.clicked.connect(slot)
        return button

    @property
    def _new_buttons(self) -> tuple[QPushButton, ...]:
        return self.plate_button, self.flow_button, self.grain_button

    def _lay_out(self) -> None:
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        column.addLayout(_line(self._new_buttons))
        column.addWidget(self.table, 1)
        column.addWidget(self.empty, 1)
        column.addWidget(self.deeds)

    def sizeHint(self) -> QSize:
        """Wide enough for the table."""
        return super().sizeHint().expandedTo(SIZE)

    @property
    def chosen(self) -> SlurryTest | None:
        """The test that is chosen in the table."""
        row = self.table.currentIndex().row()
        return self._tests[row] if 0 <= row < len(self._tests) else None

    def _fill(self) -> None:
        """Fill the list; the chosen test stays chosen wherever it has gone."""
        chosen, row = self.chosen, max(self.table.currentIndex().row(), 0)
        self._tests = sorted(self.session.opened.ledger.slurry_tests, key=_newest)
        self.model.set_rows([self._row(test) for test in self._tests])
        ids = [test.id for test in self._tests]
        known = ids.index(chosen.id) if chosen and chosen.id in ids else row
        self.table.setVisible(bool(ids))
        self.empty.setVisible(not ids)
        self.table.selectRow(min(known, len(ids) - 1))
        self._show_deeds()

    def _row(self, test: SlurryTest) -> tuple[str, ...]:
        session = self.session
        at = (
            self.tr("as bought")
            if isinstance(test, StuccoGrain)
            else write_time(test.at, session.opened.zone, session.now())
        )
        return (
            at,
            write_film_test_kind(test),
            write_film_test_result(test, self._writer),
            test.note,
            test.left_out,
        )

    @property
    def _writer(self) -> CheckWriter:
        return CheckWriter(self.session.opened.units, self.session.decimal_mark)

    def _show_deeds(self) -> None:
        chosen = self.chosen
        said = write_film_test(chosen, self._writer) if chosen else ""
        self.deeds.show_check(chosen, said)

    @Slot(object)
    def _on_changed(self, _entries: object) -> None:
        self._fill()

    @Slot(QModelIndex, QModelIndex)
    def _on_chosen(self, _now: QModelIndex, _before: QModelIndex) -> None:
        self._show_deeds()

    @Slot()
    def _on_plate(self) -> None:
        self._open(FilmTestDialog(self.session, PlateTest, self))

    @Slot()
    def _on_flow(self) -> None:
        self._open(FilmTestDialog(self.session, RheologyTest, self))

    @Slot()
    def _on_grain(self) -> None:
        self._open(FilmTestDialog(self.session, StuccoGrain, self))

    def _open(self, dialog: FilmTestDialog) -> None:
        self.dialog = dialog
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    @Slot(QModelIndex)
    def _on_activated(self, _index: QModelIndex) -> None:
        if self.deeds.correct_button.isEnabled():
            self._on_correct()

    @Slot()
    def _on_correct(self) -> None:
        if self.chosen is not None:
            self._open(FilmTestDialog(self.session, self.chosen, self))


def _line(buttons: tuple[QPushButton, ...]) -> QHBoxLayout:
    line = QHBoxLayout()
    line.setSpacing(GAP)
    for button in buttons:
        line.addWidget(button)
    line.addStretch(1)
    return line


def _newest(test: SlurryTest) -> tuple[float, str]:
    """The latest first; sizes of stucco, which have no time, after the dated tests."""
    at = datetime.min.replace(tzinfo=UTC) if isinstance(test, StuccoGrain) else test.at
    return -(at - datetime(2000, 1, 1, tzinfo=UTC)).total_seconds(), write_film_test_kind(test)
