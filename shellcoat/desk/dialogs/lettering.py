"""How the dialogs are lettered: the roles of their labels, in the colours the program wears."""

from __future__ import annotations

import re
from string import Template

from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication

from shellcoat.desk.theme import DARK, LIGHT, Theme

_SHEET = Template("""
QLabel[role="muted"] { color: $muted; }
QLabel[role="kept"] { color: $leaf; font-weight: 600; }
QLabel[role="notice"] {
    color: $text; background: $selection; border-radius: 4px; padding: 6px 10px;
}
QHeaderView::section { padding: 0 11px; }
QListView::item:selected, QTableView::item:selected { background: $selection; color: $text; }
QListView::item { min-height: 36px; padding: 0 8px; }
QPlainTextEdit { background: $panel; }
QScrollArea, QWidget#dialog_body { background: transparent; border: 0; }
""")

LONGEST_RUN = 30
"""Letters in a row after which a line may break, so that no name pushes a dialog wide."""

LONGEST_TITLE = 60


def worn_theme() -> Theme:
    """The colours the program wears at this moment."""
    window = QApplication.palette().color(QPalette.ColorRole.Window).name()
    return DARK if window == DARK.window.lower() else LIGHT


def dialog_sheet(theme: Theme) -> str:
    """The style sheet of a dialog."""
    return _SHEET.substitute(theme.colours)


def breakable(text: str) -> str:
    """The same words, with places where a very long one may break."""
    return re.sub(rf"(\S{{{LONGEST_RUN}}})(?=\S)", "\\1\u200b", text)


def shortened(text: str, longest: int = LONGEST_TITLE) -> str:
    """The text, or its beginning where it is long."""
    return text if len(text) <= longest else f"{text[: longest - 1].rstrip()}…"
