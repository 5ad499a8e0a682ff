"""Choosing shells and a size, and writing their labels."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QSettings, QSize, Qt, Slot
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.dialogs.field_grid import GAP, FieldGrid
from shellcoat.desk.dialogs.fields import ChoiceField
from shellcoat.desk.dialogs.form import ButtonRole, SessionDialog
from shellcoat.desk.dialogs.lettering import breakable, shortened, worn_theme
from shellcoat.desk.labels.layout import LabelText, label_text
from shellcoat.desk.labels.output import write_pdf, write_pictures
from shellcoat.desk.labels.preview import LabelPreview
from shellcoat.desk.labels.sizes import SIZES, LabelKind, LabelSize, size_of
from shellcoat.desk.session import DeskSession
from shellcoat.errors import MendableError
from shellcoat.shop import Shell, ShellState

SIZE_KEY = "labels/size"
LEFT_PX = 430
SIZE_HINT = QSize(1000, 640)
MOST_COPIES = 20


class LabelsDialog(SessionDialog):
    """Labels for the shells that are ticked, with a picture of the page."""

    def __init__(
        self, session: DeskSession, chosen: Iterable[UUID] = (), parent: QWidget | None = None
    ) -> None:
        super().__init__(session, "labels_dialog", "", parent)
        self.setWindowTitle(self.tr("Labels"))
        self._make_list(set(chosen))
        self._make_fields()
        self.preview = LabelPreview(self.body)
        self.preview.place_chosen.connect(self.first.setValue)
        self._lay_out()
        self._make_buttons()
        self._size.edited.connect(self._on_size)
        self.first.valueChanged.connect(self._show)
        self.copies.valueChanged.connect(self._show)
        self.shells.itemChanged.connect(self._show)
        self._on_size()

    def _make_list(self, chosen: set[UUID]) -> None:
        self.shells = QListWidget(self.body)
        self.shells.setObjectName("labels_shells")
        self.shells.setAccessibleName(self.tr("Shells to label"))
        self.shells.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.shells.setTextElideMode(Qt.TextElideMode.ElideRight)
        for shell in sorted(self.session.opened.ledger.shells, key=_rank):
            if shell.state is ShellState.SCRAPPED:
                continue
            item = QListWidgetItem(f"{shortened(shell.label, 30)}  {shell.name}", self.shells)
            item.setData(Qt.ItemDataRole.UserRole, shell)
            item.setToolTip(shell.name)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            wanted = shell.id in chosen
            item.setCheckState(Qt.CheckState.Checked if wanted else Qt.CheckState.Unchecked)
        if self.shells.count():
            self.shells.setCurrentRow(0)

    def _make_fields(self) -> None:
        self.all_button = self._button(self.tr("&All in work"), "labels_all", self.tick_all)
        self.none_button = self._button(self.tr("&None"), "labels_none", self.tick_none)
        self._size = ChoiceField(self.tr("Size"), self.body)
        self._size.setObjectName("labels_size")
        self._size.offer((self._words(size), size.key) for size in SIZES)
        kept = QSettings().value(SIZE_KEY, SIZES[0].key)
        keys = [size.key for size in SIZES]
        self._size.set_value(kept if kept in keys else keys[0])
        self.first = self._spin(self.tr("First label at place"), "labels_first", 1)
        self.copies = self._spin(self.tr("Of each"), "labels_copies", MOST_COPIES)

    def _words(self, size: LabelSize) -> str:
        """What a size is called, in the mm that rolls and sheets are sold by."""
        words = {
            LabelKind.TAPE: self.tr("Tape, {high} mm"),
            LabelKind.TAG: self.tr("Tag, {wide} × {high} mm"),
            LabelKind.SHEET: self.tr("{paper} sheet, {columns} × {rows} of {wide} × {high} mm"),
        }[size.kind]
        return words.format(
            paper=size.paper,
            columns=size.columns,
            rows=size.rows,
            wide=f"{size.width_mm:.4g}",
            high=f"{size.height_mm:.4g}",
        )

    def _button(self, text: str, name: str, slot: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self.body)
        button.setObjectName(name)
        button.setAutoDefault(False)
        button.clicked.connect(lambda _checked: slot())
        return button

    def _spin(self, spoken: str, name: str, most: int) -> QSpinBox:
        spin = QSpinBox(self.body)
        spin.setObjectName(name)
        spin.setAccessibleName(spoken)
        spin.setRange(1, most)
        return spin

    def _lay_out(self) -> None:
        body = self.body
        self.hint = label(body, "labels_hint", "muted", wrap=True)
        ticks = QHBoxLayout()
        ticks.addWidget(self.all_button)
        ticks.addWidget(self.none_button)
        ticks.addStretch(1)
        grid = FieldGrid()
        grid.add(body, self.tr("&Size"), self._size)
        grid.add(body, self.tr("First at &place"), self.first)
        grid.add(body, self.tr("Of &each"), self.copies)
        self._grid = grid
        left = QVBoxLayout()
        left.setSpacing(GAP)
        left.addWidget(heading(body, "labels_heading", self.tr("Which shells")))
        left.addWidget(self.shells, 1)
        left.addLayout(ticks)
        left.addLayout(grid)
        left.addWidget(self.hint)
        column = QWidget(body)
        column.setLayout(left)
        left.setContentsMargins(0, 0, 0, 0)
        column.setFixedWidth(LEFT_PX)
        across = QHBoxLayout(body)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(3 * GAP)
        across.addWidget(column)
        across.addWidget(self.preview, 1)

    def _make_buttons(self) -> None:
        self.pictures_button = self.add_button(
            self.tr("Save pi&ctures…"), "labels_pictures", ButtonRole.ResetRole, self.ask_pictures
        )
        self.pdf_button = self.add_primary(self.tr("Save PDF…"), "labels_pdf", self.ask_pdf)
        self.add_cancel(self.tr("Close"), "labels_close")

    def sizeHint(self) -> QSize:
        """Wide enough for the list beside the page."""
        return super().sizeHint().expandedTo(SIZE_HINT)

    @property
    def size_chosen(self) -> LabelSize:
        """The size that is chosen."""
        return size_of(self._size.value())

    def choose_size(self, key: str) -> None:
        """Choose a size."""
        self._size.set_value(key)
        self._on_size()

    @property
    def chosen(self) -> list[Shell]:
        """The shells that are ticked, in the order of the list."""
        items = [self.shells.item(row) for row in range(self.shells.count())]
        ticked = [item for item in items if item.checkState() is Qt.CheckState.Checked]
        return [item.data(Qt.ItemDataRole.UserRole) for item in ticked]

    @Slot()
    def tick_all(self) -> None:
        """Tick every shell that is in work."""
        self._tick(lambda shell: shell.state is ShellState.IN_WORK)

    @Slot()
    def tick_none(self) -> None:
        """Take all ticks away."""
        self._tick(lambda _shell: False)

    def _tick(self, wanted: Callable[[Shell], bool]) -> None:
        blocked = self.shells.blockSignals(True)
        for row in range(self.shells.count()):
            item = self.shells.item(row)
            ticked = wanted(item.data(Qt.ItemDataRole.UserRole))
            item.setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)
        self.shells.blockSignals(blocked)
        self._show()

    @Slot()
    def _on_size(self) -> None:
        size = self.size_chosen
        QSettings().setValue(SIZE_KEY, size.key)
        self.first.setMaximum(size.per_page)
        self._grid.set_shown(self.first, size.kind is LabelKind.SHEET)
        self._show()

    @Slot()
    def _show(self) -> None:
        """Show the labels as they would come out, or say why they cannot."""
        self.fault.hide()
        texts: list[LabelText] = []
        try:
            texts = self._texts()
            self.preview.show_labels(texts, self.size_chosen, self.first.value())
        except MendableError as error:
            texts = []
            self.preview.show_labels(texts, self.size_chosen, self.first.value())
            self.say_fault(str(error))
        self.preview.set_theme(worn_theme())
        self.preview.setAccessibleDescription(self.tr("Labels: {count}").format(count=len(texts)))
        tape = self.size_chosen.kind is LabelKind.TAPE
        self.pictures_button.setEnabled(bool(texts) and tape)
        self.pdf_button.setEnabled(bool(texts))
        self.hint.setText(self._hint(tape=tape))
        self.fit()

    def _texts(self) -> list[LabelText]:
        """The labels of the shells that are ticked, as often as wanted."""
        texts = [label_text(shell) for shell in self.chosen]
        return [text for text in texts for _ in range(self.copies.value())]

    def _hint(self, *, tape: bool) -> str:
        if not self.chosen:
            return self.tr("Tick the shells that want a label.")
        printing = self.tr("Print at 100 %, not “fit to page”, or scanners may not read the codes.")
        if tape:
            return self.tr("Pictures are for the tape printer's own program, at 360 dpi.")
        return printing

    @Slot()
    def ask_pdf(self) -> None:
        """Ask where to, then write the pages."""
        path, _ = QFileDialog.getSaveFileName(
            self,
            self.tr("Save labels"),
            str(self.session.opened.book.path.with_name(self.tr("labels") + ".pdf")),
            self.tr("PDF document (*.pdf)"),
        )
        if path:
            self.write_pdf(Path(path).with_suffix(".pdf"))

    def write_pdf(self, path: Path) -> None:
        """Write the pages, and say where they are."""
        size, first = self.size_chosen, self.first.value()
        count = self.session.attempt(lambda: write_pdf(path, self._texts(), size, first))
        if count is not None:
            said = self.tr("Saved {path}, pages: {count}. Print it at 100 %, not “fit to page”.")
            self.say(breakable(said.format(path=path, count=count)))

    @Slot()
    def ask_pictures(self) -> None:
        """Ask for a folder, then write a picture a label into it."""
        folder = QFileDialog.getExistingDirectory(
            self, self.tr("Folder for the pictures"), str(self.session.opened.book.path.parent)
        )
        if folder:
            self.write_pictures(Path(folder))

    def write_pictures(self, folder: Path) -> None:
        """Write a picture a label, and say how many."""
        size = self.size_chosen
        written = self.session.attempt(lambda: write_pictures(folder, self._texts(), size))
        if written is not None:
            said = self.tr("Saved in {folder}, pictures: {count}.")
            self.say(breakable(said.format(folder=folder, count=len(written))))


def _rank(shell: Shell) -> tuple[bool, str]:
    """Shells in work first, then by label."""
    return shell.state is not ShellState.IN_WORK, shell.label
