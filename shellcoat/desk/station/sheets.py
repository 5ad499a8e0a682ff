"""Sheets that lie over the board: a title, what is to be chosen, a row of buttons at the foot."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from shellcoat.desk.station.arrangement import button_row, grid
from shellcoat.desk.station.buttons import StationButton
from shellcoat.desk.station.lettering import fit_text, lettering_of
from shellcoat.desk.station.lines import CapitalLine
from shellcoat.desk.station.ruler import BUTTON_MM, GAP_MM, MARGIN_MM, Ruler
from shellcoat.desk.theme import Theme

TITLE_MM = 14.0
TITLE_CAPS_MM = (5.0, 8.0)
CHOICE_MM = 80.0
"""A choice is at least so wide: a label and a name in capitals that can be read."""

MOST_CHOICES = 40


@dataclass(frozen=True, slots=True)
class Choice:
    """Something to choose: what it is known by, its letters, whether it is ticked."""

    key: object
    text: str
    ticked: bool | None = None


class Sheet(QWidget):
    """A sheet over the board."""

    closed = Signal()

    def __init__(self, name: str, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName(f"station_{name}_sheet")
        self.theme, self.ruler = theme, Ruler(96 / 25.4)
        self.foot: list[StationButton] = []
        self.title = CapitalLine(theme, self)
        self.title.setObjectName(f"station_{name}_title")
        self._title = ""

    def add(
        self, name: str, text: str, act: Callable[[], object], *, primary: bool = False
    ) -> StationButton:
        """Make one more button of the sheet."""
        button = StationButton(name, self.theme, self, primary=primary)
        button.say(text)
        button.clicked.connect(lambda _checked: act())
        return button

    def begin(self) -> None:
        """Come up to date as the sheet is opened; a sheet that never changes has nothing to do."""

    def focus_first(self) -> None:
        """Give the focus to the first button at the foot."""
        if self.foot:
            self.foot[0].setFocus()

    def say_title(self, text: str) -> None:
        """Head the sheet."""
        self._title = text
        self.arrange()

    def press_first(self) -> None:
        """What Enter and the foot switch do: the first button at the foot."""
        if self.foot and self.foot[0].isVisible():
            self.foot[0].click()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place everything anew."""
        super().resizeEvent(event)
        self.arrange()

    def arrange(self) -> None:
        """Place the title, the body and the foot."""
        margin, gap, high = (self.ruler.px(mm) for mm in (MARGIN_MM, GAP_MM, BUTTON_MM))
        inner = self.rect().adjusted(margin, margin, -margin, -margin)
        if inner.width() <= 0 or inner.height() <= 0:
            return
        top = QRect(inner.left(), inner.top(), inner.width(), self.ruler.px(TITLE_MM))
        lettering = lettering_of(self.font())
        caps = (self.ruler.px(TITLE_CAPS_MM[0]), self.ruler.px(TITLE_CAPS_MM[1]))
        self.title.setGeometry(top)
        self.title.show_set(self._title, fit_text(self._title, top, caps, lettering, 1), lettering)
        foot = QRect(inner.left(), inner.bottom() - high + 1, inner.width(), high)
        rects = button_row(foot, len(self.foot), self.ruler, primary=False)
        for button, rect in zip(self.foot, rects, strict=False):
            button.place(rect, self.ruler)
        body = QRect(inner.left(), top.bottom() + 1, inner.width(), 0)
        body.setBottom(foot.top() - gap - 1)
        self.arrange_body(body)

    def arrange_body(self, area: QRect) -> None:
        """Place what lies between title and foot."""

    def set_theme(self, theme: Theme) -> None:
        """Paint in other colours."""
        self.theme = self.title.theme = theme
        for button in self.findChildren(StationButton):
            button.theme = theme
        self.update()


class ChoiceSheet(Sheet):
    """Choices in a grid, a page of them at a time.

    Signals
    -------
    chosen : the key of the choice that was pressed
    """

    chosen = Signal(object)

    def __init__(self, name: str, theme: Theme, parent: QWidget) -> None:
        super().__init__(name, theme, parent)
        self.choices: Sequence[Choice] = ()
        self._page = 0
        self.buttons = [self._choice_button(name, place) for place in range(MOST_CHOICES)]
        self.more = self.add(f"{name}_more", self.tr("MORE"), self._turn_page)

    def _choice_button(self, name: str, place: int) -> StationButton:
        button = self.add(f"{name}_{place + 1}", "", lambda: self._press(place))
        button.setCheckable(True)
        button.hide()
        return button

    def show_choices(self, choices: Sequence[Choice], *, same_page: bool = False) -> None:
        """Offer something else; `same_page` where the choices only changed."""
        self.choices = choices
        self._page = self._page if same_page else 0
        self.arrange()

    def _press(self, place: int) -> None:
        at = self._page * max(self._room(), 1) + place
        if at < len(self.choices):
            self.chosen.emit(self.choices[at].key)

    def _turn_page(self) -> None:
        pages = -(-len(self.choices) // max(self._room(), 1))
        self._page = (self._page + 1) % max(pages, 1)
        self.arrange()

    def _room(self) -> int:
        return min(len(self._cells), MOST_CHOICES)

    _cells: Sequence[QRect] = ()

    def arrange_body(self, area: QRect) -> None:
        """Place this page's choices; the last cell turns the page where there are more."""
        cells = grid(self.choice_area(area), CHOICE_MM, self.ruler)
        paged = len(self.choices) > len(cells)
        self._cells = cells[:-1] if paged else cells
        self.more.place(cells[-1], self.ruler) if paged and cells else self.more.hide()
        first = self._page * self._room()
        shown = self.choices[first : first + self._room()]
        for place, button in enumerate(self.buttons):
            if place >= len(shown):
                button.hide()
                continue
            choice = shown[place]
            button.setCheckable(choice.ticked is not None)
            button.setChecked(bool(choice.ticked))
            button.say(choice.text)
            button.place(self._cells[place], self.ruler)

    def choice_area(self, area: QRect) -> QRect:
        """The part of the body the choices lie in."""
        return area
