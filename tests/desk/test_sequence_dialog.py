"""Dip sequences: looked at, changed, copied, added, retired, and what cannot be kept."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLineEdit
from pytestqt.qtbot import QtBot
from shown_dialog import shown
from small_shop import NOW

from shellcoat.desk.dialogs.coat_draft import OWN_FIGURE, Column, with_own_figure
from shellcoat.desk.dialogs.coat_model import FAULT_ROLE
from shellcoat.desk.dialogs.sequence_dialog import SequenceDialog
from shellcoat.desk.dialogs.sequence_draft import SequenceDraft
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.operations.sequences import save_sequence, sequences_in_use, starters
from shellcoat.shop import CoatKind, DipSequence, Shell


@pytest.fixture
def dialog(qtbot: QtBot, session: DeskSession, theme: Theme) -> SequenceDialog:
    return shown(qtbot, SequenceDialog(session))


def nine(session: DeskSession) -> DipSequence:
    return next(each for each in session.opened.ledger.sequences if len(each.steps) == 9)


def stored(session: DeskSession, sequence: DipSequence) -> DipSequence:
    return next(each for each in session.opened.ledger.sequences if each.id == sequence.id)


def put(dialog: SequenceDialog, row: int, column: Column, text: object) -> None:
    model = dialog.editor.coats
    model.setData(model.index(row, column), text)


def cell(dialog: SequenceDialog, row: int, column: Column) -> str:
    return str(dialog.editor.coats.index(row, column).data())


def listed(dialog: SequenceDialog) -> list[str]:
    model = dialog.list_model
    return [model.index(row, 0).data() for row in range(model.rowCount())]


def test_figures_stand_in_the_units_of_the_shop_with_their_sources(
    session: DeskSession, dialog: SequenceDialog
) -> None:
    dialog.choose(nine(session).id)
    assert dialog.editor.name.value() == nine(session).name
    # The figures of the table that comes with the program: 0.5, 0.75 and 1.0 mm, 0.25 kg/m2.
    shown = [cell(dialog, 2, column) for column in Column]
    assert shown[Column.KIND] == "backup"
    assert shown[Column.BUILT_LOW : Column.BUILT_HIGH + 1] == ["0.50", "0.75", "1.00"]
    assert shown[Column.WATER_LIKELY] == "0.25"
    assert shown[Column.RH_LOW :] == ["40", "55"]
    assert dialog.editor.target.line.text() == "7.50\u00a0mm"
    assert "from memory" in dialog.editor.source.toPlainText()


def test_a_figure_typed_in_any_unit_is_kept_and_becomes_the_shops_own(
    session: DeskSession, dialog: SequenceDialog
) -> None:
    before = nine(session)
    dialog.choose(before.id)
    put(dialog, 3, Column.BUILT_LIKELY, "0.05 in")
    assert cell(dialog, 3, Column.BUILT_LIKELY) == "1.27"  # 0.05 x 25.4 mm
    dialog.save_button.click()
    after = stored(session, before)
    assert after.steps[3].thickness_m.likely == pytest.approx(0.05 * 0.0254)
    assert after.steps[3].thickness_m.low == before.steps[3].thickness_m.low
    assert f"Thickness: {OWN_FIGURE}" in after.steps[3].source
    assert "Water: from memory" in after.steps[3].source
    # Everything else is what it was, to the last digit.
    untouched = replace(after, steps=(*after.steps[:3], before.steps[3], *after.steps[4:]))
    assert untouched == before


def test_a_wrong_unit_names_the_cell_and_keeps_what_was_typed(
    session: DeskSession, dialog: SequenceDialog
) -> None:
    dialog.choose(nine(session).id)
    put(dialog, 2, Column.BUILT_LIKELY, "3 kg")
    put(dialog, 4, Column.WATER_LOW, "a lot")
    dialog.editor.target.line.setText("8 °C")
    dialog.save_button.click()
    assert cell(dialog, 2, Column.BUILT_LIKELY) == "3 kg"
    told = dialog.editor.coats_fault.text().split("\n")
    assert told[0].startswith("Coat 3, built likely: ")
    assert "mass" in told[0]
    assert told[1].startswith("Coat 5, water low: ")
    assert dialog.editor.target.line.accessibleDescription().startswith("Target thickness: ")
    assert dialog.editor.coats.index(2, Column.BUILT_LIKELY).data(FAULT_ROLE) == told[0]
    assert nine(session) in starters()


def test_figures_that_fall_are_told(session: DeskSession, dialog: SequenceDialog) -> None:
    dialog.choose(nine(session).id)
    put(dialog, 0, Column.BUILT_LOW, "2 mm")
    put(dialog, 1, Column.RH_LOW, "80")
    told = dialog.editor.coats_fault.text()
    assert "Coat 1, built: 2.00\u00a0mm, 0.45\u00a0mm, 0.60\u00a0mm must rise" in told
    assert "Coat 2, humidity: 80\u00a0%, 65\u00a0% must rise" in told
    put(dialog, 0, Column.BUILT_LOW, "0.3")
    put(dialog, 1, Column.RH_LOW, "")
    assert not dialog.editor.coats_fault.isVisible()


def test_unsaved_changes_wait_behind_a_dot(session: DeskSession, dialog: SequenceDialog) -> None:
    first, other = session.opened.ledger.sequences[:2]
    dialog.choose(first.id)
    put(dialog, 0, Column.SLURRY, "zircon prime")
    put(dialog, 1, Column.BUILT_HIGH, "wide")
    dialog.editor.hold.line.setText("2 days?")
    dialog.editor.hold.line.textEdited.emit("2 days?")
    dialog.choose(other.id)
    assert listed(dialog)[0] == f"● {first.name}"
    assert dialog.editor.name.value() == other.name
    dialog.choose(first.id)
    assert cell(dialog, 0, Column.SLURRY) == "zircon prime"
    assert cell(dialog, 1, Column.BUILT_HIGH) == "wide"
    assert dialog.editor.hold.line.text() == "2 days?"
    dialog.discard_button.click()
    assert listed(dialog)[0] == first.name
    assert cell(dialog, 0, Column.SLURRY) == first.steps[0].slurry
    assert stored(session, first) == first


def test_closing_over_unsaved_changes_says_so_once(
    qtbot: QtBot, session: DeskSession, dialog: SequenceDialog
) -> None:
    put(dialog, 0, Column.SLURRY, "zircon prime")
    qtbot.keyClick(dialog.list, Qt.Key.Key_Escape)
    assert dialog.isVisible()
    assert "Not saved yet" in dialog.notice.text()
    qtbot.keyClick(dialog.list, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_copying_begins_another_under_its_own_name(
    session: DeskSession, dialog: SequenceDialog
) -> None:
    original = nine(session)
    dialog.choose(original.id)
    dialog.copy_button.click()
    assert dialog.editor.name.value() == f"{original.name} (copy)"
    dialog.editor.name.line.setText("Bells, 9 coats")
    dialog.editor.name.line.textEdited.emit("Bells, 9 coats")
    dialog.save_button.click()
    names = [each.name for each in session.opened.ledger.sequences]
    assert names.count("Bells, 9 coats") == 1
    assert stored(session, original) == original


def test_a_new_sequence_asks_for_everything_at_once(
    qtbot: QtBot, session: DeskSession, dialog: SequenceDialog
) -> None:
    before = len(session.opened.ledger.sequences)
    dialog.new_button.click()
    assert dialog.editor.name.line.hasFocus()
    assert not dialog.editor.coats_fault.isVisible()  # nothing is wrong before it is tried
    dialog.save_button.click()
    assert "Coat 1, slurry is empty" in dialog.editor.coats_fault.text()
    assert "more, marked in the table" in dialog.editor.coats_fault.text()
    assert "is empty" in dialog.editor.name.message
    assert len(session.opened.ledger.sequences) == before
    qtbot.keyClicks(dialog.editor.name.line, "Door handles")
    qtbot.keyClicks(dialog.editor.target.line, "6 mm")
    qtbot.keyClicks(dialog.editor.hold.line, "1 d")
    put(dialog, 0, Column.SLURRY, "prime")
    for column, text in zip(
        list(Column)[Column.BUILT_LOW : Column.WATER_HIGH + 1],
        ("0.3", "0.4", "0.5", "0.1", "0.15", "0.2"),
        strict=True,
    ):
        put(dialog, 0, column, text)
    dialog.editor.add_button.click()
    put(dialog, 1, Column.KIND, CoatKind.SEAL)
    dialog.editor.watch.editor.setPlainText("Drain well.")
    dialog.save_button.click()
    (made,) = [each for each in session.opened.ledger.sequences if each.name == "Door handles"]
    assert [step.kind for step in made.steps] == [CoatKind.PRIME, CoatKind.SEAL]
    assert made.steps[1].watch == "Drain well."
    assert made.steps[0].thickness_m.likely == pytest.approx(0.0004)
    assert (made.target_thickness_m, made.final_hold_s) == pytest.approx((0.006, 86400))
    assert f"Final hold: {OWN_FIGURE}" in made.source


def test_coats_are_added_moved_and_removed(session: DeskSession, dialog: SequenceDialog) -> None:
    sequence = nine(session)
    dialog.choose(sequence.id)
    editor = dialog.editor
    editor.table.setCurrentIndex(editor.coats.index(2, Column.SLURRY))
    editor.add_button.click()
    assert editor.table.currentIndex().row() == 3
    editor.down_button.click()
    editor.up_button.click()
    editor.up_button.click()
    assert editor.table.currentIndex().row() == 2
    editor.table.setCurrentIndex(editor.coats.index(0, Column.SLURRY))
    editor.remove_button.click()
    dialog.save_button.click()
    before = sequence.steps
    assert stored(session, sequence).steps == (before[1], before[2], before[2], *before[3:])


def test_the_last_coat_cannot_be_removed(dialog: SequenceDialog) -> None:
    dialog.new_button.click()
    assert not dialog.editor.remove_button.isEnabled()


def test_retiring_takes_out_of_the_lists_and_back(
    session: DeskSession, dialog: SequenceDialog
) -> None:
    sequence = nine(session)
    dialog.choose(sequence.id)
    dialog.retire_button.click()
    assert stored(session, sequence).retired
    assert sequence.id not in [each.id for each in sequences_in_use(session.opened)]
    assert sequence.name not in listed(dialog)
    dialog.show_retired.setChecked(True)
    assert f"{sequence.name} (retired)" in listed(dialog)
    dialog.choose(sequence.id)
    assert dialog.retire_button.text() == "Bring back"
    dialog.retire_button.click()
    assert stored(session, sequence) == sequence


def test_shells_in_work_keep_their_sequence(
    session: DeskSession, dialog: SequenceDialog, heron: Shell
) -> None:
    dialog.choose(heron.sequence.id)
    put(dialog, 0, Column.SLURRY, "zircon prime")
    dialog.save_button.click()
    assert stored(session, heron.sequence).steps[0].slurry == "zircon prime"
    assert session.opened.ledger.shell(heron.id).sequence == heron.sequence


def test_a_change_from_another_station_is_shown_or_not_written_over(
    session: DeskSession, dialog: SequenceDialog
) -> None:
    first, other = session.opened.ledger.sequences[:2]
    save_sequence(session.opened, replace(first, name="Thin wall"), NOW)
    assert dialog.editor.name.value() == "Thin wall"
    dialog.choose(other.id)
    put(dialog, 0, Column.SLURRY, "zircon prime")
    session.opened.who = "Ben"
    save_sequence(session.opened, replace(other, name="One tank"), NOW)
    dialog.save_button.click()
    assert "Ben" in dialog.fault.text()
    assert cell(dialog, 0, Column.SLURRY) == "zircon prime"
    assert stored(session, other) == replace(other, name="One tank")


def test_cells_are_typed_in_by_keyboard_alone(
    qtbot: QtBot, session: DeskSession, dialog: SequenceDialog
) -> None:
    table = dialog.editor.table
    table.setFocus()
    table.setCurrentIndex(dialog.editor.coats.index(0, Column.SLURRY))
    qtbot.keyClick(table, Qt.Key.Key_Return)
    line = table.findChild(QLineEdit, "sequence_cell_editor")
    assert line is not None
    assert line.accessibleName() == "Coat 1, slurry"
    line.selectAll()
    qtbot.keyClicks(line, "zircon prime")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: cell(dialog, 0, Column.SLURRY) == "zircon prime")
    assert dialog.isVisible()
    table.setCurrentIndex(dialog.editor.coats.index(0, Column.KIND))
    qtbot.keyClick(table, Qt.Key.Key_F2)
    combo = table.findChild(QComboBox, "sequence_kind_editor")
    assert combo is not None
    combo.setCurrentIndex(combo.findText("seal"))
    combo.activated.emit(combo.currentIndex())
    assert cell(dialog, 0, Column.KIND) == "seal"


def test_an_unchanged_draft_builds_what_it_began_with() -> None:
    for sequence in starters():
        draft = SequenceDraft.of(sequence)
        built = draft.build(
            sequence.name,
            sequence.description,
            sequence.target_thickness_m,
            sequence.final_hold_s,
        )
        assert replace(built, steps=sequence.steps) == sequence
        for step, before in zip(built.steps, sequence.steps, strict=True):
            assert step == replace(before, watch=before.watch.strip())


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("", "Water: this shop's own figure"),
        ("Thickness: a\nWater: b\nAir: c", "Thickness: a\nWater: this shop's own figure\nAir: c"),
        ("Common practice", "Common practice\nWater: this shop's own figure"),
    ],
)
def test_only_the_changed_figure_loses_its_source(source: str, expected: str) -> None:
    assert with_own_figure(source, "Water") == expected
