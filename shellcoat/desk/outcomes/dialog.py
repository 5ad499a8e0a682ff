"""The outcome of one shell's pour: logged once, put right or taken back later."""

from __future__ import annotations

from collections.abc import Iterator
from uuid import UUID, uuid4

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QCheckBox, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from shellcoat.desk.dialogs.field_grid import FieldGrid, side_by_side
from shellcoat.desk.dialogs.fields import ChoiceField, NoteField, TextField, TimeField
from shellcoat.desk.dialogs.form import AnyField, ButtonRole, SessionDialog
from shellcoat.desk.dialogs.lettering import breakable, shortened
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.dialogs.reason_dialog import ReasonDialog, check_reason
from shellcoat.desk.dialogs.standing import Standing
from shellcoat.desk.outcomes.words import result_words
from shellcoat.desk.photos.words import photo_words
from shellcoat.desk.session import DeskSession
from shellcoat.operations.outcomes import (
    NotFinishedError,
    PourTimeError,
    correct_outcome,
    log_outcome,
    take_back_outcome,
)
from shellcoat.shop import Outcome, PourResult, Shell, ShellState
from shellcoat.shop.outcome import METAL_MASS_KG, METAL_TEMP_C, SHELL_TEMP_C
from shellcoat.units import Quantity

PHOTOS_PX = 118


