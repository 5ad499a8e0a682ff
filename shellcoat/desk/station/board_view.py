"""The board: whose shell, the large lines, the notes, and one row of buttons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFont, QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QLabel, QWidget

from shellcoat.desk.dip.state_card import MARKS
from shellcoat.desk.station.arrangement import button_row
from shellcoat.desk.station.buttons import StationButton
from shellcoat.desk.station.lettering import (
    MARK_ROOM,
    Lettering,
    Set,
    fit_lines,
    fit_text,
    lettering_of,
)
from shellcoat.desk.station.lines import CapitalLine
from shellcoat.desk.station.ruler import (
    CAP_AIM_MM,
    CAP_LEAST_MM,
    CAP_MOST_MM,
    GAP_MM,
    MARGIN_MM,
    NOTE_CAP_MM,
    PRIMARY_MM,
    Ruler,
)
from shellcoat.desk.theme import Theme
from shellcoat.operations.station import BigLine, Board, LineKind

NAME_CAPS_MM = (6.0, 9.0)
NAME_MM = 13.0
CLOCK_SHARE = 0.42
"""Of the top row goes to the clock and the timers."""

ALL, STATE_SHORT, ALL_SHORT = (), (LineKind.STATE, LineKind.DRY), tuple(LineKind)

TRIES = (
    (ALL, 4, CAP_AIM_MM),
    (ALL, 3, CAP_AIM_MM),
    (ALL, 3, CAP_LEAST_MM),
    (STATE_SHORT, 3, CAP_LEAST_MM),
    (STATE_SHORT, 2, CAP_LEAST_MM),
    (ALL_SHORT, 2, CAP_LEAST_MM),
    (STATE_SHORT, 1, CAP_LEAST_MM),
    (ALL_SHORT, 1, CAP_LEAST_MM),
    (STATE_SHORT, 0, CAP_LEAST_MM),
    (ALL_SHORT, 0, CAP_LEAST_MM),
)
"""What gives way where room is scarce: lines in short words, rows of notes, capitals [mm].

The state's short words leave out what the first note says as well.
"""

ROOMY = 4
"""Only the first tries, which leave room for notes, have room for a timer's line as well."""

Fitted = tuple[list[tuple[BigLine, str]], list[Set]]


@dataclass(frozen=True, slots=True)
class Press:
    """A button of the board: its name, its letters, what a screen reader says."""

    name: str
    text: str
    spoken: str = ""


