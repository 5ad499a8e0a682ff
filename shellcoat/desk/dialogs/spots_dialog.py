"""The stress spots of one shell: the faces and round walls that metal presses hardest on."""

from __future__ import annotations

from dataclasses import replace
from itertools import count

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.dialogs.field_grid import COLUMN_GAP, GAP
from shellcoat.desk.dialogs.form import SessionDialog
from shellcoat.desk.dialogs.lettering import shortened
from shellcoat.desk.dialogs.spot_editor import SpotEditor
from shellcoat.desk.dialogs.standing import Standing
from shellcoat.desk.session import DeskSession
from shellcoat.errors import MendableError
from shellcoat.operations.shells import edit_shell
from shellcoat.operations.strength import NO_SPOTS
from shellcoat.shop import Shell, StressSpot
from shellcoat.shop.stress import MOST_SPOTS

LIST_WIDTH_PX = 224
SIZE = QSize(780, 520)


class SpotsDialog(SessionDialog):
    """The list of spots on the left, the chosen one on the right; `shell` is the one saved."""

    def __init__(self, session: DeskSession, shell: Shell, parent: QWidget | None = None) -> None:
        super().__init__(session, "spots_dialog", "", parent)
        self.setWindowTitle(self.tr("Stress spots of {shell}").format(shell=shortened(shell.name)))
        self.shell: Shell | None = None
        self._original = shell
        self._standing = Standing(session.opened, shell.id)
        self._numbers = count(1)
        self._make_list()
        self._lay_out()
        self.save_button = self.add_primary(self.tr("Save"), "spots_save", self.save)
        self.add_cancel(self.tr("Cancel"), "spots_cancel")
        for spot in shell.spots:
            self._add_editor(spot)
        self._tell_limits()
        self._choose(0)
        self.guard_saving(self.save_button, self.new_button, self.remove_button)

    def _make_list(self) -> None:
        self.list = QListWidget(self.body)
        self.list.setObjectName("spots_list")
        self.list.setAccessibleName(self.tr("Stress spots"))
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.currentRowChanged.connect(self._on_chosen)
        self.new_button = QPushButton(self.tr("&Add spot"), self.body)
        self.new_button.setObjectName("spot_add")
        self.new_button.setAutoDefault(False)
        self.new_button.clicked.connect(self.add_spot)
        self.remove_button = QPushButton(self.tr("&Remove"), self.body)
        self.remove_button.setObjectName("spot_remove")
        self.remove_button.setAutoDefault(False)
        self.remove_button.clicked.connect(self.remove_spot)
        self.empty = label(self.body, "spots_empty", "empty", wrap=True)
        self.empty.setText(NO_SPOTS)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.pages = QStackedWidget(self.body)
        self.pages.setObjectName("spots_pages")
        self.pages.addWidget(self.empty)

    def _lay_out(self) -> None:
        side = QWidget(self.body)
        side.setFixedWidth(LIST_WIDTH_PX)
        left = QVBoxLayout(side)
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(GAP)
        left.addWidget(heading(side, "spots_heading", self.tr("Stress spots")))
        left.addWidget(self.list, 1)
        buttons = QHBoxLayout()
        buttons.setSpacing(GAP)
        buttons.addWidget(self.new_button)
        buttons.addWidget(self.remove_button)
        left.addLayout(buttons)
        across = QHBoxLayout(self.body)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(COLUMN_GAP)
        across.addWidget(side)
        across.addWidget(self.pages, 1)

    def sizeHint(self) -> QSize:
        """Wide enough for the list and the fields."""
        return super().sizeHint().expandedTo(SIZE)

    @property
    def editors(self) -> list[SpotEditor]:
        """The spots that are there, in the order of the list."""
        pages = [self.pages.widget(index) for index in range(1, self.pages.count())]
        return [page for page in pages if isinstance(page, SpotEditor)]

    def _add_editor(self, spot: StressSpot | None) -> SpotEditor:
        editor = SpotEditor(self.session, spot, next(self._numbers), self.pages)
        self.pages.addWidget(editor)
        item = QListWidgetItem(self.list)
        self._name_item(item, editor)
        editor.named.connect(lambda: self._name_item(item, editor))
        editor.grown.connect(self.fit)
        return editor

    def _name_item(self, item: QListWidgetItem, editor: SpotEditor) -> None:
        name = editor.name.line.text().strip() or self.tr("New spot")
        item.setText(shortened(name))
        item.setToolTip(name)

    def _tell_limits(self) -> None:
        spots = len(self.editors)
        self.new_button.setEnabled(spots < MOST_SPOTS and not self.read_only)
        self.remove_button.setEnabled(spots > 0 and not self.read_only)

    def _choose(self, row: int) -> None:
        self.list.setCurrentRow(min(max(row, 0), self.list.count() - 1))
        self._on_chosen(self.list.currentRow())

    @Slot(int)
    def _on_chosen(self, row: int) -> None:
        self.pages.setCurrentIndex(row + 1)
        self.fit()

    @Slot()
    def add_spot(self) -> None:
        """Begin another spot."""
        editor = self._add_editor(None)
        self._tell_limits()
        self._choose(self.list.count() - 1)
        editor.name.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot()
    def remove_spot(self) -> None:
        """Take the chosen spot away; nothing is written before Save."""
        row = self.list.currentRow()
        if row < 0:
            return
        editor = self.editors[row]
        self.pages.removeWidget(editor)
        editor.hide()
        editor.deleteLater()
        self.list.takeItem(row)
        self._tell_limits()
        self._choose(row)
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot()
    def save(self) -> None:
        """Keep the spots; what cannot be kept stays as it was typed, with what is wrong."""
        spots = self._spots()
        kept = None if spots is None else self.session.attempt(lambda: self._keep(spots))
        if kept is not None:
            self.shell = kept
            self.accept()

    def _spots(self) -> tuple[StressSpot, ...] | None:
        """What stands in the fields; None where something is wrong, which is then shown."""
        self.fault.hide()
        found: list[StressSpot] = []
        for row, editor in enumerate(self.editors):
            try:
                found.append(editor.spot())
            except MendableError as error:
                self._point_at(row, error)
                return None
        return tuple(found)

    def _point_at(self, row: int, error: MendableError) -> None:
        """Show every fault of a spot."""
        self._choose(row)
        editor = self.editors[row]
        if self.all_right(list(editor.wanted())):
            # Each field is right in itself, so it is the two sides that disagree.
            editor.long.show_message(str(error))
            self.point_at(editor.long)

    def _keep(self, spots: tuple[StressSpot, ...]) -> Shell:
        opened, now = self.session.opened, self.session.now()
        self._standing.check(now)
        if spots == self._original.spots:
            return self._original
        changed = replace(self._original, spots=spots)
        return edit_shell(opened, changed, now, self.tr("stress spots measured"))
