"""The large buttons that log a check of this moment, for wet or gloved hands."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QPushButton, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.choices import choose
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.touch_form import where_choices
from shellcoat.shop import CaliperReading, DryFinding, InfraredReading, Shell, Weighing

LARGE_PX = 54
"""With its borders 15 mm at 96 dots an inch."""


class CheckButtons(QWidget):
    """Two buttons that keep a touch at once, three that ask for a figure first.

    Signals
    -------
    touched : what was found, and the core it was found in, None for the face
    asked : the kind of check that is to be typed in
    """

    touched = Signal(object, object)
    asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._places: list[tuple[str, UUID | None]] = []
        self.where = QComboBox(self)
        self.where.setObjectName("checks_where")
        self.where.setAccessibleName(self.tr("Where it was touched"))
        self.where.setMinimumContentsLength(10)
        self.where.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.dry = self._touch(self.tr("It is dr&y"), "checks_dry", DryFinding.DRY)
        self.wet = self._touch(self.tr("Still w&et"), "checks_wet", DryFinding.STILL_WET)
        self.infrared = self._ask(self.tr("In&frared…"), "checks_infrared", InfraredReading)
        self.weigh = self._ask(self.tr("We&igh…"), "checks_weigh", Weighing)
        self.measure = self._ask(self.tr("&Measure wall…"), "checks_measure", CaliperReading)
        self._lay_out()

    def _touch(self, text: str, name: str, finding: DryFinding) -> QPushButton:
        return self._large(text, name, partial(self._on_touch, finding))

    def _ask(self, text: str, name: str, kind: type) -> QPushButton:
        return self._large(text, name, partial(self._on_ask, kind))

    def _large(self, text: str, name: str, slot: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        button.setAutoDefault(False)
        button.setStyleSheet(f"min-height: {LARGE_PX}px; font-size: 19px;")
        button.clicked.connect(lambda _checked: slot())
        return button

    def _on_touch(self, finding: DryFinding) -> None:
        self.touched.emit(finding, self.where.currentData())

    def _on_ask(self, kind: type) -> None:
        self.asked.emit(kind)

    def _lay_out(self) -> None:
        where = QVBoxLayout()
        where.setSpacing(2)
        words = label(self, "checks_where_words", "muted")
        words.setText(self.tr("Touched at"))
        where.addStretch(1)
        where.addWidget(words)
        where.addWidget(self.where)
        where.addStretch(1)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(GAP)
        grid.setVerticalSpacing(GAP)
        grid.addWidget(self.dry, 0, 0)
        grid.addWidget(self.wet, 0, 1)
        grid.addLayout(where, 0, 2)
        for column, button in enumerate((self.infrared, self.weigh, self.measure)):
            grid.addWidget(button, 1, column)
            grid.setColumnStretch(column, 1)

    def offer(self, shell: Shell) -> None:
        """Offer the face and the cores of a shell; what was chosen stays chosen."""
        places = where_choices(shell)
        if places == self._places:
            return
        chosen, self._places = self.where.currentData(), places
        self.where.clear()
        for text, core_id in places:
            self.where.addItem(text, core_id)
        choose(self.where, chosen)
        if self.where.currentIndex() < 0:
            self.where.setCurrentIndex(0)
