"""The shop's dip sequences: looking at them, changing, copying, adding, retiring."""

from __future__ import annotations

from collections.abc import Iterator
from uuid import UUID

from PySide6.QtCore import QModelIndex, QSize, Slot
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QListView, QPushButton, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import heading
from shellcoat.desk.dialogs.field_grid import COLUMN_GAP, GAP
from shellcoat.desk.dialogs.form import ButtonRole, SessionDialog
from shellcoat.desk.dialogs.lettering import shortened
from shellcoat.desk.dialogs.sequence_draft import SequenceDraft
from shellcoat.desk.dialogs.sequence_editor import SequenceEditor
from shellcoat.desk.dialogs.sequence_list import SequenceLine, SequenceListModel
from shellcoat.desk.dialogs.standing import Standing
from shellcoat.desk.session import DeskSession
from shellcoat.operations.sequences import copy_sequence, retire_sequence, save_sequence
from shellcoat.shop import DipSequence

LIST_WIDTH_PX = 216
SIZE = QSize(1300, 690)


class SequenceDialog(SessionDialog):
    """The list on the left, the chosen sequence on the right.

    What is typed stays as a draft, marked with a dot, while another sequence is looked at.
    """

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(session, "sequence_dialog", "", parent)
        self.setWindowTitle(self.tr("Dip sequences"))
        self._drafts: dict[UUID, SequenceDraft] = {}
        self._standings: dict[UUID, Standing] = {}
        self._chosen: UUID | None = None
        self._told_unsaved = False
        self._make_list()
        self.editor = SequenceEditor(session, self.body)
        self.editor.edited.connect(self._on_edited)
        self._make_buttons()
        self._lay_out()
        session.changed.connect(self._on_changed)
        self._fill_list()
        self._choose_row(0)
        self.guard_saving(self.save_button, self.new_button, self.copy_button, self.retire_button)

    def _make_list(self) -> None:
        self.list_model = SequenceListModel(self)
        self.list = QListView(self.body)
        self.list.setObjectName("sequence_list")
        self.list.setAccessibleName(self.tr("Dip sequences"))
        self.list.setModel(self.list_model)
        self.list.selectionModel().currentChanged.connect(self._on_chosen)
        self.show_retired = QCheckBox(self.tr("Show &retired ones"), self.body)
        self.show_retired.setObjectName("sequence_show_retired")
        self.show_retired.toggled.connect(self._fill_list)
        self.new_button = QPushButton(self.tr("New"), self.body)
        self.new_button.setObjectName("sequence_new")
        self.new_button.clicked.connect(self.start_new)
        self.copy_button = QPushButton(self.tr("Copy"), self.body)
        self.copy_button.setObjectName("sequence_copy")
        self.copy_button.clicked.connect(self.copy)

    def _make_buttons(self) -> None:
        self.retire_button = self.add_button(
            "", "sequence_retire", ButtonRole.ResetRole, self.retire
        )
        self.discard_button = self.add_button(
            self.tr("Drop changes"), "sequence_discard", ButtonRole.ResetRole, self.discard
        )
        self.save_button = self.add_primary(self.tr("Save"), "sequence_save", self.save)
        self.close_button = self.add_cancel(self.tr("Close"), "sequence_close")

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(GAP)
        left.addWidget(heading(self.body, "sequence_list_heading", self.tr("Sequences")))
        left.addWidget(self.list, 1)
        left.addWidget(self.show_retired)
        buttons = QHBoxLayout()
        buttons.addWidget(self.new_button)
        buttons.addWidget(self.copy_button)
        left.addLayout(buttons)
        side = QWidget(self.body)
        side.setFixedWidth(LIST_WIDTH_PX)
        side.setLayout(left)
        left.setContentsMargins(0, 0, 0, 0)
        across = QHBoxLayout(self.body)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(COLUMN_GAP)
        across.addWidget(side)
        across.addWidget(self.editor, 1)

    def sizeHint(self) -> QSize:
        """Wide enough for the whole table."""
        return super().sizeHint().expandedTo(SIZE)

    def _sequences(self) -> dict[UUID, DipSequence]:
        return {each.id: each for each in self.session.opened.ledger.sequences}

    def _lines(self) -> Iterator[SequenceLine]:
        """Those in use, retired ones where wanted or being changed, then those not saved yet."""
        stored = self._sequences()
        for sequence in stored.values():
            draft = self._drafts.get(sequence.id)
            changed = draft is not None and draft.changed
            if not sequence.retired or changed or self.show_retired.isChecked():
                name = draft.name if draft else sequence.name
                yield SequenceLine(sequence.id, name, sequence.retired, changed)
        for draft in self._drafts.values():
            if draft.id not in stored:
                yield SequenceLine(draft.id, draft.name, changed=True)

    @Slot()
    def _fill_list(self) -> None:
        before = self.list_model.row_of(self._chosen)
        self.list_model.set_lines(list(self._lines()))
        row = self.list_model.row_of(self._chosen)
        self._choose_row(row if row >= 0 else before)

    def _choose_row(self, row: int) -> None:
        row = min(max(row, 0), self.list_model.rowCount() - 1)
        if self.list.currentIndex().row() != row:
            self.list.setCurrentIndex(self.list_model.index(row))
        elif self.list_model.id_at(row) != self._chosen:
            self._show(self.list_model.id_at(row))

    def choose(self, sequence_id: UUID) -> None:
        """Show a sequence."""
        self._choose_row(self.list_model.row_of(sequence_id))

    @Slot(QModelIndex, QModelIndex)
    def _on_chosen(self, now: QModelIndex, _before: QModelIndex) -> None:
        chosen = self.list_model.id_at(now.row())
        if chosen is not None and chosen != self._chosen:
            self._show(chosen)

    def _show(self, sequence_id: UUID | None) -> None:
        self._chosen = sequence_id
        draft = self._draft()
        self.editor.setEnabled(draft is not None)
        self.fault.hide()
        if draft is not None:
            self.editor.show_draft(draft)
        self._show_state()

    def _draft(self) -> SequenceDraft | None:
        """The draft of the chosen sequence; begun when it is first shown."""
        if self._chosen is None:
            return None
        sequence = self._sequences().get(self._chosen)
        if self._chosen not in self._drafts and sequence is not None:
            self._drafts[self._chosen] = SequenceDraft.of(sequence)
            self._standings[self._chosen] = Standing(self.session.opened, self._chosen)
        return self._drafts.get(self._chosen)

    def _show_state(self) -> None:
        """What the buttons can do with the chosen sequence."""
        draft = self._draft()
        stored = draft is not None and draft.original is not None
        changed = draft is not None and draft.changed
        retired = draft is not None and draft.retired
        self.retire_button.setText(self.tr("Bring back") if retired else self.tr("Retire"))
        self.discard_button.setEnabled(changed)
        writable = not self.read_only
        self.save_button.setEnabled(changed and writable)
        self.copy_button.setEnabled(stored and not changed and writable)
        self.retire_button.setEnabled(stored and not changed and writable)
        self.new_button.setEnabled(writable)

    @Slot()
    def _on_edited(self) -> None:
        self._told_unsaved = False
        if not self.read_only:
            self.say("")
        self._fill_list()
        self._show_state()

    @Slot(object)
    def _on_changed(self, _entries: object) -> None:
        """Take in what the book says now; what is being changed here stays as it is."""
        stored = self._sequences()
        stale = [
            draft.id
            for draft in self._drafts.values()
            if not draft.changed and draft.original != stored.get(draft.id)
        ]
        for sequence_id in stale:
            del self._drafts[sequence_id]
        self._fill_list()
        if self._chosen in stale:
            self._show(self._chosen)

    @Slot()
    def start_new(self) -> None:
        """Begin a sequence of one coat."""
        draft = SequenceDraft.new()
        self._drafts[draft.id] = draft
        self._fill_list()
        self.choose(draft.id)
        self.editor.name.setFocus()

    @Slot()
    def copy(self) -> None:
        """Begin another sequence from the chosen one, under a name of its own."""
        chosen = self._chosen
        if chosen is None:
            return
        opened, now = self.session.opened, self.session.now()
        copied = self.session.attempt(lambda: copy_sequence(opened, chosen, now))
        if copied is not None:
            self._fill_list()
            self.choose(copied.id)
            self.editor.name.setFocus()
            self.editor.name.line.selectAll()

    @Slot()
    def save(self) -> None:
        """Keep the chosen sequence; what cannot be kept stays as it was typed."""
        coats_right = self.editor.coats_right()
        if not self.all_right(self.editor.fields) or not coats_right:
            return
        kept = self.session.attempt(self._keep)
        if kept is not None:
            self._forget(kept.id)
            self.say(self.tr("Saved: {sequence}.").format(sequence=shortened(kept.name)))

    def _keep(self) -> DipSequence:
        now = self.session.now()
        sequence = self.editor.finished()
        if sequence.id in self._standings:
            self._standings[sequence.id].check(now)
        return save_sequence(self.session.opened, sequence, now)

    @Slot()
    def retire(self) -> None:
        """Take the chosen sequence out of the lists, or put it back."""
        draft = self._draft()
        if draft is None:
            return
        opened, now, retired = self.session.opened, self.session.now(), not draft.retired
        kept = self.session.attempt(lambda: retire_sequence(opened, draft.id, now, retired=retired))
        if kept is not None:
            self._forget(kept.id)
            words = (
                self.tr("Retired: {sequence}. It is kept under “Show retired ones”.")
                if retired
                else self.tr("Back in use: {sequence}.")
            )
            self.say(words.format(sequence=shortened(kept.name)))

    @Slot()
    def discard(self) -> None:
        """Drop what was typed into the chosen sequence."""
        if self._chosen is not None:
            self._forget(self._chosen)

    def _forget(self, sequence_id: UUID) -> None:
        """Begin afresh from the book."""
        self._drafts.pop(sequence_id, None)
        self._standings.pop(sequence_id, None)
        self._fill_list()
        if self._chosen == sequence_id:
            self._show(sequence_id)

    def reject(self) -> None:
        """Close; where changes are not saved, say so once first."""
        unsaved = [draft for draft in self._drafts.values() if draft.changed]
        if unsaved and not self._told_unsaved:
            self._told_unsaved = True
            names = ", ".join(shortened(each.name or self.tr("New sequence")) for each in unsaved)
            self.say(
                self.tr("Not saved yet: {names}. Save, or close again to drop the changes.").format(
                    names=names
                )
            )
            return
        super().reject()
