"""The Shell page."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from matplotlib.figure import Figure
from PySide6.QtCore import QModelIndex, Qt, Signal, Slot
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QMenu,
    QPushButton,
    QSplitter,
    QStackedLayout,
    QTableView,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from shellcoat.desk.choices import choose
from shellcoat.desk.dialogs.lettering import breakable
from shellcoat.desk.page import Page
from shellcoat.desk.photos.tab import PhotosTab, dropped_photo
from shellcoat.desk.plots.drying import draw_drying_curve
from shellcoat.desk.plots.history import draw_coat_history
from shellcoat.desk.plots.panel import PlotPanel
from shellcoat.desk.section import SectionView, section_picture
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.checks_tab import ChecksTab
from shellcoat.desk.shell.coat_log import COAT_ROLE, CoatLogModel, Column, coat_lines
from shellcoat.desk.shell.cores_tab import CoresTab
from shellcoat.desk.shell.strength_card import StrengthCard
from shellcoat.desk.shell.wall_card import WallCard
from shellcoat.desk.shell.wall_gatherer import WallGatherer
from shellcoat.desk.shell.words import curve_words, growth_words, head_words, state_words
from shellcoat.desk.theme import Theme
from shellcoat.forecast.answers import DryingCurve, ShellForecast
from shellcoat.operations.wording import write_warnings
from shellcoat.shop import Coat, Shell, ShellState
from shellcoat.units import Quantity

ROW_PX = 34
NARROW_TABS = "QTabBar::tab { padding: 0 10px; margin-right: 2px; }"
"""All seven have room beside the section on a laptop's screen."""

WIDTHS = {
    Column.NUMBER: 50,
    Column.DIPPED: 130,
    Column.COAT: 330,
    Column.TANK: 190,
    Column.THICKNESS: 80,
    Column.SAFE: 130,
    Column.INTERVAL: 110,
}