class OutcomeDialog(SessionDialog):
    """One pour; `kept` is what was written."""

    def __init__(self, session: DeskSession, shell: Shell, parent: QWidget | None = None) -> None:
        super().__init__(session, "outcome_dialog", "", parent)
        self.setWindowTitle(self.tr("Outcome: {shell}").format(shell=shortened(shell.name)))
        self.kept: Outcome | None = None
        self.question: ReasonDialog | None = None
        self._shell = shell
        self._original = session.opened.ledger.outcomes.get(shell.id)
        # One id for one opened dialog, so that a second press cannot keep a second outcome.
        self._id = self._original.id if self._original else uuid4()
        self._standing = Standing(session.opened, self._id) if self._original else None
        self._make_fields()
        self._make_photos()
        self._lay_out()
        self._make_buttons()
        if self._original is not None:
            self._show(self._original)
        self.result_field.setFocus()

    def _make_fields(self) -> None:
        session, body = self.session, self.body
        self.result_field = ChoiceField(self.tr("Result"), body)
        self.result_field.setObjectName("outcome_result")
        self.result_field.offer((result_words(result), result) for result in PourResult)
        self.result_field.set_value(PourResult.SOUND)
        self.where = TextField(self.tr("Where"), body)
        self.where.setObjectName("outcome_where")
        self.where.line.setPlaceholderText(self.tr("such as: under the left wing"))
        self.time = TimeField(self.tr("Poured"), session.opened.zone, session.now, body)
        self.time.setObjectName("outcome_time")
        self.metal = self._quantity(
            self.tr("Metal temperature"), "outcome_metal", Quantity.TEMPERATURE, METAL_TEMP_C
        )
        self.shell_temp = self._quantity(
            self.tr("Shell temperature"), "outcome_shell_temp", Quantity.TEMPERATURE, SHELL_TEMP_C
        )
        self.mass = self._quantity(
            self.tr("Metal poured"), "outcome_mass", Quantity.MASS, METAL_MASS_KG
        )
        self.note = NoteField(self.tr("Note"), body)
        self.note.setObjectName("outcome_note")
        self.reason = TextField(self.tr("Reason"), body, check=check_reason)
        self.reason.setObjectName("outcome_reason")
        self.reason.line.setPlaceholderText(self.tr("why it is corrected; stays in the book"))
        self.finish = QCheckBox(self.tr("Mark the shell as &finished"), body)
        self.finish.setObjectName("outcome_finish")

    def _quantity(
        self, spoken: str, name: str, quantity: Quantity, limits: tuple[float, float, str]
    ) -> KeptQuantityField:
        low, high, _ = limits
        field = KeptQuantityField(
            self.session, spoken, quantity, low=low, high=high, optional=True, parent=self.body
        )
        field.setObjectName(name)
        return field

    def _make_photos(self) -> None:
        self.photos = QListWidget(self.body)
        self.photos.setObjectName("outcome_photos")
        self.photos.setAccessibleName(self.tr("Photos that show it"))
        self.photos.setFixedHeight(PHOTOS_PX)
        self.photos.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        chosen = self._original.photo_ids if self._original else ()
        photos = self.session.opened.ledger.photos(self._shell.id)[::-1]
        said = photo_words(self.session, self._shell, photos)
        for photo, words in zip(photos, said, strict=True):
            item = QListWidgetItem(words, self.photos)
            item.setData(Qt.ItemDataRole.UserRole, photo.id)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            ticked = photo.id in chosen
            item.setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)

    def _lay_out(self) -> None:
        body, left, right = self.body, FieldGrid(), FieldGrid()
        left.add(body, self.tr("&Result"), self.result_field)
        left.add(body, self.tr("&Where"), self.where)
        left.add(body, self.tr("&Poured"), self.time)
        left.add(body, self.tr("&Note"), self.note)
        left.add(body, self.tr("R&eason"), self.reason)
        right.add(body, self.tr("&Metal temperature"), self.metal)
        right.add(body, self.tr("&Shell temperature"), self.shell_temp)
        right.add(body, self.tr("Metal p&oured"), self.mass)
        right.add(body, self.tr("P&hotos"), self.photos)
        right.add_below(self.finish)
        left.set_shown(self.reason, self._original is not None)
        right.set_shown(self.photos, self.photos.count() > 0)
        unfinished = self._shell.state is not ShellState.FINISHED
        self.finish.setVisible(unfinished and self._original is None)
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(side_by_side(left, right))

    def _make_buttons(self) -> None:
        words = self.tr("Save correction") if self._original else self.tr("Keep outcome")
        self.take_back_button = self.add_button(
            self.tr("Take back…"), "outcome_take_back", ButtonRole.ResetRole, self.take_back
        )
        self.take_back_button.setVisible(self._original is not None)
        self.save_button = self.add_primary(words, "outcome_save", self.save)
        self.add_cancel(self.tr("Cancel"), "outcome_cancel")
        self.guard_saving(self.save_button, self.take_back_button)

    def _show(self, outcome: Outcome) -> None:
        self.result_field.set_value(outcome.result)
        self.where.set_value(outcome.where)
        self.time.set_value(outcome.poured_at)
        self.metal.set_value(outcome.metal_temp_c)
        self.shell_temp.set_value(outcome.shell_temp_c)
        self.mass.set_value(outcome.metal_mass_kg)
        self.note.set_value(outcome.note)

    def _fields(self) -> Iterator[AnyField]:
        yield from (self.result_field, self.where, self.time, self.note)
        if self._original is not None:
            yield self.reason
        yield from (self.metal, self.shell_temp, self.mass)

    @property
    def _ticked(self) -> tuple[UUID, ...]:
        items = [self.photos.item(row) for row in range(self.photos.count())]
        ticked = [item for item in items if item.checkState() is Qt.CheckState.Checked]
        return tuple(item.data(Qt.ItemDataRole.UserRole) for item in ticked)

    def _filled(self) -> Outcome:
        return Outcome(
            id=self._id,
            shell_id=self._shell.id,
            poured_at=self.time.value(),
            result=self.result_field.value(),
            where=self.where.value(),
            metal_temp_c=self.metal.value(),
            shell_temp_c=self.shell_temp.value(),
            metal_mass_kg=self.mass.value(),
            note=self.note.value(),
            photo_ids=self._ticked,
        )

    @Slot()
    def save(self) -> None:
        """Keep the outcome; what cannot be kept stays as it was typed."""
        if not self.all_right(list(self._fields())):
            return
        kept = self.session.attempt(self._keep)
        if kept is not None:
            self.kept = kept
            self.accept()

    def _keep(self) -> Outcome | None:
        opened, now = self.session.opened, self.session.now()
        try:
            if self._original is None:
                ticked = self.finish.isChecked()
                return log_outcome(opened, self._filled(), now, finish=ticked)
            return self._correct(self._original)
        except PourTimeError as error:
            self.time.show_message(breakable(str(error)))
            self.point_at(self.time)
        except NotFinishedError:
            self.say_fault(
                self.tr(
                    "The shell is not finished yet. Tick “Mark the shell as finished”, or cancel."
                )
            )
            self.finish.setFocus()
        return None

    def _correct(self, original: Outcome) -> Outcome:
        now, outcome = self.session.now(), self._filled()
        if self._standing is not None:
            self._standing.check(now)
        if outcome == original:
            return outcome
        return correct_outcome(self.session.opened, outcome, now, self.reason.value())

    @Slot()
    def take_back(self) -> None:
        """Take the outcome back, with the reason."""
        self.question = ReasonDialog(
            self.tr("Take back"),
            self.tr("The outcome no longer counts; the book keeps it, marked as taken back."),
            self.tr("Take back"),
            self.tr("for example: it was another shell"),
            self,
        )
        self.question.confirmed.connect(self._take_back)
        self.question.open()

    @Slot(str)
    def _take_back(self, reason: str) -> None:
        opened, now = self.session.opened, self.session.now()

        def act() -> bool:
            take_back_outcome(opened, self._id, now, reason)
            return True

        if self.session.attempt(act):
            self.accept()
