"""Starting, setting and stopping the timers."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget

from shellcoat.desk.station.arrangement import rows_within
from shellcoat.desk.station.buttons import StationButton
from shellcoat.desk.station.ruler import BUTTON_MM, GAP_MM
from shellcoat.desk.station.sheets import Choice, ChoiceSheet
from shellcoat.desk.station.timer_keeper import TimerKeeper
from shellcoat.desk.station.work import Mode, StationWork
from shellcoat.desk.theme import Theme
from shellcoat.operations.station_timers import TimerKind, stepped, write_left
from shellcoat.shop import CoatKind

SETTING_SHARE = 0.58
"""Of the width goes to the three timers; what runs stands beside them."""


class TimersSheet(ChoiceSheet):
    """A row a timer with its length for this kind of coat; those that run stop by a press."""

    def __init__(
        self, work: StationWork, keeper: TimerKeeper, theme: Theme, parent: QWidget
    ) -> None:
        super().__init__("timers", theme, parent)
        self._work, self._keeper = work, keeper
        self._coat = CoatKind.BACKUP
        self.starts: dict[TimerKind, StationButton] = {}
        self.ways: dict[tuple[TimerKind, int], StationButton] = {}
        for kind in TimerKind:
            self.starts[kind] = self.add(
                f"start_{kind.name.lower()}", "", partial(self.start, kind)
            )
            for way, sign, name in ((-1, "−", "shorter"), (1, "+", "longer")):
                button = self.add(f"{name}_{kind.name.lower()}", sign, partial(self.set, kind, way))
                self.ways[kind, way] = button
        self.foot = [
            self.add("timers_back", self.tr("BACK"), self.closed.emit),
            self.add("timers_coat", self.tr("OTHER COAT"), self._next_coat),
        ]
        self.chosen.connect(keeper.stop)
        keeper.ticked.connect(self._on_tick)

    def begin(self) -> None:
        """Show the timers for the coat on the board."""
        self._coat = self._work.coat_kind()
        self.look()

    def start(self, kind: TimerKind) -> None:
        """Start a timer on the shell on the board: the one taken up, dipped last, or next."""
        work = self._work
        dipped = work.last.shell_id if work.last and work.mode is Mode.DIPPED else None
        shell_id = dipped or work.shown()
        about = work.session.opened.ledger.shell(shell_id).name if shell_id else ""
        self._keeper.start(kind, about, self._keeper.settings.seconds(kind, self._coat))

    def set(self, kind: TimerKind, way: int) -> None:
        """Make it longer or shorter for this kind of coat."""
        settings = self._keeper.settings
        now = settings.seconds(kind, self._coat)
        settings.set_seconds(kind, self._coat, stepped(now, way))
        self.look()

    def _next_coat(self) -> None:
        kinds = list(CoatKind)
        self._coat = kinds[(kinds.index(self._coat) + 1) % len(kinds)]
        self.look()

    def _on_tick(self) -> None:
        if self.isVisible():
            self.look()

    def look(self) -> None:
        """Show lengths and what runs."""
        self._title = self.tr("TIMERS: {coat} COAT").format(coat=self.tr(self._coat.value).upper())
        for kind, button in self.starts.items():
            seconds = self._keeper.settings.seconds(kind, self._coat)
            word = self.tr(kind.value).upper()
            button.say(f"{word} {write_left(seconds)}", self.tr("Start {word}").format(word=word))
            self.ways[kind, -1].setAccessibleName(self.tr("{word} shorter").format(word=word))
            self.ways[kind, 1].setAccessibleName(self.tr("{word} longer").format(word=word))
        running = [
            Choice(
                timer.id,
                self.tr("STOP {word} {left} {about}").format(
                    word=self.tr(timer.kind.value).upper(),
                    left=write_left(left),
                    about=timer.about,
                ),
            )
            for timer, left in self._keeper.left()
        ]
        self.show_choices(running, same_page=True)

    def choice_area(self, area: QRect) -> QRect:
        """What the three rows leave at the right."""
        gap, side = self.ruler.px(GAP_MM), self.ruler.px(BUTTON_MM)
        wide = int(area.width() * SETTING_SHARE)
        fitting = rows_within(area.height(), BUTTON_MM, self.ruler)
        for row, (kind, button) in enumerate(self.starts.items()):
            if row >= fitting:
                for one in (button, self.ways[kind, -1], self.ways[kind, 1]):
                    one.hide()
                continue
            top = area.top() + row * (side + gap)
            middle = QRect(area.left() + side + gap, top, wide - 2 * (side + gap), side)
            self.ways[kind, -1].place(QRect(area.left(), top, side, side), self.ruler)
            button.place(middle, self.ruler)
            right = QRect(area.left() + wide - side, top, side, side)
            self.ways[kind, 1].place(right, self.ruler)
        return area.adjusted(wide + gap, 0, 0, 0)