class ShellPage(Page):
    """One shell: section, drying curve, growth against the target, and the log.

    Signals
    -------
    edit_requested : the shell's id
    correct_requested : the coat to put right or take back
    """

    edit_requested = Signal(object)
    correct_requested = Signal(object)

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(session, theme, parent)
        self.setObjectName("shell_page")
        self._shell_id: UUID | None = None
        self._curves_wanted = 0
        self.chooser = QComboBox(self)
        self.chooser.setObjectName("shell_chooser")
        self.chooser.setAccessibleName(self.tr("Shell"))
        self.chooser.setMinimumContentsLength(22)
        self.chooser.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.chooser.activated.connect(self._on_chosen)
        self.head = self._label("shell_head", "")
        self.state = self._label("shell_state", "headline")
        self.looks = self._label("shell_warnings", "fault")
        self.section = SectionView(theme, self._length, detail=True, parent=self)
        self.drying = PlotPanel(self.tr("Drying of the present coat"), theme, self)
        self.drying.setObjectName("shell_drying_plot")
        self.growth = PlotPanel(self.tr("Growth of the wall"), theme, self)
        self.growth.setObjectName("shell_growth_plot")
        self.strength = StrengthCard(session, theme, self)
        self.strength.edit_requested.connect(self._on_edit_spots)
        self.cores = CoresTab(session, theme, self)
        self.cores.said.connect(self.said)
        self.wall_gatherer = WallGatherer(session, self)
        self.wall = WallCard(session, theme, self.wall_gatherer, self)
        self.wall.said.connect(self.said)
        self.checks = ChecksTab(session, self.wall_gatherer, self)
        self.checks.said.connect(self.said)
        self.photos = PhotosTab(session, self)
        self.photos.said.connect(self.said)
        self.setAcceptDrops(True)
        self.log_model = CoatLogModel(session, self)
        self.log = self._log_table()
        self.empty = self._label("shell_empty", "empty")
        self.empty.setText(self.tr("No shell yet. Put one on the rack first: Rack, “New shell…”."))
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.edit_button = self._button(self.tr("Edit shell…"), "shell_edit")
        self.edit_button.clicked.connect(self._on_edit)
        self.cores_button = self._button(self.tr("Cores…"), "shell_edit_cores")
        self.cores_button.clicked.connect(self.cores.edit_cores)
        self.more_button = self._button(self.tr("More"), "shell_more")
        self.more_button.setMenu(self._more_menu())
        self.dip_button = self._button(self.tr("Dip this shell"), "shell_dip")
        self.dip_button.setProperty("role", "primary")
        self.dip_button.clicked.connect(self._on_dip)
        self.correct_button = self._button(self.tr("Correct coat…"), "shell_correct")
        self.correct_button.clicked.connect(self._on_correct)
        self._lay_out()

    def _label(self, name: str, role: str) -> QLabel:
        label = QLabel(self)
        label.setObjectName(name)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        if role:
            label.setProperty("role", role)
        return label

    def _button(self, text: str, name: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        return button

    def _more_menu(self) -> QMenu:
        """What is wanted of a shell less often."""
        menu = QMenu(self)
        menu.setObjectName("shell_more_menu")
        label = menu.addAction(self.tr("&Label…"), self._on_label)
        label.setObjectName("shell_label")
        outcome = menu.addAction(self.tr("&Outcome…"), self._on_outcome)
        outcome.setObjectName("shell_outcome")
        return menu

    def _log_table(self) -> QTableView:
        table = QTableView(self)
        table.setObjectName("shell_log")
        table.setAccessibleName(self.tr("Coats on this shell"))
        table.setModel(self.log_model)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        table.setShowGrid(False)
        table.setAlternatingRowColors(True)
        table.setTabKeyNavigation(False)
        table.setWordWrap(False)
        table.verticalHeader().hide()
        table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        table.verticalHeader().setDefaultSectionSize(ROW_PX)
        table.horizontalHeader().setStretchLastSection(True)
        table.horizontalHeader().setDefaultAlignment(
            Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        )
        for column, width in WIDTHS.items():
            table.setColumnWidth(column, width)
        table.activated.connect(self._on_log_activated)
        return table

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(self.chooser)
        head.addWidget(self.head, 1)
        head.addWidget(self.correct_button)
        head.addWidget(self.edit_button)
        head.addWidget(self.cores_button)
        head.addWidget(self.more_button)
        head.addWidget(self.dip_button)
        self.plots = QTabWidget(self)
        self.plots.setObjectName("shell_plots")
        self.plots.tabBar().setStyleSheet(NARROW_TABS)
        self.plots.addTab(self.drying, self.tr("&Drying"))
        self.plots.addTab(self.growth, self.tr("&Growth"))
        self.plots.addTab(self.wall, self.tr("&Wall"))
        self.plots.addTab(self.cores, self.tr("&Cores"))
        self.plots.addTab(self.strength, self.tr("S&trength"))
        self.plots.addTab(self.checks, self.tr("Chec&ks"))
        self.plots.addTab(self.photos, self.tr("&Photos"))
        across = QSplitter(Qt.Orientation.Horizontal, self)
        across.addWidget(self.section)
        across.addWidget(self.plots)
        across.setSizes([500, 500])
        across.setChildrenCollapsible(False)
        down = QSplitter(Qt.Orientation.Vertical, self)
        down.addWidget(across)
        down.addWidget(self.log)
        down.setSizes([420, 180])
        down.setChildrenCollapsible(False)
        body = QWidget(self)
        layout = QVBoxLayout(body)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(head)
        layout.addWidget(self.state)
        layout.addWidget(self.looks)
        layout.addWidget(down, 1)
        self._stack = QStackedLayout(self)
        self._stack.setContentsMargins(9, 9, 9, 9)
        self._stack.addWidget(body)
        self._stack.addWidget(self.empty)

    def _length(self, metres: float) -> str:
        return self.session.write(metres, Quantity.THICKNESS)

    @property
    def shell(self) -> Shell | None:
        """The shell that is shown."""
        shells = self.session.opened.ledger.shells
        chosen = [shell for shell in shells if shell.id == self._shell_id]
        if chosen:
            return chosen[0]
        return min(shells, key=_rank, default=None)

    def show_shell(self, shell_id: UUID) -> None:
        """Turn to a shell."""
        self._shell_id = shell_id
        self.mark_stale()

    def refresh(self) -> None:
        """Show the shell as it stands now."""
        shell = self.shell
        self._stack.setCurrentIndex(1 if shell is None else 0)
        if shell is None:
            return
        self._shell_id = shell.id
        self._fill_chooser(shell)
        now = self.session.now()
        forecast = self.session.forecasts.get(shell.id)
        coats = self.session.opened.ledger.coats(shell.id)
        if forecast is None or forecast.coats_on != len(coats):
            forecast = self.session.opened.forecast_shell(shell, now)
        self._show_words(shell, forecast, now)
        self._show_section(shell, forecast)
        self._show_growth(shell, forecast, coats)
        self._show_log(shell, forecast)
        self.cores.show_shell(shell, forecast)
        self.strength.show_shell(shell, forecast)
        self.wall_gatherer.turn_to(shell)
        self.wall.show_shell(shell)
        self.checks.show_shell(shell)
        self.photos.show_shell(shell)
        self._ask_for_curve(shell, forecast, now)
        writable = not self.session.opened.book.read_only
        gone = shell.state in (ShellState.FINISHED, ShellState.SCRAPPED)
        self.dip_button.setEnabled(writable and not gone)
        self.edit_button.setEnabled(writable)
        self.cores_button.setEnabled(writable)
        self.correct_button.setEnabled(writable and bool(coats))

    def _fill_chooser(self, shell: Shell) -> None:
        if self.chooser.view().isVisible():
            return
        self.chooser.clear()
        for other in sorted(self.session.opened.ledger.shells, key=_rank):
            self.chooser.addItem(f"{other.label}  {other.name}", other.id)
        choose(self.chooser, shell.id)
        self.chooser.setToolTip(shell.name)

    def _show_words(self, shell: Shell, forecast: ShellForecast, now: datetime) -> None:
        self.head.setText(head_words(self.session, shell))
        self.state.setText(state_words(self.session, shell, forecast, now))
        warnings = write_warnings(forecast, self.session.opened.units)
        self.looks.setText(breakable("\n".join(warnings)))
        self.looks.setVisible(bool(warnings))

    def _show_section(self, shell: Shell, forecast: ShellForecast) -> None:
        coats = self.session.opened.ledger.coats(shell.id)
        unit = self.session.opened.units.unit_for(Quantity.THICKNESS)
        self.section.set_units(self._length, unit)
        self.section.show_picture(section_picture(shell, forecast, coats))

    def _show_growth(self, shell: Shell, forecast: ShellForecast, coats: tuple[Coat, ...]) -> None:
        zone = self.session.opened.zone
        unit = self.session.opened.units.unit_for(Quantity.THICKNESS)

        def draw(figure: Figure, theme: Theme) -> None:
            draw_coat_history(
                figure.subplots(),
                shell,
                forecast,
                zone=zone,
                theme=theme,
                length_unit=unit,
                coats=coats,
            )

        self.growth.show_plot(draw, growth_words(self.session, shell, forecast))

    def _show_log(self, shell: Shell, forecast: ShellForecast) -> None:
        chosen = self.log.currentIndex().row()
        self.log_model.set_lines(coat_lines(self.session, shell.id, forecast))
        last = self.log_model.rowCount() - 1
        self.log.selectRow(chosen if 0 <= chosen <= last else last)
        self.log.scrollToBottom()

    def _ask_for_curve(self, shell: Shell, forecast: ShellForecast, now: datetime) -> None:
        """Have the drying curve made in the background; only the last one asked for is drawn."""
        given = self.session.opened.forecast_input(now, [shell])
        self._curves_wanted += 1
        wanted = self._curves_wanted

        def take(curve: DryingCurve | None) -> None:
            if isValid(self) and wanted == self._curves_wanted:
                self._show_curve(curve, forecast, now)

        self.session.runner.run(lambda: self.session.opened.curve(given), take, self.said.emit)

    def _show_curve(
        self, curve: DryingCurve | None, forecast: ShellForecast, now: datetime
    ) -> None:
        zone = self.session.opened.zone
        shown = curve or DryingCurve(at=(), low=(), likely=(), high=(), now_index=0, dry_share=0.1)

        def draw(figure: Figure, theme: Theme) -> None:
            draw_drying_curve(
                figure.subplots(),
                shown,
                likely_at=forecast.likely_at,
                safe_at=forecast.safe_at,
                now=now,
                zone=zone,
                theme=theme,
            )

        self.drying.show_plot(draw, curve_words(self.session, forecast, now))

    @Slot(int)
    def _on_chosen(self, _index: int) -> None:
        self.show_shell(self.chooser.currentData())

    @Slot()
    def _on_edit(self) -> None:
        self.edit_requested.emit(self._shell_id)

    @Slot()
    def _on_edit_spots(self) -> None:
        from shellcoat.desk.dialogs.spots_dialog import SpotsDialog

        shell = self.shell
        if shell is not None:
            SpotsDialog(self.session, shell, self).exec()

    @Slot()
    def _on_label(self) -> None:
        from shellcoat.desk.labels.dialog import LabelsDialog

        if self.shell is not None:
            LabelsDialog(self.session, [self.shell.id], self).exec()

    @Slot()
    def _on_outcome(self) -> None:
        from shellcoat.desk.outcomes.dialog import OutcomeDialog

        if self.shell is not None:
            OutcomeDialog(self.session, self.shell, self).exec()

    @Slot()
    def _on_dip(self) -> None:
        self.dip_requested.emit(self._shell_id)

    @Slot()
    def _on_correct(self) -> None:
        coat = self.log.currentIndex().data(COAT_ROLE)
        if coat is not None:
            self.correct_requested.emit(coat)

    @Slot(QModelIndex)
    def _on_log_activated(self, _index: QModelIndex) -> None:
        if self.correct_button.isEnabled():
            self._on_correct()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take the one photo of a drag, nothing else."""
        if dropped_photo(event.mimeData()) is not None and self.photos.writable and self.shell:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Add the photo that is dropped."""
        path = dropped_photo(event.mimeData())
        if path is not None:
            event.acceptProposedAction()
            self.plots.setCurrentWidget(self.photos)
            self.photos.add(path)

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self.section.set_theme(theme)
        self.drying.set_theme(theme)
        self.growth.set_theme(theme)
        self.cores.set_theme(theme)
        self.strength.set_theme(theme)
        self.wall.set_theme(theme)
        super().set_theme(theme)


def _rank(shell: Shell) -> tuple[bool, str]:
    """Shells on the rack first, then by label."""
    return shell.state in (ShellState.FINISHED, ShellState.SCRAPPED), shell.label
