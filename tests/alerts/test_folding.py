"""Many alerts as few lines, and the words they are told in."""

from __future__ import annotations

from datetime import timedelta

import pytest
from alert_cases import HOUR, MINUTE, START, alert, clock_words
from hypothesis import given
from hypothesis import strategies as st

from shellcoat.alerts.folding import MOST_LINES, fold, summary
from shellcoat.alerts.life import AlertState, AlertWhat
from shellcoat.alerts.words import how_long, rack_of


def texts(alerts, now=START):
    return [line.text for line in fold(alerts, now, clock_words)]


def test_a_single_alert_names_shell_place_coat_and_time():
    assert texts([alert()]) == ["Shell 1 (B3): coat 4 of 9 dry since 08:00; next dip"]
    assert texts([alert(rack_place="")]) == ["Shell 1: coat 4 of 9 dry since 08:00; next dip"]
    review = alert(what=AlertWhat.REVIEW, coat_number=9)
    assert texts([review]) == ["Shell 1 (B3): final hold over since 08:00; ready for review"]


def test_a_line_says_how_late_it_is_from_five_minutes_on():
    assert "ago" not in texts([alert()], START + 4 * MINUTE)[0]
    assert "since 08:00, 5 min ago; next dip" in texts([alert()], START + 5 * MINUTE)[0]
    assert "since 08:00, 3 h 20 min ago; next dip" in texts([alert()], START + 200 * MINUTE)[0]


def test_a_coat_beyond_the_sequence_is_not_numbered_against_it():
    assert texts([alert(coat_number=10)])[0].startswith("Shell 1 (B3): coat 10 dry")


def test_up_to_ten_alerts_are_told_one_by_one_and_more_are_folded_by_rack():
    ten = [alert(n, rack_place=f"B{n}") for n in range(10)]
    assert len(texts(ten)) == 10
    assert texts([*ten, alert(10, rack_place="B12")]) == ["11 shells dry on rack B"]


def test_a_folded_telling_keeps_racks_dips_and_reviews_apart():
    dry = [alert(n, rack_place=f"B{n}") for n in range(7)]
    shelf = [alert(n, rack_place="window shelf") for n in range(7, 10)]
    over = [alert(n, rack_place="a-2", what=AlertWhat.REVIEW) for n in range(10, 12)]
    lost = [alert(12, rack_place=" ")]
    assert texts(dry + shelf + over + lost) == [
        "7 shells dry on rack B",
        "3 shells dry (window shelf)",
        "2 shells ready for review on rack A",
        "Shell 12: coat 4 of 9 dry since 08:00; next dip",
    ]


def test_shells_all_over_the_shop_fold_into_one_line():
    dry = [alert(n, rack_place=f"corner {n}") for n in range(11)]
    over = [alert(n, rack_place="B1", what=AlertWhat.REVIEW) for n in range(11, 13)]
    assert texts(dry + over) == [
        "11 shells dry in 11 places",
        "2 shells ready for review in 1 place",
    ]


@given(
    st.lists(
        st.tuples(st.sampled_from(["A1", "B2", "b 7", "", "shelf", "C"]) | st.text(max_size=3)),
        max_size=60,
    ),
    st.sampled_from(AlertWhat),
)
def test_every_alert_is_in_exactly_one_of_at_most_ten_lines(places, odd_what):
    alerts = [
        alert(n, rack_place=place, what=odd_what if n % 2 else AlertWhat.NEXT_DIP)
        for n, (place,) in enumerate(places)
    ]
    lines = fold(alerts, START, clock_words)
    assert len(lines) <= MOST_LINES
    folded = [call.about for line in lines for call in line.alerts]
    assert sorted(folded) == sorted(call.about for call in alerts)


def test_the_summary_counts_what_came_due_while_closed_and_names_the_oldest():
    now = START + 10 * HOUR
    calls = [
        alert(1, due_at=START),
        alert(2, due_at=START + HOUR, what=AlertWhat.REVIEW),
        alert(3, due_at=START + 2 * HOUR),
        alert(4, due_at=now + HOUR, state=AlertState.PENDING),
        alert(5, state=AlertState.TOLD),
        alert(6, state=AlertState.SEEN),
        alert(7, state=AlertState.DONE),
    ]
    away = summary(calls, now)
    assert (away.dips, away.reviews) == (2, 1)
    assert [call.shell_name for call in away.came_due] == ["Shell 1", "Shell 2", "Shell 3"]
    assert away.lines(now, clock_words) == [
        "While the program was closed: 2 coats became dry, 1 final hold ended.",
        "Waiting longest: Shell 1 (B3): coat 4 of 9 dry since 08:00, 10 h ago; next dip.",
        "1 earlier alert not marked as seen.",
    ]


def test_there_is_nothing_to_sum_up_where_nothing_happened():
    calls = [alert(state=AlertState.SEEN), alert(2, state=AlertState.PENDING, due_at=START + HOUR)]
    assert summary(calls, START).lines(START, clock_words) == []


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (0, "less than a minute"),
        (0.99, "less than a minute"),
        (1, "1 min"),
        (59.9, "59 min"),
        (60, "1 h"),
        (61, "1 h 1 min"),
        (1439, "23 h 59 min"),
        (1440, "1 day"),
        (1500, "1 day 1 h"),
        (2880 + 59, "2 days"),
        (4380, "3 days 1 h"),
    ],
)
def test_lengths_of_time_are_said_plainly(minutes, said):
    assert how_long(timedelta(minutes=minutes)) == said


@pytest.mark.parametrize(
    ("place", "rack"),
    [
        ("B3", "B"),
        ("b-12", "B"),
        ("AB 7", "AB"),
        (" C ", "C"),
        ("", ""),
        ("window shelf", "window shelf"),
        ("Rack 2", "Rack 2"),
        ("3", "3"),
    ],
)
def test_the_rack_is_read_off_a_short_code_only(place, rack):
    assert rack_of(place) == rack