class BoardView(QWidget):
    """Paints a board as large as its screen allows; on a small one it shows fewer things."""

    def __init__(self, theme: Theme, buttons: dict[str, StationButton], parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("station_board")
        self.theme, self.ruler = theme, Ruler(96 / 25.4)
        self.buttons = buttons
        self._board = Board()
        self._extra: tuple[BigLine, ...] = ()
        self._presses: Sequence[Press] = ()
        self._aside = ""
        self.name = CapitalLine(theme, self)
        self.name.setObjectName("station_name")
        self.aside = CapitalLine(theme, self)
        self.aside.setObjectName("station_clock")
        self.aside.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.lines: dict[LineKind, CapitalLine] = {}
        for kind in LineKind:
            self.lines[kind] = CapitalLine(theme, self)
            self.lines[kind].setObjectName(f"station_line_{kind.value.replace(' ', '_')}")
        self.notes = QLabel(self)
        self.notes.setObjectName("station_notes")
        self.notes.setWordWrap(True)
        self.notes.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)

    def show_board(
        self,
        board: Board,
        extra: tuple[BigLine, ...],
        aside: str,
        presses: Sequence[Press],
    ) -> None:
        """Show a board; `extra` lines go first where there is no room, `aside` tops the right."""
        self._board, self._extra, self._aside, self._presses = board, extra, aside, presses
        self.arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit everything anew."""
        super().resizeEvent(event)
        self.arrange()

    def arrange(self) -> None:
        """Place everything, in millimetres."""
        margin, gap = self.ruler.px(MARGIN_MM), self.ruler.px(GAP_MM)
        inner = self.rect().adjusted(margin, margin, -margin, -margin)
        if inner.width() <= 0 or inner.height() <= 0:
            return
        lettering = lettering_of(self.font())
        primary = self.ruler.px(PRIMARY_MM)
        foot = QRect(inner.left(), inner.bottom() - primary + 1, inner.width(), primary)
        self._arrange_buttons(foot)
        top = QRect(inner.left(), inner.top(), inner.width(), self.ruler.px(NAME_MM))
        middle = QRect(inner.left(), top.bottom() + 1, inner.width(), 0)
        middle.setBottom(foot.top() - gap)
        self._arrange_lines(middle, lettering)
        self._arrange_top(top, lettering)

    def _arrange_buttons(self, area: QRect) -> None:
        rects = button_row(area, len(self._presses), self.ruler, primary=True)
        shown = dict(zip((press.name for press in self._presses), rects, strict=False))
        for press in self._presses:
            self.buttons[press.name].say(press.text, press.spoken)
        for name, button in self.buttons.items():
            if name in shown:
                button.place(shown[name], self.ruler)
            else:
                button.hide()

    def _arrange_top(self, area: QRect, lettering: Lettering) -> None:
        gap, share = self.ruler.px(GAP_MM), int(area.width() * CLOCK_SHARE)
        right = QRect(area.right() - share + 1, area.top(), share, area.height())
        left = QRect(area.left(), area.top(), area.width() - share - gap, area.height())
        caps = (self.ruler.px(NAME_CAPS_MM[0]), self.ruler.px(NAME_CAPS_MM[1]))
        left_out = [line.text for line in self._extra if self.lines[line.kind].isHidden()]
        aside = "  ".join([*left_out, self._aside])
        pairs = ((self.name, self._board.name, left), (self.aside, aside, right))
        for line, text, rect in pairs:
            line.setGeometry(rect)
            line.show_set(text, fit_text(text, rect, caps, lettering, 1), lettering)
            line.setVisible(bool(text))

    def _arrange_lines(self, area: QRect, lettering: Lettering) -> None:
        lines, sets = self._fitted(area, lettering)
        mark = MARKS.get(self._board.state) if self._board.state else None
        top = area.top()
        for kind, label in self.lines.items():
            label.setVisible(any(line.kind is kind for line, _ in lines))
        for (line, text), setting in zip(lines, sets, strict=True):
            label = self.lines[line.kind]
            height = round(setting.height(lettering))
            label.setGeometry(area.left(), top, area.width(), height)
            label.show_set(text, setting, lettering, mark if line.kind is LineKind.STATE else None)
            top += height
        self._arrange_notes(QRect(area.left(), top, area.width(), area.bottom() - top))

    def _fitted(self, area: QRect, lettering: Lettering) -> Fitted:
        """The lines with what they say, and how they are set."""
        tries = [([*self._board.lines, *self._extra], one) for one in TRIES[:ROOMY]]
        tries += [([*self._board.lines], one) for one in TRIES]
        for lines, (short, rows, least_mm) in tries:
            said = [(one, (one.kind in short and one.short) or one.text) for one in lines]
            height = area.height() - self._notes_height(rows)
            caps = (self.ruler.px(least_mm), self.ruler.px(CAP_MOST_MM))
            marked = [(text, self._mark_room(one)) for one, text in said]
            sets = fit_lines(marked, (area.width(), height), caps, lettering)
            if sets is not None:
                return said, sets
        return self._first_that_fit(area, lettering)

    def _notes_height(self, rows: int) -> int:
        """Room for so many rows of notes, or for all where there are few."""
        row = QFontMetrics(self._notes_font()).lineSpacing()
        return min(rows, 2 * len(self._board.notes)) * row

    def _notes_font(self) -> QFont:
        lettering = lettering_of(self.font())
        return lettering.font(lettering.size_for(self.ruler.px(NOTE_CAP_MM)))

    def _mark_room(self, line: BigLine) -> float:
        marked = line.kind is LineKind.STATE and self._board.state is not None
        return MARK_ROOM if marked else 0.0

    def _first_that_fit(self, area: QRect, lettering: Lettering) -> Fitted:
        """A screen too small even so: the first lines, cut, at the least height."""
        caps = (self.ruler.px(CAP_LEAST_MM), self.ruler.px(CAP_LEAST_MM))
        said: list[tuple[BigLine, str]] = []
        sets: list[Set] = []
        left = float(area.height())
        for line in self._board.lines:
            text = line.short or line.text
            rect = QRect(0, 0, int(area.width() - MARK_ROOM * caps[0]), int(max(left, 0)))
            setting = fit_text(text, rect, caps, lettering, 2)
            left -= setting.height(lettering)
            if left < 0:
                break
            said.append((line, text))
            sets.append(setting)
        return said, sets

    def _arrange_notes(self, area: QRect) -> None:
        font = self._notes_font()
        self.notes.setFont(font)
        self.notes.setStyleSheet(f"font-size: {font.pixelSize()}px; color: {self.theme.text};")
        metrics, shown = QFontMetrics(font), ""
        everything = "\n".join(f"• {note}" for note in self._board.notes)
        for note in self._board.notes:
            text = f"{shown}\n• {note}" if shown else f"• {note}"
            box = QRect(0, 0, area.width(), 100_000)
            if metrics.boundingRect(box, Qt.TextFlag.TextWordWrap, text).height() > area.height():
                continue
            shown = text
        self.notes.setGeometry(area)
        self.notes.setText(shown)
        self.notes.setAccessibleName(everything)
        self.notes.setToolTip(everything)
        self.notes.setVisible(bool(shown))

    def set_theme(self, theme: Theme) -> None:
        """Paint in other colours."""
        self.theme = theme
        for line in (self.name, self.aside, *self.lines.values()):
            line.theme = theme
        self.arrange()
