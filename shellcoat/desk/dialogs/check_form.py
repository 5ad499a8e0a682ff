"""A check or a test as a dialog: logged as it was made, or put right later with the reason."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid4

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.field_grid import FieldGrid
from shellcoat.desk.dialogs.fields import TextField, TimeField
from shellcoat.desk.dialogs.form import AnyField, SessionDialog
from shellcoat.desk.dialogs.reason_dialog import check_reason
from shellcoat.desk.dialogs.standing import Standing
from shellcoat.desk.session import DeskSession
from shellcoat.operations.checks import CheckInFutureError, correct_check, log_check
from shellcoat.shop import ShellCheck, SlurryTest

LEAST_WIDTH_PX = 470

Kept = ShellCheck | SlurryTest


@dataclass(frozen=True, slots=True)
class CheckFrame:
    """What every check has, whatever was found."""

    id: UUID
    at: datetime
    note: str
    left_out: str


class CheckForm:
    """The fields of one kind of check; `timed` where it has a time of its own."""

    title = ""
    timed = True

    def fields(self) -> Iterator[AnyField]:
        """The fields that are asked for, in the order in which they stand."""
        raise NotImplementedError

    def add_to(self, grid: FieldGrid, body: QWidget) -> None:
        """Put the fields into the dialog."""
        raise NotImplementedError

    def finished(self, frame: CheckFrame) -> Kept:
        """The check; raises what is wrong with a field."""
        raise NotImplementedError


def add_hint(grid: FieldGrid, body: QWidget, name: str, text: str) -> QWidget:
    """Say something about the field above."""
    words = label(body, name, "muted", wrap=True)
    words.setText(text)
    grid.add_below(words)
    return words


class CheckFormDialog(SessionDialog):
    """One check; `kept` is the one that was written."""

    def __init__(
        self,
        session: DeskSession,
        name: str,
        original: Kept | None,
        make_form: Callable[[QWidget], CheckForm],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(session, name, "", parent)
        self.kept: Kept | None = None
        self._original = original
        # One id for one opened dialog, so that a second press cannot keep a second check.
        self._id = original.id if original else uuid4()
        self._standing = Standing(session.opened, self._id) if original else None
        self.form = make_form(self.body)
        self._make_fields()
        self._lay_out()
        words = self.tr("Save correction") if original else self.tr("Keep")
        self.save_button = self.add_primary(words, "check_save", self.save)
        self.add_cancel(self.tr("Cancel"), "check_cancel")
        self.guard_saving(self.save_button)
        next(self.form.fields()).setFocus()

    def _make_fields(self) -> None:
        session, body = self.session, self.body
        self.time = TimeField(self.tr("Time of the check"), session.opened.zone, session.now, body)
        self.time.setObjectName("check_time")
        self.note = TextField(self.tr("Note"), body)
        self.note.setObjectName("check_note")
        self.reason = TextField(self.tr("Reason"), body, check=check_reason)
        self.reason.setObjectName("check_reason")
        self.reason.line.setPlaceholderText(self.tr("why it is corrected; stays in the book"))
        if self._original is not None:
            at = getattr(self._original, "at", None)
            self.time.set_value(at or session.now())
            self.note.set_value(self._original.note)

    def _lay_out(self) -> None:
        body, grid = self.body, FieldGrid()
        self.form.add_to(grid, body)
        grid.add(body, self.tr("&Time"), self.time)
        grid.add(body, self.tr("&Note"), self.note)
        grid.add(body, self.tr("&Reason"), self.reason)
        grid.set_shown(self.time, self.form.timed)
        grid.set_shown(self.reason, self._original is not None)
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(grid)
        column.addStretch(1)
        body.setMinimumWidth(LEAST_WIDTH_PX)

    def _fields(self) -> Iterator[AnyField]:
        yield from self.form.fields()
        if self.form.timed:
            yield self.time
        yield self.note
        if self._original is not None:
            yield self.reason

    @Slot()
    def save(self) -> None:
        """Keep the check; what cannot be kept stays as it was typed."""
        if not self.all_right(list(self._fields())):
            return
        kept = self.session.attempt(self._keep)
        if kept is not None:
            self.kept = kept
            self.accept()

    def _keep(self) -> Kept | None:
        try:
            return self._log() if self._original is None else self._correct(self._original)
        except CheckInFutureError as error:
            self.time.show_message(str(error))
            self.point_at(self.time)
            return None

    def _filled(self) -> Kept:
        original = self._original
        return self.form.finished(
            CheckFrame(
                id=self._id,
                at=self.time.value(),
                note=self.note.value(),
                left_out=original.left_out if original else "",
            )
        )

    def _log(self) -> Kept:
        return log_check(self.session.opened, self._filled(), self.session.now())

    def _correct(self, original: Kept) -> Kept:
        now, check = self.session.now(), self._filled()
        if self._standing is not None:
            self._standing.check(now)
        if check == original:
            return check
        return correct_check(self.session.opened, check, now, self.reason.value())
