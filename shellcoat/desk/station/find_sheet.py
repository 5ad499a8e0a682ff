"""Finding a shell by a number pad, by first letters, or by typing."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QWidget

from shellcoat.desk.station.arrangement import pad
from shellcoat.desk.station.buttons import StationButton
from shellcoat.desk.station.ruler import GAP_MM
from shellcoat.desk.station.sheets import Choice, ChoiceSheet
from shellcoat.desk.station.work import StationWork
from shellcoat.desk.theme import Theme
from shellcoat.operations.station import find_rows

NUMBERS = "7894561230"
"""In the order of a number pad."""

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


class FindSheet(ChoiceSheet):
    """A pad at the left, the shells that fit at the right."""

    def __init__(self, work: StationWork, theme: Theme, parent: QWidget) -> None:
        super().__init__("find", theme, parent)
        self._work = work
        self.typed = ""
        self._lettered = False
        self.keys = {
            sign: self.add(f"key_{sign}", sign, partial(self.type_on, sign))
            for sign in NUMBERS + LETTERS
        }
        self.rub = self.add("key_back", "⌫", self.rub_out)
        self.rub.setAccessibleName(self.tr("Rub out the last one"))
        self.turn = self.add("key_turn", "ABC", self._turn_pad)
        self.foot = [
            self.add("find_take", self.tr("TAKE THE FIRST"), self.take_first, primary=True),
            self.add("find_back", self.tr("BACK"), self.closed.emit),
        ]

    def begin(self) -> None:
        """Start looking."""
        self.typed = ""
        self._lettered = False
        self.look()

    def type_on(self, text: str) -> None:
        """Add to what is looked for."""
        self.typed = (self.typed + text).upper()[:40]
        self.look()

    def rub_out(self) -> None:
        """Take the last sign away."""
        self.typed = self.typed[:-1]
        self.look()

    def look(self) -> None:
        """Show the shells that fit."""
        rows = find_rows(self._work.rows(), self.typed)
        choices = [Choice(row.shell.id, f"{row.shell.label} {row.shell.name}") for row in rows]
        self._title = self.tr("WHICH SHELL? {typed}").format(typed=self.typed or "…")
        if not rows:
            self._title = self.tr("NONE BEGINS WITH {typed}").format(typed=self.typed)
        self.show_choices(choices)

    def take_first(self) -> None:
        """Take the first that fits."""
        if self.choices:
            self.chosen.emit(self.choices[0].key)

    def press_first(self) -> None:
        """Enter and the foot switch take the first that fits."""
        self.take_first()

    def _turn_pad(self) -> None:
        self._lettered = not self._lettered
        self.arrange()

    def choice_area(self, area: QRect) -> QRect:
        """What the pad leaves; where there is no room for one, shells are paged through."""
        sides = {sign: pad(area, len(sign) + 2, self.ruler) for sign in (NUMBERS, LETTERS)}
        shown = LETTERS if self._lettered and sides[LETTERS] else NUMBERS
        self._letter_turn(LETTERS if shown is NUMBERS else NUMBERS)
        rects = sides[shown]
        keys: list[StationButton] = [*(self.keys[sign] for sign in shown), self.rub, self.turn]
        for key in (*self.keys.values(), self.rub, self.turn):
            key.hide()
        for key, rect in zip(keys, rects, strict=False):
            key.place(rect, self.ruler)
        if not sides[LETTERS]:
            self.turn.hide()
        right = max((rect.right() + self.ruler.px(GAP_MM) + 1 for rect in rects), default=0)
        return QRect(QPoint(max(area.left(), right), area.top()), area.bottomRight())

    def _letter_turn(self, other: str) -> None:
        spoken = self.tr("Show the letters") if other is LETTERS else self.tr("Show the numbers")
        self.turn.say("ABC" if other is LETTERS else "123", spoken)
