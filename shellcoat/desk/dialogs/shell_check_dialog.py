"""A check of a shell: a touch, an infrared reading, a weighing or a wall measured."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from shellcoat.desk.dialogs.check_form import CheckFormDialog
from shellcoat.desk.dialogs.lettering import shortened
from shellcoat.desk.dialogs.shell_check_forms import CheckKind, check_form
from shellcoat.desk.session import DeskSession
from shellcoat.shop import Shell, ShellCheck


class ShellCheckDialog(CheckFormDialog):
    """A new check of a kind, or one that stands and is put right."""

    def __init__(
        self,
        session: DeskSession,
        shell: Shell,
        what: ShellCheck | CheckKind,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(
            session,
            "shell_check_dialog",
            None if isinstance(what, type) else what,
            lambda body: check_form(session, shell, what, body),
            parent,
        )
        self.setWindowTitle(f"{self.form.title}: {shortened(shell.name)}")
