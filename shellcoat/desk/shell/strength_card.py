"""The strength the wall needs, spot by spot, on the Shell page."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.marks import MarkState, mark_pixmap
from shellcoat.desk.section.words import translate
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.need_bar import NeedBar
from shellcoat.desk.shell.spot_drawing import WriteLength, paint_spot
from shellcoat.desk.theme import Theme
from shellcoat.forecast.answers import ShellForecast
from shellcoat.forecast.strength_need import SpotAnswer, SpotVerdict
from shellcoat.operations.strength import (
    CAUTION,
    IN_SHORT,
    NO_SPOTS,
    ShellStrength,
    StrengthWriter,
    shell_strength,
    write_metal,
    write_spot,
)
from shellcoat.shop import Shell, StressSpot
from shellcoat.units import Quantity

MARGIN = 12
MARK_SIDE = 24
DRAWING = QSize(236, 124)
# The lens asks for a look; neither it nor the tick says that a mould will hold.
MARKS = {
    SpotVerdict.FINE: MarkState.FINISHED,
    SpotVerdict.LOOK: MarkState.READY_FOR_REVIEW,
    SpotVerdict.STOP: MarkState.WARNING,
}


class SpotDrawing(QWidget):
    """The drawing of one spot."""

    def __init__(
        self, spot: StressSpot, write: WriteLength, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._spot, self._write, self._theme = spot, write, theme
        self.setFixedSize(DRAWING)
        self.setAccessibleName(self.tr("Drawing of {spot}").format(spot=spot.name))
        self.setAccessibleDescription(describe_spot(spot, write))

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self._theme = theme
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the spot."""
        painter = QPainter(self)
        paint_spot(painter, QRectF(self.rect()), self._spot, self._theme, self._write)
        painter.end()


def describe_spot(spot: StressSpot, write: WriteLength) -> str:
    """What the drawing shows, in words."""
    head = translate("Strength", "{head} of metal above").format(head=write(spot.head_m))
    if spot.long_m is None or spot.short_m is None:
        words = translate("Strength", "round wall, radius {radius}, {head}")
        return words.format(radius=write(spot.radius_m or 0.0), head=head)
    held = translate("Strength", "edges held" if spot.clamped else "edges that can tilt")
    words = translate("Strength", "flat face, {long} by {short}, {held}, {head}")
    return words.format(long=write(spot.long_m), short=write(spot.short_m), held=held, head=head)


class SpotRow(QWidget):
    """One spot: its drawing, what the figures say of it, its bands and its sentences."""

    def __init__(
        self, session: DeskSession, spot: StressSpot, answer: SpotAnswer, theme: Theme
    ) -> None:
        super().__init__()
        writer = StrengthWriter(session.opened.units, session.decimal_mark)
        self.setObjectName("strength_row")
        self._verdict = answer.verdict
        self.drawing = SpotDrawing(
            spot, lambda metres: session.write(metres, Quantity.LENGTH), theme, self
        )
        self.name = label(self, "strength_name", "headline", wrap=True)
        self.name.setText(breakable(spot.name))
        self.mark = QLabel(self)
        self.mark.setFixedSize(MARK_SIDE, MARK_SIDE)
        self.verdict = label(self, "strength_verdict", "headline", wrap=True)
        self.verdict.setText(translate("Strength", answer.verdict.value))
        self.bar = NeedBar(answer, writer.walls, theme, self)
        self.words = label(self, "strength_words", wrap=True)
        self.words.setText(write_spot(answer, writer))
        self.helped = label(self, "strength_helped", "muted", wrap=True)
        self.helped.setText(
            self.tr("Helped by {help}: no published figure; not counted.").format(
                help=breakable(spot.helped_by)
            )
        )
        self.helped.setVisible(bool(spot.helped_by))
        self._lay_out()
        self.set_theme(theme)

    def _lay_out(self) -> None:
        said = QHBoxLayout()
        said.setSpacing(8)
        said.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignTop)
        said.addWidget(self.verdict, 1)
        beside = QVBoxLayout()
        beside.setSpacing(6)
        beside.addWidget(self.name)
        beside.addLayout(said)
        beside.addWidget(self.helped)
        beside.addStretch(1)
        head = QHBoxLayout()
        head.setSpacing(14)
        head.addWidget(self.drawing, 0, Qt.AlignmentFlag.AlignTop)
        head.addLayout(beside, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, MARGIN)
        column.setSpacing(6)
        column.addLayout(head)
        column.addWidget(self.bar)
        column.addWidget(self.words)

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        mark = MARKS[self._verdict]
        self.mark.setPixmap(mark_pixmap(mark, theme, MARK_SIDE, self.devicePixelRatioF()))
        self.drawing.set_theme(theme)
        self.bar.set_theme(theme)


