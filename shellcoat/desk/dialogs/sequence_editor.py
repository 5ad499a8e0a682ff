"""One dip sequence laid open: its own figures, its coats, and where the figures come from."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QModelIndex, Qt, Signal, Slot
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.dialogs.coat_draft import Fault, Scale, StepDraft
from shellcoat.desk.dialogs.coat_model import CoatTableModel
from shellcoat.desk.dialogs.coat_table import CoatTable
from shellcoat.desk.dialogs.field_grid import COLUMN_GAP, GAP, FieldGrid, side_by_side
from shellcoat.desk.dialogs.fields import NoteField, TextField
from shellcoat.desk.dialogs.form import AnyField
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.dialogs.sequence_draft import SequenceDraft
from shellcoat.desk.fields import message_label
from shellcoat.desk.session import DeskSession
from shellcoat.shop import DipSequence
from shellcoat.shop.checks import check_name
from shellcoat.units import Quantity

MOST_FAULTS_TOLD = 4
LONGEST_HOLD_S = 60 * 86400.0
TABLE_HEIGHT_PX = 250
NOTE_PX = 84


class SequenceEditor(QWidget):
    """Shows a draft and writes into it what is typed.

    Signals
    -------
    edited : something was changed by hand
    """

    edited = Signal()

    def __init__(self, session: DeskSession, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("sequence_editor")
        self._draft: SequenceDraft | None = None
        scale = Scale(session.opened.units, session.decimal_mark)
        self._make_head(session)
        self.coats = CoatTableModel(scale, self)
        self.coats.edited.connect(self._on_coats_edited)
        self.table = CoatTable(self.coats, self)
        self.table.setMinimumHeight(TABLE_HEIGHT_PX)
        self.table.selectionModel().currentRowChanged.connect(self._on_row_changed)
        self.coats_fault = message_label(self)
        self.coats_fault.setObjectName("sequence_coats_fault")
        self._make_buttons()
        self._make_foot()
        self._lay_out()

    def _make_head(self, session: DeskSession) -> None:
        self.name = TextField(self.tr("Sequence name"), self, check=check_name)
        self.name.setObjectName("sequence_name")
        self.description = NoteField(self.tr("Description"), self)
        self.description.setObjectName("sequence_description")
        self.target = KeptQuantityField(
            session,
            self.tr("Target thickness"),
            Quantity.THICKNESS,
            low=1e-3,
            high=0.1,
            parent=self,
        )
        self.target.setObjectName("sequence_target")
        self.hold = KeptQuantityField(
            session, self.tr("Final hold"), Quantity.TIME, low=0.0, high=LONGEST_HOLD_S, parent=self
        )
        self.hold.setObjectName("sequence_hold")
        for field in (self.name, self.description, self.target, self.hold):
            field.edited.connect(self._on_head_edited)

    def _make_buttons(self) -> None:
        self.add_button = self._button("sequence_coat_add", self.tr("&Add coat"), self._add)
        self.remove_button = self._button(
            "sequence_coat_remove", self.tr("Remo&ve coat"), self._remove
        )
        self.up_button = self._button(
            "sequence_coat_up", self.tr("Move &up"), lambda: self._move(-1)
        )
        self.down_button = self._button(
            "sequence_coat_down", self.tr("Move do&wn"), lambda: self._move(1)
        )

    def _button(self, name: str, text: str, slot: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        button.clicked.connect(lambda _checked: slot())
        return button

    def _make_foot(self) -> None:
        self.watch = NoteField(self.tr("What to watch in this coat"), self)
        self.watch.setObjectName("sequence_watch")
        self.watch.editor.setFixedHeight(NOTE_PX)
        self.watch.edited.connect(self._on_watch_edited)
        self.source = QPlainTextEdit(self)
        self.source.setObjectName("sequence_source")
        self.source.setAccessibleName(self.tr("Where the figures come from"))
        self.source.setReadOnly(True)
        self.source.setTabChangesFocus(True)
        self.source.setFixedHeight(NOTE_PX)

    def _lay_out(self) -> None:
        left, right = FieldGrid(), FieldGrid()
        left.add(self, self.tr("&Name"), self.name)
        left.add(self, self.tr("D&escription"), self.description)
        right.add(self, self.tr("Tar&get thickness"), self.target)
        right.add(self, self.tr("Final &hold"), self.hold)
        keep = label(self, "sequence_rule", "muted", wrap=True)
        keep.setText(self.tr("Shells in work keep the sequence they were started with."))
        buttons = QHBoxLayout()
        buttons.setSpacing(GAP)
        for button in (self.add_button, self.remove_button, self.up_button, self.down_button):
            buttons.addWidget(button)
        buttons.addWidget(keep, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        column.addLayout(side_by_side(left, right))
        column.addWidget(
            heading(self, "sequence_coats_heading", self.tr("Coats, from the wax outwards"))
        )
        column.addWidget(self.table, 1)
        column.addWidget(self.coats_fault)
        column.addLayout(buttons)
        column.addLayout(self._foot())

    def _foot(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(COLUMN_GAP)
        grid.setVerticalSpacing(2)
        self.watch_label = QLabel(self)
        self.watch_label.setBuddy(self.watch.editor)
        source_label = QLabel(self.tr("Where the &figures come from"), self)
        source_label.setBuddy(self.source)
        grid.addWidget(self.watch_label, 0, 0)
        grid.addWidget(source_label, 0, 1)
        grid.addWidget(self.watch, 1, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.source, 1, 1, Qt.AlignmentFlag.AlignTop)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        return grid

    @property
    def fields(self) -> tuple[AnyField, ...]:
        """The fields of the sequence itself."""
        return self.name, self.description, self.target, self.hold, self.watch

    def show_draft(self, draft: SequenceDraft, row: int = 0) -> None:
        """Show a sequence with everything that was typed into it before."""
        self._draft = draft
        original = draft.original
        self.name.set_value(draft.name)
        self.description.set_value(draft.description)
        self.target.set_value(original.target_thickness_m if original else None)
        self.hold.set_value(original.final_hold_s if original else None)
        for field, text in ((self.target, draft.target_text), (self.hold, draft.hold_text)):
            if text is not None:
                field.line.setText(text)
        self.coats.show_draft(draft)
        self._tell_faults(self.coats.find_faults())
        self.table.setCurrentIndex(self.coats.index(row, 1))
        self._show_coat()

    def finished(self) -> DipSequence:
        """The sequence as it stands in the fields, once they have been found right."""
        if self._draft is None:
            raise RuntimeError("no sequence is shown")
        return self._draft.build(
            self.name.value(),
            self.description.value(),
            self.target.required(),
            self.hold.required(),
        )

    def coats_right(self) -> bool:
        """Look at every coat; faults are marked, told, and the first one is chosen."""
        if self._draft is None:
            return False
        self._draft.strict = True
        faults = self.coats.find_faults()
        self._tell_faults(faults)
        if faults:
            self.table.setCurrentIndex(self.coats.index(faults[0].row, faults[0].column))
        return not faults

    def _tell_faults(self, faults: list[Fault]) -> None:
        lines = [breakable(fault.text) for fault in faults[:MOST_FAULTS_TOLD]]
        if len(faults) > len(lines):
            more = len(faults) - len(lines)
            lines.append(self.tr("and {count} more, marked in the table").format(count=more))
        self.coats_fault.setText("\n".join(lines))
        self.coats_fault.setVisible(bool(lines))

    def _current(self) -> StepDraft | None:
        return self.coats.step(self.table.currentIndex().row())

    @Slot(QModelIndex, QModelIndex)
    def _on_row_changed(self, _now: QModelIndex, _before: QModelIndex) -> None:
        self._show_coat()

    def _show_coat(self) -> None:
        step, row = self._current(), self.table.currentIndex().row()
        self.watch.setEnabled(step is not None)
        self.watch.set_value(step.watch if step else "")
        self.watch_label.setText(self.tr("What to &watch in coat {number}").format(number=row + 1))
        self.source.setPlainText(self._source(step, row))
        rows = self.coats.rowCount()
        self.remove_button.setEnabled(step is not None and rows > 1)
        self.up_button.setEnabled(row > 0)
        self.down_button.setEnabled(0 <= row < rows - 1)

    def _source(self, step: StepDraft | None, row: int) -> str:
        """The sources of the chosen coat's figures, then those of the whole sequence."""
        of_coat = step.source() if step else ""
        of_sequence = self._draft.original.source if self._draft and self._draft.original else ""
        parts = (
            (self.tr("Coat {number}").format(number=row + 1), of_coat),
            (self.tr("The sequence"), of_sequence),
        )
        return "\n\n".join(f"{title}\n{text}" for title, text in parts if text)

    @Slot()
    def _on_head_edited(self) -> None:
        draft = self._draft
        if draft is None:
            return
        draft.name = self.name.line.text()
        draft.description = self.description.editor.toPlainText()
        draft.target_text = self.target.line.text()
        draft.hold_text = self.hold.line.text()
        self._say_edited()

    @Slot()
    def _on_watch_edited(self) -> None:
        step = self._current()
        if step is not None:
            step.watch = self.watch.editor.toPlainText()
            self._say_edited()

    @Slot()
    def _on_coats_edited(self) -> None:
        self._tell_faults(self.coats.find_faults())
        self._show_coat()
        self._say_edited()

    def _say_edited(self) -> None:
        if self._draft is not None:
            self._draft.changed = True
            self.edited.emit()

    def _add(self) -> None:
        self._go_to(self.coats.add_after(self.table.currentIndex().row()))

    def _remove(self) -> None:
        row = self.table.currentIndex().row()
        self.coats.remove(row)
        self._go_to(min(row, self.coats.rowCount() - 1))

    def _move(self, by: int) -> None:
        self._go_to(self.coats.move(self.table.currentIndex().row(), by))

    def _go_to(self, row: int) -> None:
        column = max(self.table.currentIndex().column(), 1)
        self.table.setCurrentIndex(self.coats.index(row, column))
        self._show_coat()
