"""The menus: the book, the shop, the view, help."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QActionGroup, QKeySequence
from PySide6.QtWidgets import QFileDialog, QMenu, QMessageBox

from shellcoat import __version__
from shellcoat.book import SUFFIX
from shellcoat.desk.alerts.menu import build_alert_menu
from shellcoat.desk.theme import Scheme
from shellcoat.operations.cautions import cautions_text

if TYPE_CHECKING:
    from shellcoat.desk.main_window import MainWindow


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Menus", text)


def build_menus(window: MainWindow) -> None:
    """Put the menus into the window's bar."""
    bar = window.menuBar()
    _book_menu(window, bar.addMenu(translate("&Book")))
    _shop_menu(window, bar.addMenu(translate("&Shop")))
    build_alert_menu(window, bar.addMenu(translate("&Alerts")))
    _view_menu(window, bar.addMenu(translate("&View")))
    _help_menu(window, bar.addMenu(translate("&Help")))


def _book_menu(window: MainWindow, menu: QMenu) -> None:
    keys = QKeySequence.StandardKey
    menu.addAction(
        window.action(
            translate("&New shop…"), "book_new", lambda: new_shop(window), QKeySequence(keys.New)
        )
    )
    menu.addAction(
        window.action(
            translate("&Open…"), "book_open", lambda: choose_book(window), QKeySequence(keys.Open)
        )
    )
    demos = menu.addMenu(translate("Open a &demo shop"))
    demos.setObjectName("book_demos")
    demos.aboutToShow.connect(partial(_list_demos, window, demos))
    menu.addSeparator()
    menu.addAction(window.action(translate("&Backups…"), "book_backups", lambda: _backups(window)))
    menu.addAction(
        window.action(translate("&Check the book…"), "book_check", lambda: _check(window))
    )
    menu.addAction(window.action(translate("&Export…"), "book_export", lambda: _export(window)))
    menu.addAction(window.action(translate("&Import…"), "book_import", lambda: _import(window)))
    menu.addSeparator()
    menu.addAction(
        window.action(translate("&Quit"), "book_quit", window.close, QKeySequence(keys.Quit))
    )


def _shop_menu(window: MainWindow, menu: QMenu) -> None:
    new_shell = window.action(translate("&New shell…"), "shop_new_shell", window.new_shell)
    new_shell.setShortcut(QKeySequence("Ctrl+Shift+N"))
    menu.addAction(new_shell)
    menu.addAction(
        window.action(translate("&Dip sequences…"), "shop_sequences", lambda: _sequences(window))
    )
    menu.addAction(
        window.action(
            translate("Slurry and stucco &tests…"), "shop_film_tests", lambda: _film_tests(window)
        )
    )
    menu.addAction(window.action(translate("&Labels…"), "shop_labels", lambda: _labels(window)))
    menu.addAction(
        window.action(translate("&Outcomes…"), "shop_outcomes", lambda: _outcomes(window))
    )
    menu.addAction(
        window.action(translate("&Settings…"), "shop_settings", lambda: _settings(window))
    )
    writable = not window.session.opened.book.read_only
    new_shell.setEnabled(writable)


def _view_menu(window: MainWindow, menu: QMenu) -> None:
    station = window.action(
        translate("&Dipping station"), "view_station", window.open_station, QKeySequence("F11")
    )
    menu.addAction(station)
    menu.addSeparator()
    group = QActionGroup(window)
    schemes: dict[Scheme, str] = {
        "system": translate("As the &system"),
        "light": translate("&Light"),
        "dark": translate("&Dark"),
    }
    for scheme, text in schemes.items():
        action = window.action(text, f"view_{scheme}", partial(window.set_scheme, scheme))
        action.setCheckable(True)
        action.setChecked(scheme == window.scheme)
        group.addAction(action)
        menu.addAction(action)


def _help_menu(window: MainWindow, menu: QMenu) -> None:
    menu.addAction(
        window.action(translate("&Cautions"), "help_cautions", lambda: _cautions(window))
    )
    menu.addAction(window.action(translate("&About"), "help_about", lambda: _about(window)))


def new_shop(window: MainWindow) -> None:
    """Start another shop's book."""
    from shellcoat.desk.dialogs.new_book_dialog import NewBookDialog
    from shellcoat.operations.new_shop import create_shop

    dialog = NewBookDialog(window)
    new = dialog.new_shop if dialog.exec() else None
    if new is not None:
        path = window.session.attempt(lambda: create_shop(new, window.session.now()))
        if path is not None:
            window.reopen(path)


