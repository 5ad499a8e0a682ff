"""What stands on the dip page about a shell: its next coat, and whether the wall is dry."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QWidget

from shellcoat.desk.marks import MarkState, mark_pixmap
from shellcoat.desk.section import SectionView, section_picture
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.forecast.answers import DryState, ShellForecast
from shellcoat.operations.dips import DipProposal
from shellcoat.operations.wording import (
    write_ago,
    write_chance,
    write_time,
    write_warnings,
)
from shellcoat.units import Quantity

MARK_SIDE = 44
MARKS = {
    DryState.BARE: MarkState.BARE,
    DryState.WET: MarkState.WET,
    DryState.LIKELY_DRY: MarkState.LIKELY_DRY,
    DryState.DRY: MarkState.DIP_DUE,
    DryState.OUT_OF_SIGHT: MarkState.WILL_NOT_DRY,
}


class StateCard(QFrame):
    """The shell's name, its next coat in large words, its dry state and small section."""

    def __init__(self, session: DeskSession, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("dip_state")
        self.setProperty("role", "card")
        self._session, self._theme = session, theme
        self.shell_name = self._label("dip_shell_name", "title")
        self.next_coat = self._label("dip_next_coat", "big")
        self.materials = self._label("dip_materials", "headline")
        self.watch = self._label("dip_watch", "")
        self.mark = QLabel(self)
        self.mark.setFixedSize(MARK_SIDE, MARK_SIDE)
        self.dry = self._label("dip_dry", "headline")
        self.looks = self._label("dip_warnings", "fault")
        self.section = SectionView(theme, self._length, detail=False, parent=self)
        self.section.setFixedSize(240, 84)
        self._lay_out()

    def _label(self, name: str, role: str) -> QLabel:
        label = QLabel(self)
        label.setObjectName(name)
        label.setWordWrap(True)
        label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        label.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        if role:
            label.setProperty("role", role)
        return label

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(16, 14, 16, 14)
        grid.setVerticalSpacing(8)
        grid.addWidget(self.shell_name, 0, 0, 1, 2)
        grid.addWidget(self.section, 0, 2, 2, 1, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.next_coat, 1, 0, 1, 2)
        grid.addWidget(self.materials, 2, 0, 1, 3)
        grid.addWidget(self.watch, 3, 0, 1, 3)
        grid.addWidget(self.mark, 4, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.dry, 4, 1, 1, 2)
        grid.addWidget(self.looks, 5, 1, 1, 2)
        grid.setColumnStretch(1, 1)

    def _length(self, metres: float) -> str:
        return self._session.write(metres, Quantity.THICKNESS)

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self._theme = theme
        self.section.set_theme(theme)

    def show_proposal(self, proposal: DipProposal, now: datetime) -> None:
        """Show a shell and its next coat."""
        shell, forecast = proposal.shell, proposal.forecast
        planned = len(shell.sequence.steps)
        self.shell_name.setText(f"{shell.label}  {shell.name}")
        self.next_coat.setText(
            self.tr("COAT {number} OF {planned}").format(number=proposal.number, planned=planned)
            if proposal.step
            else self.tr("ALL {planned} COATS ARE ON").format(planned=planned)
        )
        self.materials.setText(_materials(proposal))
        self.watch.setText(proposal.step.watch if proposal.step else "")
        self.watch.setVisible(bool(self.watch.text()))
        self.dry.setText(self.dry_words(forecast, now))
        self.looks.setText("\n".join(write_warnings(forecast, self._session.opened.units)))
        self.looks.setVisible(bool(self.looks.text()))
        self._show_mark(forecast)
        coats = self._session.opened.ledger.coats(shell.id)
        self.section.show_picture(section_picture(shell, forecast, coats))

    def _show_mark(self, forecast: ShellForecast) -> None:
        ratio = self.devicePixelRatioF()
        mark = MARKS[forecast.state]
        self.mark.setPixmap(mark_pixmap(mark, self._theme, MARK_SIDE, ratio))
        self.mark.setAccessibleName(forecast.state.value)

    def dry_words(self, forecast: ShellForecast, now: datetime) -> str:
        """Whether the wall is dry, with how sure that is."""
        zone = self._session.opened.zone
        if forecast.state is DryState.BARE:
            return self.tr("Bare wax: nothing to wait for.")
        chance = write_chance(forecast.chance_dry)
        if forecast.state is DryState.DRY and forecast.safe_at is not None:
            return self.tr("Coat {number} has been dry since {time} ({ago}).").format(
                number=forecast.coats_on,
                time=write_time(forecast.safe_at, zone, now),
                ago=write_ago(forecast.safe_at, now),
            )
        if forecast.safe_at is None or forecast.likely_at is None:
            return self.tr("Coat {number} will not be safely dry within a week.").format(
                number=forecast.coats_on
            )
        return self.tr(
            "EARLY: coat {number} is likely dry {likely}, safe {safe}. "
            "Chance that it is dry now: {chance}."
        ).format(
            number=forecast.coats_on,
            likely=write_time(forecast.likely_at, zone, now),
            safe=write_time(forecast.safe_at, zone, now),
            chance=chance,
        )


def _materials(proposal: DipProposal) -> str:
    step = proposal.step
    if step is None:
        return ""
    return f"{step.slurry}  +  {step.stucco}" if step.stucco else step.slurry
