"""A new shop: everything prefilled, everything correctable, and a book that opens."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import NOW

from shellcoat.book import open_book
from shellcoat.desk.dialogs.new_book_dialog import NewBookDialog
from shellcoat.desk.theme import Theme
from shellcoat.operations.new_shop import create_shop
from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.sequences import starters
from shellcoat.places import books_dir
from shellcoat.shop import AirMovement
from shellcoat.units import UnitSystem


@pytest.fixture
def dialog(qtbot: QtBot, theme: Theme) -> NewBookDialog:
    return shown(qtbot, NewBookDialog(None))


def test_what_is_filled_in_becomes_a_book(
    qtbot: QtBot, dialog: NewBookDialog, tmp_path: Path
) -> None:
    qtbot.keyClicks(dialog.shop_name.line, "Heron Yard")
    dialog.who.set_value("Ana")
    dialog.zone.set_value("America/Denver")
    dialog.units.set_value(UnitSystem.US)
    dialog.room.set_value("Loft")
    dialog.movement.set_value(AirMovement.FAN_ON_SHELL)
    dialog.place.line.clear()
    qtbot.keyClicks(dialog.place.line, str(tmp_path / "shop" / "heron"))
    dialog.sequences[0][0].setChecked(False)
    dialog.start_button.click()
    assert dialog.new_shop is not None
    path = create_shop(dialog.new_shop, NOW)
    assert path == tmp_path / "shop" / "heron.shellbook"
    with open_book(path, read_only=True) as book:
        opened = OpenShop(book, who="Ana")
        assert opened.shop.name == "Heron Yard"
        assert opened.zone.key == "America/Denver"
        assert opened.units.system is UnitSystem.US
        (room,) = book.ledger.rooms
        assert (room.name, room.movement) == ("Loft", AirMovement.FAN_ON_SHELL)
        assert book.ledger.sequences == list(starters()[1:])


def test_the_book_is_called_after_the_shop_until_another_place_is_named(
    qtbot: QtBot, dialog: NewBookDialog
) -> None:
    qtbot.keyClicks(dialog.shop_name.line, "Heron: Yard/2")
    assert Path(dialog.place.line.text()) == books_dir() / "Heron Yard 2.shellbook"
    qtbot.keyClicks(dialog.place.line, "x")
    typed = dialog.place.line.text()
    qtbot.keyClicks(dialog.shop_name.line, " and Sons")
    assert dialog.place.line.text() == typed


def test_all_starter_sequences_are_taken_over_unless_unticked(dialog: NewBookDialog) -> None:
    assert [sequence for _, sequence in dialog.sequences] == list(starters())
    assert all(box.isChecked() for box, _ in dialog.sequences)


def test_faults_are_told_at_once_and_nothing_is_lost(
    qtbot: QtBot, dialog: NewBookDialog, tmp_path: Path
) -> None:
    taken = tmp_path / "heron.shellbook"
    taken.write_text("somebody's list", encoding="utf-8")
    dialog.who.line.clear()
    dialog.zone.set_value("Mars/Olympus")
    dialog.place.set_value(str(taken))
    dialog.start_button.click()
    assert dialog.isVisible()
    assert dialog.new_shop is None
    assert "Shop name is empty" in dialog.shop_name.message
    assert "Your name is empty" in dialog.who.message
    assert "Mars/Olympus" in dialog.zone.message
    assert "exists already" in dialog.place.message
    assert dialog.place.line.text() == str(taken)
    dialog.place.set_value(str(tmp_path))
    dialog.start_button.click()
    assert "is a folder" in dialog.place.message
    dialog.reject()
    assert dialog.new_shop is None
