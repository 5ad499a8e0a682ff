"""A dip sequence on its way: what was typed is kept, right or wrong, until it can be saved."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID, uuid4

from shellcoat.desk.dialogs.coat_draft import Fault, Scale, StepDraft, with_own_figure
from shellcoat.shop import CoatKind, DipSequence


@dataclass(slots=True)
class SequenceDraft:
    """A sequence being changed; the texts of its figures are None until somebody types."""

    id: UUID
    original: DipSequence | None
    name: str
    description: str
    steps: list[StepDraft]
    target_text: str | None = None
    hold_text: str | None = None
    changed: bool = False
    strict: bool = False

    @classmethod
    def of(cls, sequence: DipSequence) -> SequenceDraft:
        """Begin with a sequence as it stands."""
        steps = [StepDraft.of(step) for step in sequence.steps]
        return cls(sequence.id, sequence, sequence.name, sequence.description, steps)

    @classmethod
    def new(cls) -> SequenceDraft:
        """Begin with one prime coat that says nothing yet."""
        return cls(uuid4(), None, "", "", [StepDraft(kind=CoatKind.PRIME)], changed=True)

    @property
    def retired(self) -> bool:
        """Whether it is out of the lists."""
        return self.original is not None and self.original.retired

    def faults(self, scale: Scale) -> list[Fault]:
        """What is wrong with the coats."""
        return [
            fault
            for row, step in enumerate(self.steps)
            for fault in step.faults(row, scale, strict=self.strict)
        ]

    def build(
        self, name: str, description: str, target_thickness_m: float, final_hold_s: float
    ) -> DipSequence:
        """The sequence as a record.

        Raises
        ------
        MendableError
            for the first thing that is wrong with it.
        """
        before = self.original
        source = before.source if before else ""
        if before is None or before.target_thickness_m != target_thickness_m:
            source = with_own_figure(source, "Target thickness")
        if before is None or before.final_hold_s != final_hold_s:
            source = with_own_figure(source, "Final hold")
        return DipSequence(
            id=self.id,
            name=name,
            steps=tuple(step.build(row) for row, step in enumerate(self.steps)),
            target_thickness_m=target_thickness_m,
            final_hold_s=final_hold_s,
            description=description,
            source=source,
            retired=self.retired,
        )
