"""The style sheet of the desk: target sizes, borders that can be seen, and the focus ring.

Fusion draws the frames of fields, ticks and bars in a shade of the window that falls below 3:1
in the dark, so every control gets a border of its own here. All borders are two pixels wide
whether focused or not: the ring changes colour and nothing jumps.
"""

from __future__ import annotations

from collections.abc import Mapping
from string import Template

from PySide6.QtCore import QDir

from shellcoat.places import resources_dir

BUTTON_HEIGHT_PX = 40
FIELD_HEIGHT_PX = 36
TABLE_ROW_PX = 44
"""Height for `QTableView.verticalHeader().setDefaultSectionSize`, which no style sheet sets."""

_BORDERS_PX = 4

_SHEET = Template("""
QPushButton {
    min-height: ${button}px; min-width: 64px; padding: 0 14px;
    border: 2px solid $line; border-radius: 6px; background: $raised; color: $text;
}
QPushButton:hover { background: $selection; }
QPushButton:pressed, QPushButton:checked { background: $selection; border-color: $accent; }
QPushButton[role="primary"] {
    background: $accent; border-color: $accent; color: $accent_text; font-weight: 600;
}
QPushButton[role="primary"]:hover { border-color: $text; }
QPushButton:disabled, QPushButton[role="primary"]:disabled {
    background: $window; border-color: $faint; color: $disabled;
}

QLineEdit, QComboBox, QAbstractSpinBox {
    min-height: ${field}px; padding: 0 8px;
    border: 2px solid $line; border-radius: 4px; background: $panel;
    selection-background-color: $selection; selection-color: $text;
}
QPlainTextEdit, QTextEdit {
    padding: 4px; border: 2px solid $line; border-radius: 4px;
    selection-background-color: $selection; selection-color: $text;
}
QLineEdit:disabled, QComboBox:disabled, QAbstractSpinBox:disabled {
    background: $window; border-color: $faint; color: $disabled;
}
QComboBox::drop-down { border: 0; width: 32px; }
QComboBox::down-arrow { image: url(controls:down-$shade.svg); width: 14px; height: 14px; }
QComboBox QAbstractItemView { border: 2px solid $line; }
QComboBox QAbstractItemView::item { min-height: ${field}px; }
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button {
    subcontrol-origin: border; border: 0; width: 32px; margin: 2px;
}
QAbstractSpinBox::up-button { subcontrol-position: top right; }
QAbstractSpinBox::down-button { subcontrol-position: bottom right; }
QAbstractSpinBox::up-arrow { image: url(controls:up-$shade.svg); width: 14px; height: 14px; }
QAbstractSpinBox::down-arrow, QDateTimeEdit::down-arrow {
    image: url(controls:down-$shade.svg); width: 14px; height: 14px;
}

QCheckBox, QRadioButton { min-height: 28px; spacing: 8px; }
QCheckBox::indicator, QRadioButton::indicator, QAbstractItemView::indicator {
    width: 18px; height: 18px; border: 2px solid $line; background: $panel;
}
QCheckBox::indicator, QAbstractItemView::indicator { border-radius: 4px; }
QRadioButton::indicator { border-radius: 11px; }
QCheckBox::indicator:checked, QAbstractItemView::indicator:checked {
    border-color: $accent; background: $accent; image: url(controls:tick-$shade.svg);
}
QRadioButton::indicator:checked {
    border-color: $accent; background: $accent; image: url(controls:dot-$shade.svg);
}

QTableView, QTreeView, QListView {
    border: 2px solid $line; border-radius: 4px; gridline-color: $faint;
    alternate-background-color: $stripe;
    selection-background-color: $selection; selection-color: $text;
}
QTableView::item { padding: 0 8px; }
QHeaderView { background: $window; border: 0; }
QHeaderView::section {
    padding: 0 8px; border: 0; background: $window; color: $muted; font-weight: 600;
}
QHeaderView::section:horizontal { min-height: ${field}px; border-bottom: 2px solid $line; }
QTableCornerButton::section { background: $window; border: 0; }

QPushButton:focus, QPushButton[role="primary"]:focus, QLineEdit:focus, QComboBox:focus,
QAbstractSpinBox:focus, QPlainTextEdit:focus, QTextEdit:focus, QTableView:focus,
QTreeView:focus, QListView:focus, QCheckBox::indicator:focus, QRadioButton::indicator:focus {
    border-color: $focus;
}

QScrollBar { background: $window; border: 0; margin: 0; }
QScrollBar:vertical { width: 16px; }
QScrollBar:horizontal { height: 16px; }
QScrollBar::handle { background: $line; border-radius: 5px; margin: 3px; }
QScrollBar::handle:hover { background: $muted; }
QScrollBar::handle:vertical { min-height: 40px; }
QScrollBar::handle:horizontal { min-width: 40px; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: $window; }

QPushButton[scale="large"] { min-height: 68px; font-size: 22px; }
QDateTimeEdit::drop-down {
    subcontrol-origin: border; subcontrol-position: center right; border: 0; width: 32px;
}
QLabel[role="title"] { font-size: 20px; font-weight: 600; }
QLabel[role="big"] { font-size: 34px; font-weight: 700; }
QLabel[role="headline"] { font-size: 16px; font-weight: 600; }
QLabel[role="fault"] { color: $warm; }
QLabel[role="empty"] { font-size: 18px; color: $muted; }
QFrame[role="card"], QFrame[role="banner"] {
    border: 2px solid $line; border-radius: 6px; background: $panel;
}
QFrame[role="rail"] { border: 0; border-right: 2px solid $faint; background: $window; }
QFrame[role="rail"] QToolButton {
    border: 2px solid transparent; border-radius: 8px; background: transparent; color: $text;
    font-weight: 600;
}
QFrame[role="rail"] QToolButton:hover { background: $raised; }
QFrame[role="rail"] QToolButton:checked { background: $selection; border-color: $accent; }
QFrame[role="rail"] QToolButton:focus { border-color: $focus; }
QTabBar::tab {
    min-height: ${field}px; padding: 0 16px; border: 2px solid $line; border-bottom: 0;
    border-top-left-radius: 6px; border-top-right-radius: 6px; background: $window; color: $muted;
    margin-right: 4px;
}
QTabBar::tab:selected { background: $panel; color: $text; font-weight: 600; }
QTabBar::tab:focus { border-color: $focus; }
QTabWidget::pane { border: 2px solid $line; border-radius: 4px; background: $panel; }
QMenu { border: 2px solid $line; background: $panel; padding: 4px; }
QMenu::item { min-height: 30px; padding: 0 24px; }
QMenu::item:selected { background: $selection; color: $text; }
QMenu::separator { height: 2px; background: $faint; margin: 4px 8px; }

QSlider { min-height: 30px; }
QSlider::groove:horizontal { height: 6px; border-radius: 3px; background: $line; }
QSlider::handle:horizontal {
    width: 24px; margin: -9px 0; border: 2px solid $line; border-radius: 6px; background: $raised;
}
QSlider::handle:horizontal:focus { border-color: $focus; }
QProgressBar {
    min-height: 18px; border: 2px solid $line; border-radius: 4px; background: $panel;
    text-align: center;
}
QProgressBar::chunk { background: $selection; }
QToolTip { border: 2px solid $line; padding: 6px; background: $raised; color: $text; }
""")


def style_sheet(colours: Mapping[str, str], *, dark: bool) -> str:
    """Fill in the colours by name; the little pictures of controls come from the resources."""
    QDir.setSearchPaths("controls", [str(resources_dir() / "icons" / "controls")])
    return _SHEET.substitute(
        colours,
        shade="dark" if dark else "light",
        button=str(BUTTON_HEIGHT_PX - _BORDERS_PX),
        field=str(FIELD_HEIGHT_PX),
    )
