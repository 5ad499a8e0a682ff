"""The Rack page."""

from __future__ import annotations

from uuid import UUID

from PySide6.QtCore import QModelIndex, Qt, Signal, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QStackedLayout,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.page import Page
from shellcoat.desk.rack.delegates import (
    ROW_HEIGHT,
    LookDelegate,
    RackDelegate,
    SectionDelegate,
    StateDelegate,
)
from shellcoat.desk.rack.model import Column, RackModel, state_word
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.rack import GONE, RackRow, count_states, rack_rows

WIDTHS = {
    Column.STATE: 150,
    Column.COATS: 135,
    Column.SECTION: 140,
    Column.DRY: 155,
}


class RackPage(Page):
    """Every shell, the one that needs a person first on top."""

    new_shell_requested = Signal()

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(session, theme, parent)
        self.setObjectName("rack_page")
        self.model = RackModel(session, self)
        self.summary = QLabel(self)
        self.summary.setObjectName("rack_summary")
        self.summary.setProperty("role", "headline")
        self.search = self._search_line()
        self.gone = QCheckBox(self.tr("Show finished and scrapped"), self)
        self.gone.setObjectName("rack_show_gone")
        self.gone.toggled.connect(self.mark_stale)
        self.table = self._table()
        self.empty = self._empty_word()
        self._lay_out()

    def _search_line(self) -> QLineEdit:
        line = QLineEdit(self)
        line.setObjectName("rack_search")
        line.setAccessibleName(self.tr("Find a shell by label, name or place"))
        line.setPlaceholderText(self.tr("Find: label, name, place"))
        line.setClearButtonEnabled(True)
        line.setFixedWidth(280)
        line.textChanged.connect(self.mark_stale)
        QShortcut(QKeySequence.StandardKey.Find, self, line.setFocus)
        return line

    def _table(self) -> QTableView:
        table = QTableView(self)
        table.setObjectName("rack_table")
        table.setAccessibleName(self.tr("Shells on the rack"))
        table.setModel(self.model)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setAlternatingRowColors(True)
        table.setShowGrid(False)
        table.setWordWrap(True)
        table.setTabKeyNavigation(False)
        table.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        table.verticalHeader().hide()
        table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        table.verticalHeader().setDefaultSectionSize(ROW_HEIGHT)
        table.horizontalHeader().setDefaultAlignment(
            Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        )
        table.horizontalHeader().setHighlightSections(False)
        for column, width in WIDTHS.items():
            table.setColumnWidth(column, width)
        for column in (Column.SHELL, Column.NEXT, Column.LOOK):
            table.horizontalHeader().setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
        self._delegates = [
            RackDelegate(self.theme, table),
            StateDelegate(self.theme, table),
            SectionDelegate(self.theme, table),
            LookDelegate(self.theme, table),
        ]
        table.setItemDelegate(self._delegates[0])
        table.setItemDelegateForColumn(Column.STATE, self._delegates[1])
        table.setItemDelegateForColumn(Column.SECTION, self._delegates[2])
        table.setItemDelegateForColumn(Column.LOOK, self._delegates[3])
        table.activated.connect(self._on_activated)
        table.selectionModel().currentRowChanged.connect(self._allow_dip)
        return table

    def _empty_word(self) -> QLabel:
        label = QLabel(self)
        label.setObjectName("rack_empty")
        label.setAlignment(Qt.AlignmentFlag.AlignCenter)
        label.setWordWrap(True)
        label.setProperty("role", "empty")
        return label

    def _lay_out(self) -> None:
        self.new_button = self._button(self.tr("New shell…"), "rack_new_shell")
        self.new_button.clicked.connect(self.new_shell_requested)
        self.open_button = self._button(self.tr("Open shell"), "rack_open")
        self.open_button.clicked.connect(self._open_chosen)
        self.dip_button = self._button(self.tr("Dip this shell"), "rack_dip")
        self.dip_button.setProperty("role", "primary")
        self.dip_button.clicked.connect(self._dip_chosen)
        self.station_button = self._button(self.tr("Dipping station"), "rack_station")
        self.station_button.setToolTip(self.tr("A full screen for wet hands (F11)"))
        self.station_button.clicked.connect(self.station_requested)
        head = QHBoxLayout()
        head.addWidget(self.summary, 1)
        head.addWidget(self.gone)
        head.addWidget(self.search)
        foot = QHBoxLayout()
        foot.addWidget(self.new_button)
        foot.addStretch(1)
        foot.addWidget(self.station_button)
        foot.addWidget(self.open_button)
        foot.addWidget(self.dip_button)
        self._stack = QStackedLayout()
        self._stack.addWidget(self.table)
        self._stack.addWidget(self.empty)
        self.setFocusProxy(self.table)
        layout = QVBoxLayout(self)
        layout.addLayout(head)
        layout.addLayout(self._stack, 1)
        layout.addLayout(foot)

    def _button(self, text: str, name: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        return button

    def refresh(self) -> None:
        """Sort and filter the shells anew; the chosen one stays chosen."""
        chosen = self.chosen()
        rows = rack_rows(
            self.session.opened, self.session.forecasts, self.session.now(), gone=self._gone()
        )
        shown = [row for row in rows if self._fits(row)]
        self.model.set_rows(shown)
        self._choose(chosen.shell.id if chosen else None)
        counts = count_states(rows)
        self.summary.setText("   ".join(f"{n} {state_word(s)}" for s, n in counts.items()))
        self._say_empty(anything=bool(rows))
        self._stack.setCurrentWidget(self.table if shown else self.empty)
        self.new_button.setEnabled(not self.session.opened.book.read_only)
        self.open_button.setEnabled(bool(shown))
        self._allow_dip()

    def _gone(self) -> bool:
        return self.gone.isChecked()

    def _fits(self, row: RackRow) -> bool:
        wanted = self.search.text().strip().casefold()
        shell = row.shell
        hay = " ".join((shell.label, shell.name, shell.rack_place, shell.metal, row.state.value))
        return wanted in hay.casefold()

    def _say_empty(self, *, anything: bool) -> None:
        self.empty.setText(
            self.tr("No shell fits what you typed.")
            if anything
            else self.tr(
                "The rack is empty. Put the first wax on it with “New shell…”: "
                "name it, choose its dip sequence, and log its first dip."
            )
        )

    def chosen(self) -> RackRow | None:
        """The shell that is chosen."""
        index = self.table.currentIndex()
        return self.model.rack_row(index.row()) if index.isValid() else None

    def _choose(self, shell_id: UUID | None) -> None:
        number = self.model.row_of(shell_id) if shell_id else None
        if self.model.rowCount():
            self.table.selectRow(number or 0)

    @Slot()
    def _allow_dip(self) -> None:
        """A shell that has left the rack is not dipped, nor is anything in a read-only book."""
        row = self.chosen()
        writable = not self.session.opened.book.read_only
        self.dip_button.setEnabled(writable and row is not None and row.state not in GONE)

    def show_shell(self, shell_id: UUID) -> None:
        """Choose a shell."""
        self._choose(shell_id)

    @Slot(QModelIndex)
    def _on_activated(self, _index: QModelIndex) -> None:
        self._dip_chosen() if self.dip_button.isEnabled() else self._open_chosen()

    @Slot()
    def _dip_chosen(self) -> None:
        row = self.chosen()
        if row is not None:
            self.dip_requested.emit(row.shell.id)

    @Slot()
    def _open_chosen(self) -> None:
        row = self.chosen()
        if row is not None:
            self.shell_requested.emit(row.shell.id)

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        for delegate in self._delegates:
            delegate.theme = theme
        super().set_theme(theme)