def choose_book(window: MainWindow) -> None:
    """Open another book."""
    path, _ = QFileDialog.getOpenFileName(
        window,
        translate("Open a book"),
        str(window.session.opened.book.path.parent),
        translate("Shell books (*{suffix})").format(suffix=SUFFIX),
    )
    if path:
        window.reopen(Path(path))


def _list_demos(window: MainWindow, menu: QMenu) -> None:
    """Fill the menu of demos when it is first opened: looking for them loads the importer."""
    from shellcoat.operations.demo import demo_names

    if menu.isEmpty():
        for name, title in demo_names().items():
            act = partial(_open_demo, window, name)
            menu.addAction(window.action(title, f"book_demo_{name}", act))


def _open_demo(window: MainWindow, name: str) -> None:
    from shellcoat.operations.demo import demo_path, open_demo

    now = window.session.now()
    if window.session.opened.book.path == demo_path(name):
        window.close_then(lambda _path: open_demo(name, now))
        return
    path = window.session.attempt(lambda: open_demo(name, now))
    if path is not None:
        window.reopen(path)


def _backups(window: MainWindow) -> None:
    from shellcoat.book.backup import restore
    from shellcoat.desk.dialogs.backup_dialog import BackupDialog

    dialog = BackupDialog(window.session, window)
    chosen: list[Path] = []
    dialog.restore_requested.connect(chosen.append)
    dialog.exec()
    if chosen:
        window.close_then(lambda path: restore(chosen[-1], path, window.session.now()))


def _check(window: MainWindow) -> None:
    from shellcoat.desk.dialogs.check_dialog import CheckDialog

    CheckDialog(window.session, window).exec()


def _export(window: MainWindow) -> None:
    from shellcoat.book.exchange import export_book

    book = window.session.opened.book
    path, _ = QFileDialog.getSaveFileName(
        window,
        translate("Export the whole book"),
        str(book.path.with_suffix(".json")),
        translate("JSON document (*.json)"),
    )
    if path:
        window.session.runner.run(
            lambda: export_book(book, Path(path)),
            lambda _done: window.say(translate("Exported to {path}.").format(path=path)),
            window.say_fault,
        )


def _import(window: MainWindow) -> None:
    from shellcoat.book.exchange import import_book

    source, _ = QFileDialog.getOpenFileName(
        window, translate("Import a book"), "", translate("JSON document (*.json)")
    )
    if not source:
        return
    target, _ = QFileDialog.getSaveFileName(
        window,
        translate("Keep it as a new book"),
        str(window.session.opened.book.path.with_name(Path(source).stem + SUFFIX)),
        translate("Shell books (*{suffix})").format(suffix=SUFFIX),
    )
    if target:
        path = Path(target).with_suffix(SUFFIX)
        window.session.runner.run(
            partial(import_book, Path(source), path),
            lambda _done: window.reopen(path),
            window.say_fault,
        )


def _sequences(window: MainWindow) -> None:
    from shellcoat.desk.dialogs.sequence_dialog import SequenceDialog

    SequenceDialog(window.session, window).exec()


def _film_tests(window: MainWindow) -> None:
    from shellcoat.desk.dialogs.film_tests_dialog import FilmTestsDialog

    FilmTestsDialog(window.session, window).exec()


def _labels(window: MainWindow) -> None:
    from shellcoat.desk.labels.dialog import LabelsDialog

    LabelsDialog(window.session, parent=window).exec()


def _outcomes(window: MainWindow) -> None:
    from shellcoat.desk.outcomes.overview import OutcomesDialog

    dialog = OutcomesDialog(window.session, window)
    dialog.shell_requested.connect(window.open_shell)
    dialog.exec()


def _settings(window: MainWindow) -> None:
    from shellcoat.desk.dialogs.shop_dialog import ShopDialog

    ShopDialog(window.session, window).exec()


def _cautions(window: MainWindow) -> None:
    QMessageBox.information(window, translate("Cautions"), cautions_text())


def _about(window: MainWindow) -> None:
    from shellcoat.book.about import sqlite_words

    book = window.session.opened.book
    QMessageBox.about(
        window,
        translate("About shellcoat"),
        translate(
            "shellcoat {version}\n\nBook: {path}\n{sqlite}\n\n"
            "Times and thicknesses are estimates with a spread. Local codes, safety sheets and "
            "experienced practice come first."
        ).format(version=__version__, path=book.path, sqlite=sqlite_words()),
    )
