"""The fields of a touch or a look at a shell: what was found, and where."""

from __future__ import annotations

from collections.abc import Iterator
from uuid import UUID

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QWidget

from shellcoat.desk.dialogs.check_form import CheckForm, CheckFrame
from shellcoat.desk.dialogs.field_grid import FieldGrid
from shellcoat.desk.dialogs.fields import ChoiceField
from shellcoat.desk.dialogs.form import AnyField
from shellcoat.desk.dialogs.lettering import shortened
from shellcoat.shop import DryCheck, DryFinding, Shell, ShellCheck


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Checks", text)


class TouchForm(CheckForm):
    """A touch or a look: what was found, and where."""

    def __init__(self, shell: Shell, check: DryCheck | None, body: QWidget) -> None:
        self._shell_id = shell.id
        self.title = translate("Touch or look")
        self.finding = ChoiceField(translate("Found"), body)
        self.finding.setObjectName("check_finding")
        self.finding.offer(
            [
                (translate("dry"), DryFinding.DRY),
                (translate("still wet"), DryFinding.STILL_WET),
            ]
        )
        self.finding.set_value(check.finding if check else DryFinding.DRY)
        self.where = ChoiceField(translate("Where"), body)
        self.where.setObjectName("check_where")
        self.where.offer(where_choices(shell))
        self.where.set_value(check.core_id if check else None)

    def fields(self) -> Iterator[AnyField]:
        """The fields in the order in which they stand."""
        yield from (self.finding, self.where)

    def add_to(self, grid: FieldGrid, body: QWidget) -> None:
        """Put the fields into the dialog."""
        grid.add(body, translate("&Found"), self.finding)
        grid.add(body, translate("&Where"), self.where)

    def finished(self, frame: CheckFrame) -> ShellCheck:
        """The check; raises what is wrong with a field."""
        return DryCheck(
            id=frame.id,
            shell_id=self._shell_id,
            at=frame.at,
            finding=self.finding.value(),
            core_id=self.where.value(),
            note=frame.note,
            left_out=frame.left_out,
        )


def where_choices(shell: Shell) -> list[tuple[str, UUID | None]]:
    """The face of a shell and each of its cores."""
    cores = [
        (translate("core {name}").format(name=shortened(core.name, 40)), core.id)
        for core in shell.cores
    ]
    return [(translate("the face"), None), *cores]
