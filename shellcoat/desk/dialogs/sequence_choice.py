"""The field for a shell's dip sequence, with what the chosen one comes to beneath it."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtWidgets import QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.fields import ChoiceField
from shellcoat.desk.session import DeskSession
from shellcoat.operations.sequences import sequences_in_use
from shellcoat.shop import DipSequence, Shell
from shellcoat.units import Quantity, write_duration


class SequenceChoice(ChoiceField):
    """The shop's sequences in use, and the one that an edited shell carries."""

    def __init__(self, session: DeskSession, shell: Shell | None, parent: QWidget) -> None:
        super().__init__("", parent)
        self.name = self.tr("Dip sequence")
        self.combo.setAccessibleName(self.name)
        self._session, self._shell = session, shell
        self.summary = label(self, "shell_sequence_summary", "muted", wrap=True)
        self.change = label(self, "shell_sequence_change", "kept", wrap=True)
        self._column.addWidget(self.summary)
        self._column.addWidget(self.change)
        self.offer(self._choices())
        self.combo.currentIndexChanged.connect(self._show_what_it_comes_to)
        self.combo.setCurrentIndex(0)
        self._show_what_it_comes_to()

    def _choices(self) -> Iterator[tuple[str, DipSequence]]:
        own = self._shell.sequence if self._shell else None
        in_use = sequences_in_use(self._session.opened)
        if own is not None:
            yield (own.name if own in in_use else self._own_words(own)), own
        for sequence in in_use:
            if sequence != own:
                yield sequence.name, sequence

    def _own_words(self, own: DipSequence) -> str:
        return self.tr("{sequence} (as this shell was started)").format(sequence=own.name)

    def _show_what_it_comes_to(self) -> None:
        sequence: DipSequence | None = self.combo.currentData()
        self.combo.setToolTip(sequence.name if sequence else "")
        self.summary.setText(self._summary(sequence) if sequence else "")
        changed = self._shell is not None and sequence not in (None, self._shell.sequence)
        self.change.setText(self._change(sequence) if changed and sequence else "")
        self.change.setVisible(bool(self.change.text()))

    def _summary(self, sequence: DipSequence) -> str:
        return self.tr("{coats} coats, wall {wall}, final hold {hold}").format(
            coats=len(sequence.steps),
            wall=self._session.write(sequence.target_thickness_m, Quantity.THICKNESS),
            hold=write_duration(sequence.final_hold_s),
        )

    def _change(self, sequence: DipSequence) -> str:
        on = len(self._session.opened.ledger.coats(self._shell.id)) if self._shell else 0
        return self.tr("Coats on: {on}; the new wall has {planned}.").format(
            on=on, planned=len(sequence.steps)
        )
