"""What a person gives beside the checks: the decision, the melt, and defects found."""

from __future__ import annotations

from functools import partial
from uuid import UUID

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import field_name, heading, label
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.review.words import translate
from shellcoat.desk.session import DeskSession
from shellcoat.errors import MendableError
from shellcoat.operations.review_answers import mend_defect, plan_melt, usual_melt
from shellcoat.operations.wording import write_time
from shellcoat.shop import Decision, Defect, Shell
from shellcoat.units import Quantity

MARGIN = 10
DEFECT_ROLE = 256
LIST_PX = 84
FIELD_PX = 110


def _card(name: str, parent: QWidget) -> tuple[QFrame, QVBoxLayout]:
    frame = QFrame(parent)
    frame.setObjectName(name)
    frame.setProperty("role", "card")
    column = QVBoxLayout(frame)
    column.setContentsMargins(MARGIN, MARGIN, MARGIN, MARGIN)
    column.setSpacing(6)
    return frame, column


class DecisionCard(QWidget):
    """Four decisions, none of them larger than another.

    Signals
    -------
    decided : what a person wants to sign
    """

    decided = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        texts = {
            Decision.BURN_OUT: self.tr("Bu&rn out…"),
            Decision.WAIT_UNTIL: self.tr("&Wait until…"),
            Decision.REPAIR: self.tr("R&epair…"),
            Decision.SCRAP: self.tr("S&crap…"),
        }
        frame, column = _card("review_decision", self)
        column.addWidget(heading(self, "review_decision_title", self.tr("Your decision")))
        grid = QGridLayout()
        self.buttons: dict[Decision, QPushButton] = {}
        for place, (decision, text) in enumerate(texts.items()):
            button = QPushButton(text, self)
            button.setObjectName(f"review_{decision.name.casefold()}")
            button.setAutoDefault(False)
            button.clicked.connect(partial(self._on_pressed, decision))
            grid.addWidget(button, place // 2, place % 2)
            self.buttons[decision] = button
        column.addLayout(grid)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(frame)

    def _on_pressed(self, decision: Decision) -> None:
        self.decided.emit(decision)

    def set_open(self, *, to_decide: bool) -> None:
        """Whether there is evidence to decide on, and a book to keep the decision in."""
        for button in self.buttons.values():
            button.setEnabled(to_decide)


class MeltCard(QWidget):
    """Furnace capacity, and the share of metal for cup and runners."""

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._shell_id: UUID | None = None
        self._shown: object = None
        self.capacity = KeptQuantityField(
            session, self.tr("Furnace holds"), Quantity.MASS, low=0.01, high=50_000, optional=True
        )
        self.capacity.setObjectName("review_capacity")
        self.extra = KeptQuantityField(
            session, self.tr("Cup and runners"), Quantity.HUMIDITY, low=0.0, high=1.0
        )
        self.extra.setObjectName("review_extra")
        self.keep_button = QPushButton(self.tr("&Keep"), self)
        self.keep_button.setObjectName("review_keep_melt")
        self.keep_button.setAutoDefault(False)
        self.keep_button.clicked.connect(self.keep)
        for field in (self.capacity, self.extra):
            field.setMaximumWidth(FIELD_PX)
            field.line.returnPressed.connect(self.keep)
        self._lay_out()

    def _lay_out(self) -> None:
        frame, column = _card("review_melt", self)
        column.addWidget(heading(self, "review_melt_title", self.tr("Metal to melt")))
        grid = QGridLayout()
        grid.addWidget(field_name(self, self.tr("&Furnace holds"), self.capacity), 0, 0)
        grid.addWidget(self.capacity, 0, 1)
        grid.addWidget(field_name(self, self.tr("Cup and r&unners"), self.extra), 1, 0)
        grid.addWidget(self.extra, 1, 1)
        grid.addWidget(self.keep_button, 1, 2)
        column.addLayout(grid)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(frame)

    def show_shell(self, shell: Shell) -> None:
        """Show what stands, or what the shop last used; what is being typed stays."""
        extra, capacity = usual_melt(self._session.opened, shell.id)
        shown = (shell.id, extra, capacity)
        if shown != self._shown:
            self._shown, self._shell_id = shown, shell.id
            self.extra.set_value(extra)
            self.capacity.set_value(capacity)

    def set_open(self, *, to_keep: bool) -> None:
        """Whether anything can be kept."""
        for each in (self.capacity, self.extra, self.keep_button):
            each.setEnabled(to_keep)

    @Slot()
    def keep(self) -> None:
        """Keep both, if both are understood."""
        shell_id = self._shell_id
        try:
            capacity, extra = self.capacity.value(), self.extra.required()
        except MendableError:
            return  # the field shows what is wrong
        if shell_id is not None:
            opened, now = self._session.opened, self._session.now()
            self._session.attempt(lambda: plan_melt(opened, shell_id, extra, capacity, now))


class DefectCard(QWidget):
    """Cracks, drips and patches of the shown shell.

    Signals
    -------
    add_requested : somebody has found one
    """

    add_requested = Signal()

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.list = QListWidget(self)
        self.list.setObjectName("review_defects")
        self.list.setAccessibleName(self.tr("Cracks, drips and patches"))
        self.list.setWordWrap(True)
        self.list.setFixedHeight(LIST_PX)
        self.list.currentRowChanged.connect(self._on_chosen)
        self.none = label(self, "review_no_defects", "muted", wrap=True)
        self.none.setText(self.tr("None is listed."))
        self.add_button = QPushButton(self.tr("A&dd…"), self)
        self.add_button.setObjectName("review_add_defect")
        self.add_button.setAccessibleName(self.tr("Add a crack, drip or patch"))
        self.add_button.setAutoDefault(False)
        self.add_button.clicked.connect(self.add_requested)
        self.mend_button = QPushButton(self.tr("&Mended now"), self)
        self.mend_button.setObjectName("review_mend_defect")
        self.mend_button.setAutoDefault(False)
        self.mend_button.clicked.connect(self.mend)
        self._open = True
        self._lay_out()

    def _lay_out(self) -> None:
        frame, column = _card("review_defect_card", self)
        column.addWidget(heading(self, "review_defects_title", self.tr("Cracks and patches")))
        column.addWidget(self.none)
        column.addWidget(self.list)
        across = QHBoxLayout()
        across.addWidget(self.add_button)
        across.addWidget(self.mend_button)
        column.addLayout(across)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(frame)

    def show_shell(self, shell: Shell) -> None:
        """List the shell's defects; what was chosen stays chosen."""
        defects = self._session.opened.ledger.defects(shell.id)
        chosen = self._chosen()
        self.list.clear()
        for defect in defects:
            item = QListWidgetItem(breakable(self._words(defect)))
            item.setData(DEFECT_ROLE, defect)
            self.list.addItem(item)
            if chosen is not None and defect.id == chosen.id:
                self.list.setCurrentItem(item)
        if defects and self.list.currentRow() < 0:
            self.list.setCurrentRow(0)
        self.list.setVisible(bool(defects))
        self.none.setVisible(not defects)
        self._on_chosen()

    def _words(self, defect: Defect) -> str:
        zone, now = self._session.opened.zone, self._session.now()
        words = f"{translate(defect.kind.value)}, {defect.where}"
        closed = defect.closed_at
        if closed is None:
            return translate("{what}: open").format(what=words)
        at = write_time(closed, zone, now)
        return translate("{what}: mended {at}").format(what=words, at=at)

    def _chosen(self) -> Defect | None:
        item = self.list.currentItem()
        found = item.data(DEFECT_ROLE) if item else None
        return found if isinstance(found, Defect) else None

    def set_open(self, *, to_log: bool) -> None:
        """Whether anything can be logged."""
        self._open = to_log
        self.add_button.setEnabled(to_log)
        self._on_chosen()

    @Slot()
    def _on_chosen(self, _row: int = 0) -> None:
        chosen = self._chosen()
        self.mend_button.setEnabled(self._open and chosen is not None and chosen.closed_at is None)

    @Slot()
    def mend(self) -> None:
        """Note that slurry was put on the chosen one just now."""
        chosen = self._chosen()
        if chosen is not None:
            opened, now = self._session.opened, self._session.now()
            self._session.attempt(lambda: mend_defect(opened, chosen, max(now, chosen.at), now))
