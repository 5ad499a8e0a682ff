"""Logging a crack, a drip or a patch."""

from __future__ import annotations

from uuid import UUID, uuid4

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QCheckBox, QVBoxLayout, QWidget

from shellcoat.desk.dialogs.field_grid import FieldGrid
from shellcoat.desk.dialogs.fields import ChoiceField, NoteField, TextField, TimeField
from shellcoat.desk.dialogs.form import SessionDialog
from shellcoat.desk.review.words import translate
from shellcoat.desk.session import DeskSession
from shellcoat.operations.review_answers import log_defect
from shellcoat.shop import Defect, DefectKind
from shellcoat.shop.checks import check_name

LEAST_WIDTH_PX = 480


class DefectDialog(SessionDialog):
    """What was found, where and when, and whether slurry is on it already."""

    def __init__(self, session: DeskSession, shell_id: UUID, parent: QWidget | None = None) -> None:
        title = translate("Crack, drip or patch")
        super().__init__(session, "review_defect_dialog", title, parent)
        self._shell_id, self._id = shell_id, uuid4()
        self.kind = ChoiceField(self.tr("What"), self.body)
        self.kind.setObjectName("defect_kind")
        self.kind.offer((translate(kind.value), kind) for kind in DefectKind)
        self.kind.set_value(DefectKind.CRACK)
        self.where = TextField(self.tr("Where"), self.body, check=check_name)
        self.where.setObjectName("defect_where")
        self.where.line.setPlaceholderText(self.tr("for example: left wing, underside"))
        self.at = TimeField(self.tr("Found"), session.opened.zone, session.now, self.body)
        self.at.setObjectName("defect_at")
        self.mended = QCheckBox(self.tr("Mended wit&h slurry at"), self.body)
        self.mended.setObjectName("defect_mended")
        self.mended_at = TimeField(self.tr("Mended"), session.opened.zone, session.now, self.body)
        self.mended_at.setObjectName("defect_mended_at")
        self.mended_at.setEnabled(False)
        self.mended.toggled.connect(self.mended_at.setEnabled)
        self.note = NoteField(self.tr("Note"), self.body)
        self.note.setObjectName("defect_note")
        self._lay_out()
        self.save_button = self.add_primary(self.tr("Log it"), "defect_save", self.save)
        self.cancel_button = self.add_cancel(self.tr("Cancel"), "defect_cancel")
        self.guard_saving(self.save_button)
        self.where.setFocus()

    def _lay_out(self) -> None:
        grid = FieldGrid()
        grid.add(self.body, self.tr("&What"), self.kind)
        grid.add(self.body, self.tr("Whe&re"), self.where)
        grid.add(self.body, self.tr("&Found"), self.at)
        grid.add_below(self.mended)
        grid.add_below(self.mended_at)
        grid.add(self.body, self.tr("N&ote"), self.note)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(grid)
        column.addStretch(1)
        self.body.setMinimumWidth(LEAST_WIDTH_PX)

    @Slot()
    def save(self) -> None:
        """Keep it, if it hangs together."""
        if not self.all_right([self.kind, self.where, self.note]):
            return
        opened, now = self.session.opened, self.session.now()
        defect = self.session.attempt(lambda: log_defect(opened, self._defect(), now))
        if defect is not None:
            self.accept()

    def _defect(self) -> Defect:
        return Defect(
            id=self._id,
            shell_id=self._shell_id,
            kind=self.kind.value(),
            where=self.where.value(),
            at=self.at.value(),
            mended_at=self.mended_at.value() if self.mended.isChecked() else None,
            note=self.note.value(),
        )