class StrengthCard(QFrame):
    """Every stress spot of a shell, the worst first, over what the figures cannot say.

    Signals
    -------
    edit_requested : somebody wants to give or change the spots
    """

    edit_requested = Signal()

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strength_card")
        self._session, self._theme = session, theme
        self._shown: tuple[object, ...] | None = None
        self.rows: list[SpotRow] = []
        self.head = label(self, "strength_head", wrap=True)
        self.edit_button = QPushButton(self.tr("Stress s&pots…"), self)
        self.edit_button.setObjectName("strength_edit")
        self.edit_button.clicked.connect(self.edit_requested)
        self.empty = label(self, "strength_empty", "empty", wrap=True)
        self.empty.setText(NO_SPOTS)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.caution = label(self, "strength_caution", wrap=True)
        self.caution.setText(CAUTION)
        self._lay_out()

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.head, 1)
        top.addWidget(self.edit_button, 0, Qt.AlignmentFlag.AlignTop)
        inside = QWidget(self)
        inside.setObjectName("strength_inside")
        self._list = QVBoxLayout(inside)
        self._list.setContentsMargins(0, 0, 8, 0)
        self._list.addWidget(self.empty)
        self._list.addWidget(self.caution)
        self._list.addStretch(1)
        scroll = QScrollArea(self)
        scroll.setObjectName("strength_scroll")
        scroll.setAccessibleName(self.tr("Strength the wall needs"))
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setStyleSheet(
            "QScrollArea#strength_scroll, QWidget#strength_inside { background: transparent; }"
        )
        scroll.setWidget(inside)
        column = QVBoxLayout(self)
        column.setContentsMargins(MARGIN, MARGIN, MARGIN, MARGIN)
        column.addLayout(top)
        column.addWidget(scroll, 1)

    def show_shell(self, shell: Shell, forecast: ShellForecast) -> None:
        """Show the spots of a shell; where nothing has changed nothing is built anew."""
        strength = shell_strength(shell, forecast)
        self.edit_button.setEnabled(not self._session.opened.book.read_only)
        shown = (shell.spots, shell.metal, strength, self._session.opened.units)
        if shown == self._shown:
            return
        self._shown = shown
        self.head.setText(breakable(self._head_words(shell, strength)))
        self.empty.setVisible(not shell.spots)
        self._fill(shell, strength)

    def _head_words(self, shell: Shell, strength: ShellStrength) -> str:
        session = self._session
        metal = write_metal(strength.match, shell.metal, session.opened.units, session.decimal_mark)
        return f"{metal} {IN_SHORT}"

    def _fill(self, shell: Shell, strength: ShellStrength) -> None:
        for row in self.rows:
            self._list.removeWidget(row)
            row.hide()
            row.deleteLater()
        spots = {spot.id: spot for spot in shell.spots}
        self.rows = [
            SpotRow(self._session, spots[answer.spot_id], answer, self._theme)
            for answer in strength.answers
        ]
        for place, row in enumerate(self.rows):
            self._list.insertWidget(place, row)

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self._theme = theme
        for row in self.rows:
            row.set_theme(theme)
