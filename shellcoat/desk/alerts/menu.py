"""The menu of the alerts, and the buttons of their banners."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QMenu

from shellcoat.alerts.putting_off import HOUR, QUARTER, tomorrow_morning

if TYPE_CHECKING:
    from shellcoat.desk.main_window import MainWindow


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("AlertMenu", text)


def build_alert_menu(window: MainWindow, menu: QMenu) -> None:
    """Fill the menu, and give both banners their buttons."""
    open_keys = QKeySequence("Ctrl+Shift+A")
    menu.addAction(
        window.action(translate("&Open alerts…"), "alerts_open", partial(_open, window), open_keys)
    )
    menu.addMenu(_mute_menu(window, "alerts_mute"))
    menu.addAction(
        window.action(translate("&Ways of telling…"), "alerts_ways", partial(_ways, window))
    )
    menu.addAction(
        window.action(translate("&Test my alerts…"), "alerts_test", partial(_try, window))
    )
    for banner in (window.alarm_banner, window.alert_banner):
        mute = _mute_menu(window, f"{banner.objectName()}_mute_menu")
        banner.add_button(translate("Mute"), "mute", mute)
        banner.add_button(translate("Open alerts…"), "open").clicked.connect(partial(_open, window))


def _mute_menu(window: MainWindow, name: str) -> QMenu:
    """Hold the sound for a while; what is unseen then sounds again."""
    menu = QMenu(translate("&Mute the sound"), window)
    menu.setObjectName(name)
    ends: list[tuple[str, str, Callable[[], datetime | None]]] = [
        (translate("For 15 &minutes"), "15", lambda: window.session.now() + QUARTER),
        (translate("For an &hour"), "60", lambda: window.session.now() + HOUR),
        (
            translate("Until &tomorrow morning"),
            "morning",
            lambda: tomorrow_morning(window.session.now(), window.session.opened.zone),
        ),
        (translate("&Sound again"), "off", lambda: None),
    ]
    for text, end, until in ends:
        menu.addAction(window.action(text, f"{name}_{end}", partial(_mute, window, until)))
    return menu


def _mute(window: MainWindow, until: Callable[[], datetime | None]) -> None:
    end = until()
    window.alerts.mute(end)
    window.say(
        translate("The sound is muted until {time}.").format(time=window.alerts.say_time(end))
        if end
        else translate("The sound is on again.")
    )


def _open(window: MainWindow, *_checked: object) -> None:
    from shellcoat.desk.alerts.panel import AlertPanel

    panel = AlertPanel(window.session, window.alerts, window)
    panel.shell_requested.connect(window.open_shell)
    panel.exec()


def _ways(window: MainWindow) -> None:
    from shellcoat.desk.alerts.ways_dialog import AlertWaysDialog

    AlertWaysDialog(window.session, window.alerts, window).exec()


def _try(window: MainWindow) -> None:
    from shellcoat.desk.alerts.trial_dialog import TrialDialog

    TrialDialog(window.session, window.alerts, window).exec()
