"""Any story of a shop: dips, undos, readings, sleep, set clocks, restarts, a failing disk.

The machine keeps its own plain account of the shop and of what rang, and holds the alerts to
three promises: nothing is told twice unless it was put off in between, nothing due stays untold
after a heartbeat, and nobody is called for a coat once the next one is on.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import uuid5
from zoneinfo import ZoneInfo

from alert_cases import (
    BACKUP,
    HOUR,
    PRIME,
    ROOM,
    Bell,
    DisklessBook,
    Pen,
    coat,
    disk_full,
    forecast,
    shell,
)
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from shellcoat.alerts.clock import STEP, AlertClock
from shellcoat.alerts.deriving import alerts_of
from shellcoat.alerts.folding import summary
from shellcoat.alerts.life import OPEN, AlertKind, AlertState, AlertWhat, identity
from shellcoat.alerts.putting_off import tomorrow_morning
from shellcoat.alerts.telling import Teller
from shellcoat.forecast.answers import ShellWarning, WarningKind
from shellcoat.shop import ShellState, Withdrawal

# Evenings before the two clock changes of 2026 in Europe/Berlin, and one in June.
EVENINGS = [
    datetime(2026, 3, 28, 20, 0, tzinfo=UTC),
    datetime(2026, 10, 24, 20, 0, tzinfo=UTC),
    datetime(2026, 6, 10, 20, 0, tzinfo=UTC),
]
SHELLS = (
    shell(1, "Heron", "B1", steps=2, hold=10 * HOUR),
    shell(2, "Grebe", "B2", steps=3, hold=30 * HOUR),
    shell(3, "Bell", "", steps=1, hold=0 * HOUR),
)
spans = st.integers(1, 30 * 60).map(lambda minutes: timedelta(minutes=minutes))
which = st.integers(0, len(SHELLS) - 1)
drying = st.none() | spans
LATEST, SILENCE = 48 * HOUR, 24 * HOUR
"""After a prime coat (the table of limits), and without a reading (the shop's usual choice)."""


class ShopStory(RuleBasedStateMachine):
    @initialize(evening=st.sampled_from(EVENINGS))
    def open_shop(self, evening):
        self.wall, self.steady = evening, 1000.0
        self.pen, self.next_coat = Pen(), 1
        self.shells = list(SHELLS)
        self.shell_entries = [self.pen(one) for one in SHELLS]
        self.coats = [[] for _ in SHELLS]
        self.coat_entries = {}
        self.safe = {}
        self.disk = [self.pen(ROOM), *self.shell_entries]
        self.disk_fails = False
        self.told, self.steps, self.expected_steps = [], [], []
        self.put, self.seen, self.swung, self.read_at = {}, set(), set(), None
        self.zone = ZoneInfo("Europe/Berlin")
        self.start_program()
        # Something dries from the start, so that any passing of time has something to tell.
        for at in range(len(SHELLS)):
            self.dip_now(at, (4 + at) * HOUR)

    # The program, as whoever owns the alerts puts it together.

    def start_program(self):
        self.book, self.bell = DisklessBook(self.disk), Bell()
        self.book.fault = disk_full() if self.disk_fails else None
        self.teller = Teller(self.book, "bench", [self.bell], self.say_time)
        self.clock = AlertClock(
            self.on_due,
            self.steps.append,
            now=lambda: self.wall,
            monotonic=lambda: self.steady,
        )
        self.changed()

    def say_time(self, moment):
        return f"{moment.astimezone(self.zone):%H:%M}"

    def alerts(self):
        forecasts = {
            one.id: forecast(
                one,
                coats,
                self.safe,
                self.wall,
                warnings=self.warnings(coats),
                last_reading_at=self.read_at,
            )
            for one, coats in zip(self.shells, self.coats, strict=True)
        }
        return alerts_of(forecasts, self.book.ledger, self.wall, self.teller.unsaved)

    def warnings(self, coats):
        return [
            ShellWarning(WarningKind.ROOM_SWING, number, 3.0, 1.7)
            for number, one in enumerate(coats, start=1)
            if one.id in self.swung
        ]

    def on_due(self, now):
        already = len(self.bell.lines)
        self.teller.tell(self.alerts(), now, "R. Vale")
        rung = [call for line in self.bell.lines[already:] for call in line.alerts]
        self.told += [(call.about, call.turn) for call in rung]
        self.clock.arm(self.alerts())

    def changed(self):
        self.clock.arm(self.alerts())
        self.clock.beat(again=False)

    def write(self, record, replaces=None):
        """What people log is never lost; the disk fails the marks alone."""
        entry = self.pen(record, replaces=replaces and replaces.id, at=self.wall)
        self.disk.append(entry)
        self.book.refresh()
        return entry

    # What happens in the shop. Acts take their time themselves: left to a rule of its own, most
    # stories would never come to the next dip.

    @rule(at=which, dries=drying, after=spans)
    def dip(self, at, dries, after):
        self.pass_time(after)
        self.dip_now(at, dries)

    def dip_now(self, at, dries):
        new = coat(self.next_coat, self.shells[at], self.wall, BACKUP if self.coats[at] else PRIME)
        if self.coats[at] and self.coats[at][-1].dipped_at >= self.wall:
            return  # somebody set the clock back
        self.next_coat += 1
        self.coats[at].append(new)
        self.safe[new.id] = dries and self.wall + dries
        self.coat_entries[new.id] = self.write(new)
        self.changed()

    @rule(at=which)
    def undo(self, at):
        if self.coats[at]:
            gone = self.coats[at].pop()
            self.write(Withdrawal(id=gone.id), self.coat_entries[gone.id])
            self.changed()

    @rule(at=which, dries=drying)
    def readings_move_the_safe_time(self, at, dries):
        if self.coats[at]:
            last = self.coats[at][-1]
            self.safe[last.id] = dries and last.dipped_at + dries
            self.changed()

    @rule(at=which, back_to_normal=st.booleans())
    def the_room_swings_over_a_coat(self, at, back_to_normal):
        if self.coats[at]:
            change = self.swung.discard if back_to_normal else self.swung.add
            change(self.coats[at][-1].id)
            self.changed()

    @rule(after=spans)
    def somebody_reads_the_air(self, after):
        self.pass_time(after)
        self.read_at = self.wall
        self.changed()

    @rule(at=which, state=st.sampled_from(ShellState))
    def put_on_hold_or_back_to_work(self, at, state):
        self.shells[at] = replace(self.shells[at], state=state)
        self.shell_entries[at] = self.write(self.shells[at], self.shell_entries[at])
        self.changed()

    @rule(span=spans)
    def time_passes_or_the_computer_sleeps(self, span):
        self.pass_time(span)

    @rule(step=st.integers(-48 * 60, 48 * 60))
    def somebody_sets_the_clock(self, step):
        step = timedelta(minutes=step)
        if abs(step) > STEP:
            self.expected_steps.append(step)
        self.pass_time(timedelta(seconds=15), step)

    def pass_time(self, span, step=timedelta(0)):
        self.wall += span + step
        self.steady += span.total_seconds()
        self.clock.beat()

    @rule(alerts_seen=st.integers(1, 3))
    def a_person_looks(self, alerts_seen):
        if not self.disk_fails:
            looked = (AlertState.TOLD, AlertState.PUT_OFF)
            shown = [call for call in self.alerts() if call.state in looked][:alerts_seen]
            self.teller.mark_seen(shown, self.wall, "J. Marsh")
            self.seen |= {(call.about, call.turn) for call in shown}
            self.changed()

    @rule(pick=st.integers(0, 3), span=st.none() | spans, after=spans)
    def a_person_puts_off(self, pick, span, after):
        """For a while, or until the morning of wherever the book is open."""
        self.pass_time(after)
        waiting = [call for call in self.alerts() if call.state in OPEN]
        if waiting and not self.disk_fails:
            waiting = [waiting[pick % len(waiting)]]
            until = self.wall + span if span else tomorrow_morning(self.wall, self.zone)
            self.teller.put_off(waiting, until, self.wall, "J. Marsh")
            for call in waiting:
                self.put[call.about] = (call.turn + 1, until)
            self.changed()

    @rule(zone=st.sampled_from(["Europe/Berlin", "America/Denver", "Australia/Lord_Howe"]))
    def the_book_is_opened_in_another_zone(self, zone):
        self.zone = ZoneInfo(zone)
        self.restart(timedelta(minutes=1))

    @rule(fails=st.booleans())
    def the_disk_fails_or_recovers(self, fails):
        self.disk_fails = fails
        self.book.fault = disk_full() if fails else None

    @rule(closed_for=spans)
    def restart(self, closed_for):
        # What the book never learnt of is told again, rather than not at all.
        for mark in self.teller.unsaved:
            about = mark.record.about
            self.told.remove((about, self.put.get(about, (0, None))[0]))
        self.wall += closed_for
        self.steady += closed_for.total_seconds()
        due = self.due_untold()
        self.book = DisklessBook(self.disk)
        self.teller = Teller(self.book, "bench", [], self.say_time)
        came_due = summary(self.alerts(), self.wall).came_due
        assert {call.about for call in came_due} == due
        self.start_program()

    # The machine's own account of what ought to have rung.

    def last_coats(self):
        for one, coats in zip(self.shells, self.coats, strict=True):
            if coats and one.state is ShellState.IN_WORK:
                planned = len(coats) < len(one.sequence.steps)
                yield one, coats[-1], AlertWhat.NEXT_DIP if planned else AlertWhat.REVIEW

    def calling(self):
        """What calls, and since when: None where only what was told before holds it open."""
        for one, last, what in self.last_coats():
            safe_at = self.safe[last.id]
            if what is AlertWhat.REVIEW and safe_at:
                hold = timedelta(seconds=one.sequence.final_hold_s)
                yield identity(last, what), max(safe_at, last.dipped_at + hold)
            else:
                yield identity(last, what), safe_at
            if last.id in self.swung:
                yield identity(last, AlertWhat.ROOM_SWING), self.wall
            if last.step is PRIME and what is AlertWhat.NEXT_DIP:
                latest = last.dipped_at + LATEST
                yield identity(last, AlertWhat.PAST_LATEST_DIP), max(latest, safe_at or latest)
        if self.read_at and any(True for _ in self.last_coats()):
            silence = f"no reading since {self.read_at.isoformat()}"
            yield uuid5(ROOM.id, silence), self.read_at + SILENCE

    def due_untold(self):
        due = set()
        for about, since in self.calling():
            turn, until = self.put.get(about, (0, None))
            ripe = until or since
            known = {(about, turn)} & ({*self.told} | self.seen)
            if ripe and ripe <= self.wall and not known:
                due.add(about)
        return due

    @invariant()
    def nothing_is_told_twice(self):
        assert len(self.told) == len(set(self.told))

    @invariant()
    def nothing_due_stays_untold(self):
        assert self.due_untold() == set()

    @invariant()
    def nobody_is_called_to_a_coat_once_the_next_is_on(self):
        standing = {last.id for _, last, _ in self.last_coats()}
        for call in self.alerts():
            over = call.state in (AlertState.DONE, AlertState.SUPPRESSED)
            assert call.coat_id is None or over == (call.coat_id not in standing)

    @invariant()
    def every_set_clock_is_noticed_once(self):
        assert self.steps == self.expected_steps

    @invariant()
    def one_prompt_is_alive_for_a_shell_at_most(self):
        over = (AlertState.DONE, AlertState.SUPPRESSED)
        prompts = [call for call in self.alerts() if call.kind is AlertKind.PROMPT]
        alive = [call.shell_id for call in prompts if call.state not in over]
        assert len(alive) == len(set(alive))


ShopStory.TestCase.settings = settings(max_examples=100, stateful_step_count=40, deadline=None)
TestShopStory = ShopStory.TestCase
