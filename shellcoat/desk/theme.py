"""Light and dark colours of the desk, and how they reach Qt.

The ground is that of a workshop: kiln plaster by day, a dim bench by night, the green of bronze
as the accent and ember for the keyboard focus. States are fills of the Okabe-Ito palette (M. Okabe
and K. Ito, Color Universal Design, 2008), which stays apart for the common kinds of colour
blindness; several of them are too pale for lines on white, so they are only ever fills under
black ink with a black outline.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

from shellcoat.desk.style_sheet import style_sheet

Scheme = Literal["light", "dark", "system"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Theme:
    """Named colours as #rrggbb, which Qt, style sheets and matplotlib all read.

    Text pairs reach 4.5:1; `line`, `focus`, `accent` and the plot and section inks reach 3:1 on
    every ground. `disabled` reaches 3:1 though no rule asks it to. `faint` is decoration only.
    """

    dark: bool

    window: str
    panel: str
    raised: str
    stripe: str
    text: str
    muted: str
    disabled: str
    line: str
    faint: str
    accent: str
    accent_text: str
    selection: str
    focus: str

    warm: str
    cool: str
    leaf: str

    wax: str
    wax_ink: str
    prime: str
    backup: str
    seal: str
    grain: str
    wet: str
    hatch: str

    # The same by day and night: their black ink and outline carry them on both grounds.
    ink: str = "#000000"
    fill_bare: str = "#FFFFFF"
    fill_wet: str = "#56B4E9"
    fill_likely: str = "#F0E442"
    fill_due: str = "#009E73"
    fill_holding: str = "#CC79A7"
    fill_review: str = "#E69F00"
    fill_paused: str = "#B9B4AB"
    fill_trouble: str = "#D55E00"

    @property
    def colours(self) -> dict[str, str]:
        """Every colour by its name."""
        return {field.name: getattr(self, field.name) for field in fields(self)[1:]}


LIGHT = Theme(
    dark=False,
    window="#E9E6E0",
    panel="#FAF8F4",
    raised="#F3F0EA",
    stripe="#F1EEE8",
    text="#1E2326",
    muted="#4E5356",
    disabled="#77746E",
    line="#7F7A73",
    faint="#D9D4CB",
    accent="#125A5C",
    accent_text="#FFFFFF",
    selection="#CFE3E0",
    focus="#A63D00",
    warm="#A84300",
    cool="#005F96",
    leaf="#00694C",
    wax="#D9A45C",
    wax_ink="#6B4210",
    prime="#D7D9DA",
    backup="#EDE6D8",
    seal="#C9BFAE",
    grain="#857E72",
    wet="#BFDDF0",
    hatch="#0B3A59",
)

DARK = Theme(
    dark=True,
    window="#17191A",
    panel="#1E2122",
    raised="#2C3031",
    stripe="#252829",
    text="#ECE8E0",
    muted="#B9B4AA",
    disabled="#8B877F",
    line="#8E8A82",
    faint="#3A3E3F",
    accent="#6CC7BC",
    accent_text="#0C1413",
    selection="#183C3B",
    focus="#FFB454",
    warm="#F2A35B",
    cool="#72C2F2",
    leaf="#5CCBA3",
    wax="#8A5F2A",
    wax_ink="#F3D9B1",
    prime="#4A5053",
    backup="#47423A",
    seal="#625A4D",
    grain="#A39B8C",
    wet="#1E4A66",
    hatch="#B9E1FA",
)


def theme_for(app: QApplication, scheme: Scheme) -> Theme:
    """Choose the colours; a system that does not say what it prefers gets the light ones."""
    if scheme == "system":
        return DARK if app.styleHints().colorScheme() is Qt.ColorScheme.Dark else LIGHT
    return DARK if scheme == "dark" else LIGHT


def apply_theme(app: QApplication, scheme: Scheme) -> Theme:
    """Dress the whole program and return the colours for what paints itself.

    Under "system" call it again when `QStyleHints.colorSchemeChanged` tells of a change.
    """
    wishes = {"light": Qt.ColorScheme.Light, "dark": Qt.ColorScheme.Dark}
    app.styleHints().setColorScheme(wishes.get(scheme, Qt.ColorScheme.Unknown))
    theme = theme_for(app, scheme)
    app.setStyle("Fusion")
    app.setPalette(palette_of(theme))
    app.setStyleSheet(style_sheet(theme.colours, dark=theme.dark))
    return theme


def palette_of(theme: Theme) -> QPalette:
    """Build Qt's palette from the theme."""
    palette = QPalette()
    for role, colour in _roles(theme).items():
        palette.setColor(role, QColor(colour))
    for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(theme.disabled))
    for role in (QPalette.ColorRole.ButtonText, QPalette.ColorRole.HighlightedText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(theme.disabled))
    return palette


def _roles(theme: Theme) -> dict[QPalette.ColorRole, str]:
    role = QPalette.ColorRole
    return {
        role.Window: theme.window,
        role.WindowText: theme.text,
        role.Base: theme.panel,
        role.AlternateBase: theme.stripe,
        role.Text: theme.text,
        role.PlaceholderText: theme.muted,
        role.Button: theme.raised,
        role.ButtonText: theme.text,
        role.BrightText: theme.accent_text,
        role.ToolTipBase: theme.raised,
        role.ToolTipText: theme.text,
        role.Link: theme.accent,
        role.LinkVisited: theme.accent,
        role.Highlight: theme.selection,
        role.HighlightedText: theme.text,
        role.Accent: theme.accent,
        role.Light: theme.panel,
        role.Midlight: theme.raised,
        role.Mid: theme.line,
        role.Dark: theme.line,
        role.Shadow: theme.ink,
    }
