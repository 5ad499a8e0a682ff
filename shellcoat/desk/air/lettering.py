"""How the Air page is lettered: its labels, headings, field names and cards."""

from __future__ import annotations

from string import Template

from PySide6.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget

from shellcoat.desk.theme import Theme

_SHEET = Template("""
QLabel[role="muted"] { color: $muted; }
QLabel[role="kept"] { color: $leaf; font-weight: 600; }
QListView::item { min-height: 36px; padding: 0 8px; }
QHeaderView::section { padding: 0 11px; }
""")

CARD_MARGIN = 14


def air_sheet(theme: Theme) -> str:
    """The style sheet of the page and of the dialogs that belong to it."""
    return _SHEET.substitute(theme.colours)


def label(parent: QWidget, name: str, role: str = "", *, wrap: bool = False) -> QLabel:
    """A label with its object name and its role in the style sheet."""
    made = QLabel(parent)
    made.setObjectName(name)
    made.setWordWrap(wrap)
    if role:
        made.setProperty("role", role)
    return made


def field_name(parent: QWidget, text: str, field: QWidget) -> QLabel:
    """The name before a field; as tall as the field, so that both stand on one line."""
    made = QLabel(text, parent)
    made.setBuddy(field)
    made.setMinimumHeight(field.sizeHint().height())
    return made


def heading(parent: QWidget, name: str, text: str = "") -> QLabel:
    """The heading of a card or of a list."""
    made = label(parent, name, "headline")
    made.setText(text)
    return made


def card(parent: QWidget, name: str) -> tuple[QFrame, QVBoxLayout]:
    """A raised panel and the column it is filled in."""
    frame = QFrame(parent)
    frame.setObjectName(name)
    frame.setProperty("role", "card")
    column = QVBoxLayout(frame)
    column.setContentsMargins(CARD_MARGIN, CARD_MARGIN, CARD_MARGIN, CARD_MARGIN)
    return frame, column
