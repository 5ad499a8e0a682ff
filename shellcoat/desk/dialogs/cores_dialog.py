"""The cores of one shell: what hollows it has, and the ways out of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.dialogs.core_editor import CoreEditor
from shellcoat.desk.dialogs.core_words import what_a_core_is
from shellcoat.desk.dialogs.field_grid import COLUMN_GAP, GAP
from shellcoat.desk.dialogs.form import AnyField, SessionDialog
from shellcoat.desk.dialogs.lettering import shortened
from shellcoat.desk.dialogs.standing import Standing
from shellcoat.desk.session import DeskSession
from shellcoat.errors import MendableError
from shellcoat.operations.shells import edit_shell
from shellcoat.shop import Core, Shell
from shellcoat.shop.shell import MOST_CORES

LIST_WIDTH_PX = 208
SIZE = QSize(1270, 560)


class CoresDialog(SessionDialog):
    """The list of cores on the left, the chosen one on the right; `shell` is the one saved."""

    def __init__(self, session: DeskSession, shell: Shell, parent: QWidget | None = None) -> None:
        super().__init__(session, "cores_dialog", "", parent)
        self.setWindowTitle(self.tr("Cores of {shell}").format(shell=shortened(shell.name)))
        self.shell: Shell | None = None
        self._original = shell
        self._standing = Standing(session.opened, shell.id)
        self._make_list()
        self._lay_out()
        self.save_button = self.add_primary(self.tr("Save"), "cores_save", self.save)
        self.add_cancel(self.tr("Cancel"), "cores_cancel")
        for core in shell.cores:
            self._add_editor(core)
        self._tell_limits()
        self._choose(0)
        self.guard_saving(self.save_button, self.new_button, self.remove_button)

    def _make_list(self) -> None:
        self.list = QListWidget(self.body)
        self.list.setObjectName("cores_list")
        self.list.setAccessibleName(self.tr("Cores"))
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.currentRowChanged.connect(self._on_chosen)
        self.new_button = QPushButton(self.tr("&Add core"), self.body)
        self.new_button.setObjectName("core_add")
        self.new_button.setAutoDefault(False)
        self.new_button.clicked.connect(self.add_core)
        self.remove_button = QPushButton(self.tr("&Remove"), self.body)
        self.remove_button.setObjectName("core_remove")
        self.remove_button.setAutoDefault(False)
        self.remove_button.clicked.connect(self.remove_core)
        self.empty = label(self.body, "cores_empty", "empty", wrap=True)
        self.empty.setText(what_a_core_is())
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.pages = QStackedWidget(self.body)
        self.pages.setObjectName("cores_pages")
        self.pages.addWidget(self.empty)

    def _lay_out(self) -> None:
        side = QWidget(self.body)
        side.setFixedWidth(LIST_WIDTH_PX)
        left = QVBoxLayout(side)
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(GAP)
        title: QLabel = heading(side, "cores_heading", self.tr("Cores"))
        left.addWidget(title)
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
        """Wide enough for the openings."""
        return super().sizeHint().expandedTo(SIZE)

    @property
    def editors(self) -> list[CoreEditor]:
        """The cores that are there, in the order of the list."""
        pages = [self.pages.widget(index) for index in range(1, self.pages.count())]
        return [page for page in pages if isinstance(page, CoreEditor)]

    def _add_editor(self, core: Core | None) -> CoreEditor:
        editor = CoreEditor(self.session, core, self.pages)
        self.pages.addWidget(editor)
        item = QListWidgetItem(self.list)
        self._name_item(item, editor)
        editor.named.connect(lambda: self._name_item(item, editor))
        editor.grown.connect(self.fit)
        self._tell_limits()
        return editor

    def _name_item(self, item: QListWidgetItem, editor: CoreEditor) -> None:
        name = editor.name.line.text().strip() or self.tr("New core")
        item.setText(shortened(name))
        item.setToolTip(name)

    def _tell_limits(self) -> None:
        count = len(self.editors)
        self.new_button.setEnabled(count < MOST_CORES and not self.read_only)
        self.remove_button.setEnabled(count > 0 and not self.read_only)

    def _choose(self, row: int) -> None:
        self.list.setCurrentRow(min(max(row, 0), self.list.count() - 1))
        self._on_chosen(self.list.currentRow())

    @Slot(int)
    def _on_chosen(self, row: int) -> None:
        self.pages.setCurrentIndex(row + 1)
        self.fit()

    @Slot()
    def add_core(self) -> None:
        """Begin another core."""
        editor = self._add_editor(None)
        self._choose(self.list.count() - 1)
        editor.name.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot()
    def remove_core(self) -> None:
        """Take the chosen core away; nothing is written before Save."""
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
        """Keep the cores; what cannot be kept stays as it was typed, with what is wrong."""
        cores = self._cores()
        kept = None if cores is None else self.session.attempt(lambda: self._keep(cores))
        if kept is not None:
            self.shell = kept
            self.accept()

    def _cores(self) -> tuple[Core, ...] | None:
        """What stands in the fields; None where something is wrong, which is then shown."""
        found: list[Core] = []
        for row, editor in enumerate(self.editors):
            if wrong := self._wrong(editor, [core.name for core in found]):
                self._choose(row)
                self.point_at(wrong)
                return None
            found.append(editor.core())
        return tuple(found)

    def _wrong(self, editor: CoreEditor, taken: Sequence[str]) -> AnyField | None:
        """The first field of a core with something wrong; all faults of it are shown."""
        faulty = [each for each in editor.wanted() if not _is_right(each)]
        if faulty:
            return faulty[0]
        if editor.name.value() in taken:
            editor.name.show_message(
                self.tr("Core name: another core of this shell has it. Give each its own.")
            )
            return editor.name
        for line in editor.openings.lines:
            try:
                line.opening()
            except MendableError:
                return line.height
        return None

    def _keep(self, cores: tuple[Core, ...]) -> Shell:
        opened, now = self.session.opened, self.session.now()
        self._standing.check(now)
        if cores == self._original.cores:
            return self._original
        changed = replace(self._original, cores=cores)
        return edit_shell(opened, changed, now, self.tr("cores measured"))


def _is_right(field: AnyField) -> bool:
    try:
        field.value()
    except MendableError:
        return False  # the field shows what is wrong
    return True
