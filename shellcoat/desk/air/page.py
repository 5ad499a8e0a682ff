"""The Air page."""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.air_plot import AirPlot
from shellcoat.desk.air.changes import take_back
from shellcoat.desk.air.dropping import dropped_file
from shellcoat.desk.air.gatherer import AirGatherer
from shellcoat.desk.air.head_bar import HeadBar
from shellcoat.desk.air.import_dialog import ImportDialog
from shellcoat.desk.air.latest_card import LatestCard
from shellcoat.desk.air.lettering import air_sheet, label
from shellcoat.desk.air.logged_list import LoggedList
from shellcoat.desk.air.look import AirLook, LoggedAir, Span
from shellcoat.desk.air.reading_form import ReadingForm
from shellcoat.desk.air.rooms_dialog import RoomsDialog
from shellcoat.desk.air.take_back_dialog import TakeBackDialog
from shellcoat.desk.air.words import (
    count_words,
    logged_words,
    nothing_in,
    time_words,
)
from shellcoat.desk.page import Page
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.feeds.import_air import ImportReport
from shellcoat.operations.wording import write_time
from shellcoat.shop import AirReading, Room

SIDE_WIDTH = 444


class AirPage(Page):
    """One room's air at a time: its curve, its latest reading, what was logged."""

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(session, theme, parent)
        self.setObjectName("air_page")
        self.setAcceptDrops(True)
        self._rooms: list[Room] = []
        self._room_id: UUID | None = None
        self._span = Span.THREE_DAYS
        self._look: AirLook | None = None
        self._going: LoggedAir | None = None
        self.gatherer = AirGatherer(session, self)
        self.gatherer.looked.connect(self._show_look)
        self._make_parts(session, theme)
        self._lay_out()
        self.setFocusProxy(self.form.temperature)
        self.setStyleSheet(air_sheet(theme))

    def _make_parts(self, session: DeskSession, theme: Theme) -> None:
        self.head = HeadBar(self._span, self)
        self.head.room_chosen.connect(self.show_room)
        self.head.span_chosen.connect(self._on_span)
        self.head.rooms_requested.connect(self._open_rooms)
        self.head.import_requested.connect(self._open_import)
        self.plot = AirPlot(session, theme, self)
        self.plot.all_requested.connect(self._show_all)
        self.latest = LatestCard(session, theme, self)
        self.form = ReadingForm(session, self)
        self.form.kept.connect(self._on_kept)
        self.logged = LoggedList(session, self)
        self.logged.take_back_requested.connect(self._ask_to_take_back)
        self.locked = label(self, "air_locked", "fault", wrap=True)
        self.locked.setText(
            self.tr("This book was opened to read only: nothing can be logged or changed here.")
        )

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(12)
        left.addWidget(self.plot, 3)
        left.addWidget(self.logged, 2)
        body = QHBoxLayout()
        body.setSpacing(14)
        body.addLayout(left, 1)
        body.addWidget(self._side())
        column = QVBoxLayout(self)
        column.setSpacing(12)
        column.addWidget(self.head)
        column.addLayout(body, 1)

    def _side(self) -> QWidget:
        side = QWidget(self)
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)
        column.addWidget(self.latest)
        column.addWidget(self.locked)
        column.addWidget(self.form)
        column.addStretch(1)
        area = QScrollArea(self)
        area.setObjectName("air_side")
        area.setFixedWidth(SIDE_WIDTH)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setWidget(side)
        return area

    def refresh(self) -> None:
        """Show the rooms as they stand and ask for a look at the chosen one."""
        self._rooms = self.session.opened.ledger.rooms
        room = self._room()
        self._room_id = room.id if room is not None else None
        self.head.show_rooms(self._rooms, self._room_id)
        may = not self.session.opened.book.read_only
        self.head.allow(changes=may)
        self.locked.setVisible(not may)
        self.form.set_room(self._room_id, room.name if room else "")
        if room is None:
            self._say_no_room()
            return
        if self._look is None:
            self.plot.say(self.tr("Reading the air…"))
        if not self._importing or not self._is_shown(room.id):
            self.gatherer.look(room.id, self._span)

    def _room(self) -> Room | None:
        """The chosen room, the first one where it is gone, or none."""
        chosen = (room for room in self._rooms if room.id == self._room_id)
        return next(chosen, self._rooms[0] if self._rooms else None)

    def _is_shown(self, room_id: UUID) -> bool:
        look = self._look
        return look is not None and (look.room_id, look.span) == (room_id, self._span)

    def _say_no_room(self) -> None:
        self._look = None
        self.latest.hide()
        self.logged.show_logged(())
        self.plot.say(self.tr("This shop has no room yet. Add the first one with “Rooms…”."))

    @Slot(object)
    def _show_look(self, look: AirLook) -> None:
        room = self._room()
        if room is None or room.id != look.room_id:
            return
        self._look = look
        self.latest.show()
        self.latest.show_latest(room, look.latest)
        self.logged.show_logged(look.logged)
        if look.view.readings:
            self.plot.show_look(look)
        else:
            self._say_no_reading(room, look)

    def _say_no_reading(self, room: Room, look: AirLook) -> None:
        if look.latest is None:
            sentence = self.tr(
                "The air of {room} was never read. Log what thermometer and hygrometer show, "
                "or import the file of a logger: drop it here."
            )
            self.plot.say(sentence.format(room=room.name))
            return
        session = self.session
        moment = write_time(look.latest.reading.read_at, session.opened.zone, session.now())
        latest = self.tr("The latest reading is from {moment}.").format(moment=moment)
        self.plot.say(f"{nothing_in(look.span)} {latest}", offer_all=True)

    # Choosing.

    @Slot(object)
    def show_room(self, room_id: UUID) -> None:
        """Turn to a room."""
        self._room_id = room_id
        self.mark_stale()

    @Slot(object)
    def _on_span(self, span: Span) -> None:
        self._span = span
        self.mark_stale()

    @Slot()
    def _show_all(self) -> None:
        self.head.choose_span(Span.ALL)

    # Rooms, imports, taking back. Each dialog is made when it is first wanted, and kept.

    @cached_property
    def rooms_dialog(self) -> RoomsDialog:
        """Where rooms are added and changed."""
        dialog = RoomsDialog(self.session, self)
        dialog.room_kept.connect(self._on_room_kept)
        return dialog

    @cached_property
    def import_dialog(self) -> ImportDialog:
        """Where a logger's file is brought in."""
        dialog = ImportDialog(self.session, self)
        dialog.imported.connect(self._on_imported)
        dialog.broken_off.connect(self.mark_stale)
        return dialog

    @cached_property
    def take_back_dialog(self) -> TakeBackDialog:
        """Where the reason for taking back is given."""
        dialog = TakeBackDialog(self)
        dialog.confirmed.connect(self._take_back)
        return dialog

    @property
    def _importing(self) -> bool:
        """Whether a file is coming in: its parts are shown together at the end."""
        return "import_dialog" in self.__dict__ and self.import_dialog.work.running

    @Slot()
    def _open_rooms(self) -> None:
        self.rooms_dialog.open_at(self._room_id)

    @Slot(object)
    def _on_room_kept(self, room: Room) -> None:
        self.show_room(room.id)

    @Slot()
    def _open_import(self) -> None:
        self.import_dialog.open_for(None, self._room_id)

    def open_import_of(self, path: Path) -> None:
        """Open the import dialog with a file in it."""
        self.import_dialog.open_for(path, self._room_id)

    @Slot(object, object)
    def _on_imported(self, report: ImportReport, room_id: UUID) -> None:
        """Show what came in; older air than the span reaches is shown with everything."""
        self._room_id = room_id
        shown = self._look.first if self._look is not None else self.session.now()
        if report.last_at is not None and report.last_at < shown:
            self._show_all()
        else:
            self.mark_stale()
        self.said.emit(
            self.tr("{file}: {count} taken in.").format(
                file=report.source_name, count=count_words(report.imported)
            )
        )

    @Slot(object)
    def _on_kept(self, _reading: AirReading) -> None:
        self.said.emit(self.form.said.text())

    @Slot(object)
    def _ask_to_take_back(self, row: LoggedAir) -> None:
        self._going = row
        source = row.source if row.imported else self.tr("typed")
        self.take_back_dialog.ask(
            self.tr("{air}, read {time} ({source}), logged by {who}.").format(
                air=logged_words(row, self.session),
                time=time_words(row, self.session),
                source=source,
                who=row.who,
            )
        )

    @Slot(str)
    def _take_back(self, reason: str) -> None:
        if self._going is None:
            return
        row, self._going = self._going, None
        session = self.session
        session.attempt(lambda: take_back(session.opened, row.record_ids, session.now(), reason))

    # A file dragged onto the page.

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Welcome one file."""
        if dropped_file(event.mimeData()) is not None and self.head.import_button.isEnabled():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the import dialog for the file."""
        path = dropped_file(event.mimeData())
        if path is not None:
            event.acceptProposedAction()
            self.open_import_of(path)

    def set_theme(self, theme: Theme) -> None:
        """Take on new colours."""
        self.setStyleSheet(air_sheet(theme))
        self.plot.set_theme(theme)
        self.latest.set_theme(theme)
        super().set_theme(theme)
