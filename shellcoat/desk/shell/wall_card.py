"""The Wall tab of the Shell page: the wall by place, its weight, and what moved the estimate."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.check_words import check_writer
from shellcoat.desk.shell.need_bar import BandBar, BarScale
from shellcoat.desk.shell.wall_gatherer import WallGatherer
from shellcoat.desk.shell.wall_words import (
    move_lines,
    place_rows,
    place_title,
    place_words,
    weight_words,
)
from shellcoat.desk.theme import Theme
from shellcoat.forecast.wall_answers import PlaceAnswer, WallAnswer
from shellcoat.operations.check_wording import write_readings
from shellcoat.shop import Shell

MARGIN = 12
GAP = 4


class PlaceRow(QWidget):
    """The wall at one kind of place: its bands against the target, and what they say."""

    def __init__(
        self, session: DeskSession, answer: PlaceAnswer, scale: BarScale, theme: Theme
    ) -> None:
        super().__init__()
        self.setObjectName("wall_place")
        writer = check_writer(session)
        self.name = label(self, "wall_place_name", "headline")
        self.name.setText(place_title(answer))
        self.bar = BandBar(
            place_rows(answer), writer.walls, theme, self, mark=answer.target_m, scale=scale
        )
        self.bar.setObjectName("wall_place_bar")
        self.bar.setAccessibleName(
            self.tr("{place}: wall now and at the end").format(place=place_title(answer))
        )
        self.words = label(self, "wall_place_words", wrap=True)
        self.words.setText(place_words(session, answer))
        self.readings = label(self, "wall_place_readings")
        self.readings.setText(write_readings(answer.readings))
        head = QHBoxLayout()
        head.addWidget(self.name, 1)
        head.addWidget(self.readings)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, MARGIN)
        column.setSpacing(GAP)
        column.addLayout(head)
        column.addWidget(self.bar)
        column.addWidget(self.words)


class WallCard(QFrame):
    """The wall of one shell as all evidence has it.

    Signals
    -------
    said : a sentence for the line at the foot of the window
    """

    said = Signal(str)

    def __init__(
        self,
        session: DeskSession,
        theme: Theme,
        gatherer: WallGatherer,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("wall_card")
        self._session, self._theme, self._gatherer = session, theme, gatherer
        self._shown: tuple[object, ...] | None = None
        self.rows: list[PlaceRow] = []
        self.head = label(self, "wall_head", wrap=True)
        self.weight_head = label(self, "wall_weight_head", "headline")
        self.weight_head.setText(self.tr("Weight"))
        self.weight = label(self, "wall_weight", wrap=True)
        self.moved_head = label(self, "wall_moved_head", "headline")
        self.moved_head.setText(self.tr("What the figures rest on"))
        self.moved = label(self, "wall_moved", wrap=True)
        for words in (self.head, self.weight, self.moved):
            words.setTextFormat(Qt.TextFormat.PlainText)
        self._lay_out()
        self._say_waiting()
        gatherer.answered.connect(self.show_answer)
        gatherer.failed.connect(self._on_failed)

    def _lay_out(self) -> None:
        inside = QWidget(self)
        inside.setObjectName("wall_inside")
        self._list = QVBoxLayout(inside)
        self._list.setContentsMargins(0, 0, 8, 0)
        self._list.setSpacing(GAP)
        for widget in (self.weight_head, self.weight, self.moved_head, self.moved):
            self._list.addWidget(widget)
        self._list.insertSpacing(2, MARGIN)
        self._list.addStretch(1)
        scroll = QScrollArea(self)
        scroll.setObjectName("wall_scroll")
        scroll.setAccessibleName(self.tr("The wall by place"))
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setStyleSheet(
            "QScrollArea#wall_scroll, QWidget#wall_inside { background: transparent; }"
        )
        scroll.setWidget(inside)
        column = QVBoxLayout(self)
        column.setContentsMargins(MARGIN, MARGIN, MARGIN, MARGIN)
        column.addWidget(self.head)
        column.addWidget(scroll, 1)

    def _say_waiting(self) -> None:
        self.head.setText(self.tr("Working out the wall…"))
        self._show_parts(seen=False)

    def _show_parts(self, *, seen: bool) -> None:
        for widget in (self.weight_head, self.weight, self.moved_head, self.moved):
            widget.setVisible(seen)

    def show_shell(self, _shell: Shell) -> None:
        """Take in that the shell has changed; it is worked out once somebody looks."""
        if self._gatherer.answer is None:
            self._clear()
            self._say_waiting()
        if self.isVisible():
            self._gatherer.ask()

    def showEvent(self, event: QShowEvent) -> None:
        """Work it out, now that somebody looks."""
        super().showEvent(event)
        self._gatherer.ask()

    @Slot(object)
    def show_answer(self, answer: WallAnswer) -> None:
        """Show the wall; where nothing has changed nothing is built anew."""
        session, now = self._session, self._session.now()
        self.head.setText(
            self.tr(
                "Estimates: right eight times in ten within a bar; bold is likely, dashed the "
                "target."
            )
        )
        self.weight.setText(weight_words(session, answer, now))
        self.moved.setText(breakable("\n".join(move_lines(session, answer, now))))
        self._show_parts(seen=True)
        shown = (answer.places, session.opened.units)
        if shown != self._shown:
            self._shown = shown
            self._fill(answer)

    def _fill(self, answer: WallAnswer) -> None:
        shown = self._shown
        self._clear()
        self._shown = shown
        ends = [place.at_end_m for place in answer.places]
        written = [check_writer(self._session).walls(end) for end in ends]
        scale = BarScale(max((end.high for end in ends), default=0.0), max(written, key=len))
        self.rows = [PlaceRow(self._session, one, scale, self._theme) for one in answer.places]
        for number, row in enumerate(self.rows):
            self._list.insertWidget(number, row)

    def _clear(self) -> None:
        for row in self.rows:
            self._list.removeWidget(row)
            row.hide()
            row.deleteLater()
        self.rows, self._shown = [], None

    @Slot(str)
    def _on_failed(self, message: str) -> None:
        self.head.setText(breakable(message))
        self.said.emit(message)

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self._theme = theme
        for row in self.rows:
            row.bar.set_theme(theme)
