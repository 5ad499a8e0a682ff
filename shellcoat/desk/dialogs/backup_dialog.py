"""The copies of the book: which there are, making one now, going back to one."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QLocale, QUrl, Signal, Slot
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shellcoat.book.backup import (
    EVERY,
    KEEP_ALL,
    KEEP_DAILY,
    KEEP_WEEKLY,
    MOST_OF_ALL,
    Backup,
    back_up,
    backup_folder,
    backups,
)
from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.form import ButtonRole, SessionDialog
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.dialogs.restore_question import RestoreQuestion
from shellcoat.desk.dialogs.text_table import TextTableModel, text_table
from shellcoat.desk.session import DeskSession
from shellcoat.operations.wording import write_ago, write_time
from shellcoat.units import write_duration

WIDTHS = (150, 130, 90, 100)
WIDTH_PX, TABLE_PX = 820, 260


class BackupDialog(SessionDialog):
    """All copies of the open book, the newest on top.

    Signals
    -------
    restore_requested : the path of the copy to put in the book's place, once the book is closed
    """

    restore_requested = Signal(object)

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(session, "backup_dialog", "", parent)
        self.setWindowTitle(self.tr("Backups"))
        self.folder = backup_folder(session.opened.book.path)
        self._backups: list[Backup] = []
        self._make_table()
        self._lay_out()
        self._make_buttons()
        self.guard_saving(self.restore_button)
        self._look()

    def _make_table(self) -> None:
        headings = (
            self.tr("Made"),
            self.tr("Age"),
            self.tr("Entries"),
            self.tr("Size"),
            self.tr("File"),
        )
        self.model = TextTableModel(headings, self)
        self.table = text_table(
            self.model, "backup_table", self.tr("Backups of this book"), WIDTHS, self.body
        )
        self.table.setMinimumHeight(TABLE_PX)
        self.table.selectionModel().currentRowChanged.connect(self._show_buttons)

    def _lay_out(self) -> None:
        body = self.body
        place = label(body, "backup_place", "muted", wrap=True)
        place.setText(breakable(str(self.folder)))
        rule = label(body, "backup_rule", wrap=True)
        rule.setText(self._rule())
        down = QVBoxLayout(body)
        down.setContentsMargins(0, 0, 0, 0)
        down.setSpacing(GAP)
        down.addWidget(heading(body, "backup_heading", self.tr("Copies of this book")))
        down.addWidget(rule)
        down.addWidget(self.table, 1)
        down.addWidget(place)
        body.setMinimumWidth(WIDTH_PX)

    def _rule(self) -> str:
        return self.tr(
            "While the book is open, a copy is made every {every} if anything was logged since the "
            "last one. Kept are the newest {most} of the last {recent}, the last one of each day "
            "for {daily} days and of each week for {weekly} days. The newest copy is never removed."
        ).format(
            every=write_duration(EVERY.total_seconds()),
            most=MOST_OF_ALL,
            recent=self.tr("{hours} hours").format(hours=round(KEEP_ALL.total_seconds() / 3600)),
            daily=KEEP_DAILY.days,
            weekly=KEEP_WEEKLY.days,
        )

    def _make_buttons(self) -> None:
        self.folder_button = self.add_button(
            self.tr("Open folder"), "backup_open_folder", ButtonRole.ResetRole, self._open_folder
        )
        self.restore_button = self.add_button(
            self.tr("Restore…"), "backup_restore", ButtonRole.ResetRole, self.ask_to_restore
        )
        self.back_up_button = self.add_primary(
            self.tr("Back up now"), "backup_now", self.back_up_now
        )
        self.close_button = self.add_cancel(self.tr("Close"), "backup_close")

    def _look(self) -> None:
        folder, name = self.folder, self.session.opened.book.path.stem
        self._show_buttons()
        self.in_background(
            lambda: [each for each in backups(folder) if each.book_name == name], self._show
        )

    def _show(self, found: list[Backup]) -> None:
        self._backups = found
        self.model.set_rows([self._row(each) for each in found])
        if found:
            self.table.selectRow(0)
        elif not self.read_only:
            self.say(self.tr("There is no copy of this book yet."))
        self._show_buttons()

    def _row(self, backup: Backup) -> tuple[str, ...]:
        now, locale = self.session.now(), QLocale()
        return (
            write_time(backup.made_at, self.session.opened.zone, now),
            write_ago(backup.made_at, now),
            locale.toString(backup.entries),
            locale.formattedDataSize(backup.size_bytes),
            backup.path.name,
        )

    @property
    def chosen(self) -> Backup | None:
        """The copy that is chosen in the table."""
        row = self.table.currentIndex().row()
        return self._backups[row] if 0 <= row < len(self._backups) else None

    @Slot()
    def _show_buttons(self) -> None:
        self.restore_button.setEnabled(self.chosen is not None and not self.read_only)
        self.folder_button.setEnabled(self.folder.is_dir())

    @Slot()
    def back_up_now(self) -> None:
        """Make a copy in the background."""
        book, folder, now = self.session.opened.book, self.folder, self.session.now()
        self.fault.hide()
        self.back_up_button.setEnabled(False)
        self.say(self.tr("Making a copy…"))
        self.in_background(lambda: back_up(book, folder, now), self._on_backed_up)

    def _on_backed_up(self, path: Path) -> None:
        self.back_up_button.setEnabled(True)
        self.say(self.tr("Made and checked: {file}.").format(file=path.name))
        self._look()

    def on_background_fault(self, message: str) -> None:
        """Say what went wrong, and let it be tried again."""
        self.back_up_button.setEnabled(True)
        self.say("")
        super().on_background_fault(message)

    @Slot()
    def ask_to_restore(self) -> None:
        """Say exactly what restoring does before it is done."""
        backup = self.chosen
        if backup is None:
            return
        self.question = RestoreQuestion(self.session, backup, self)
        self.question.accepted.connect(self._restore)
        self.question.open()

    @Slot()
    def _restore(self) -> None:
        self.restore_requested.emit(self.question.backup.path)
        self.accept()

    @Slot()
    def _open_folder(self) -> None:
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(self.folder)))
