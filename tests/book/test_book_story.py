"""A shop's days at random: log, correct, undo, close, export, two windows; nothing is ever lost."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from pathlib import Path
from uuid import UUID, uuid4

import pytest
from book_builders import (
    MINUTE,
    NOW_MS,
    ROOM,
    a_batch,
    a_coat,
    a_reading,
    a_shell,
    a_withdrawal,
    an_entry,
    at,
    keep_readings,
    new_book,
    some_columns,
)
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from shellcoat.book import open_book
from shellcoat.book.check import check_book
from shellcoat.book.exchange import export_book, exported, import_book
from shellcoat.book.faults import SlotTakenError
from shellcoat.shop import Coat, Entry, Ledger, ReadingBatch
from shellcoat.shop.ledger import AlreadyReplacedError

hours = st.integers(0, 400).map(lambda quarter: quarter / 4)
picks = st.integers(0, 10**6)


class ShopDays(RuleBasedStateMachine):
    """Two windows at one book, and a plain list of what they were told is kept."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.path = self.folder / "shop.shellbook"
        self.windows = [new_book(self.path)]
        self.windows.append(open_book(self.path))
        self.acknowledged = list(self.windows[0].ledger.entries)
        self.slots: set[str] = set()
        self.batches = 0
        self.copies = 0

    def teardown(self) -> None:
        for window in self.windows:
            window.close()
        report = check_book(self.path)
        shutil.rmtree(self.folder)
        assert report.problems == []
        assert report.entries == len(self.acknowledged)

    def shells(self) -> list[UUID]:
        return [shell.id for shell in self.windows[0].ledger.shells]

    def standing(self, kind: type) -> list[Entry]:
        """What the first window takes to stand; the second may know better."""
        live = self.windows[0].ledger.live.values()
        return [entry for entry in live if isinstance(entry.record, kind)]

    @rule(window=st.booleans())
    def begin_a_shell(self, window: bool) -> None:
        entry = an_entry(a_shell(uuid4()))
        self.windows[window].append([entry])
        self.acknowledged.append(entry.id)

    @rule(window=st.booleans(), hour=hours, pick=picks, twice=st.booleans())
    def log_a_dip(self, window: bool, hour: float, pick: int, twice: bool) -> None:
        shells = self.shells()
        shell = shells[pick % len(shells)]
        entry = an_entry(a_coat(hour, shell_id=shell), hour)
        slot = f"coat:{shell}:{self.windows[0].ledger.coats_ever.get(shell, 0) + 1}"
        try:
            for _ in range(1 + twice):
                self.windows[window].append([entry], slots={entry.id: slot})
        except SlotTakenError:
            assert slot in self.slots
        else:
            assert slot not in self.slots
            self.slots.add(slot)
            self.acknowledged.append(entry.id)

    @precondition(lambda self: self.standing(Coat))
    @rule(window=st.booleans(), hour=hours, pick=picks)
    def correct_a_dip(self, window: bool, hour: float, pick: int) -> None:
        coats = self.standing(Coat)
        old = coats[pick % len(coats)]
        record = replace(old.record, dipped_at=at(hour))
        self.write(window, an_entry(record, hour, replaces=old.id, reason="Wrong time"))

    @precondition(lambda self: self.standing(Coat) + self.standing(ReadingBatch))
    @rule(window=st.booleans(), pick=picks)
    def take_back(self, window: bool, pick: int) -> None:
        standing = self.standing(Coat) + self.standing(ReadingBatch)
        self.write(window, a_withdrawal(standing[pick % len(standing)]))

    def write(self, window: bool, entry: Entry) -> None:
        """Write a correction; the other window may have been quicker."""
        try:
            self.windows[window].append([entry])
        except AlreadyReplacedError:
            assert entry.replaces in self.windows[window].ledger.replaced_by
        else:
            self.acknowledged.append(entry.id)

    @rule(window=st.booleans(), count=st.integers(1, 20))
    def bring_in_readings(self, window: bool, count: int) -> None:
        columns = some_columns(count, NOW_MS + 100 * self.batches * MINUTE)
        self.batches += 1
        entry = a_batch(columns)
        keep_readings(self.windows[window], entry, columns)
        self.acknowledged.append(entry.id)

    @rule(window=st.booleans(), hour=hours)
    def type_a_reading(self, window: bool, hour: float) -> None:
        entry = an_entry(a_reading(hour))
        self.windows[window].append([entry])
        self.acknowledged.append(entry.id)

    @rule(window=st.booleans())
    def refresh(self, window: bool) -> None:
        self.windows[window].refresh()
        assert list(self.windows[window].ledger.entries) == self.acknowledged

    @rule(window=st.booleans())
    def close_and_open_again(self, window: bool) -> None:
        self.windows[window].close()
        self.windows[window] = open_book(self.path)

    @rule(window=st.booleans())
    def move_to_another_file(self, window: bool) -> None:
        document = self.folder / "book.json"
        export_book(self.windows[window], document)
        before = exported(self.windows[window])
        for opened in self.windows:
            opened.close()
        self.copies += 1
        self.path = self.folder / f"copy {self.copies}.shellbook"
        import_book(document, self.path)
        self.windows = [open_book(self.path), open_book(self.path)]
        assert exported(self.windows[0]) == before

    @invariant()
    def every_window_holds_a_beginning_of_what_was_acknowledged(self) -> None:
        for window in self.windows:
            known = list(window.ledger.entries)
            assert known == self.acknowledged[: len(known)]

    @invariant()
    def the_ledger_is_the_fold_of_its_entries(self) -> None:
        for window in self.windows:
            assert window.ledger == Ledger.of(window.ledger.entries.values())

    @invariant()
    def the_readings_are_those_of_the_batches_that_stand(self) -> None:
        window = self.windows[0]
        found = window.readings(ROOM, at(-1), at(10_000))
        standing = sum(batch.count for batch in window.ledger.batches)
        typed = {int(r.read_at.timestamp() * 1000) for r in window.ledger.typed_readings}
        assert standing <= len(found) <= standing + len(typed)
        assert typed <= set(found.at_ms.tolist())


ShopDays.TestCase.settings = settings(max_examples=12, stateful_step_count=20, deadline=None)
test_shop_days = pytest.mark.timeout(60)(ShopDays.TestCase)
