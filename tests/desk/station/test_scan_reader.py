"""Telling a scanner from fingers, key by key."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from shellcoat.desk.station.scan_reader import FAST_MS, MOST, TIMEOUT_MS, ScanReader, Taken

STX = "\x02"
WORDS = st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789- ", min_size=2, max_size=40)
FAST = st.integers(min_value=0, max_value=FAST_MS)
SLOW = st.integers(min_value=FAST_MS + 1, max_value=4_000)


def feed(reader: ScanReader, keys: list[tuple[str, int]]) -> tuple[list[str], str]:
    """Feed keys with their gaps as the filter does: the scans, and what a field would get."""
    scans: list[str] = []
    kept, field, at_ms = "", "", 10_000.0
    for text, gap in keys:
        at_ms += gap
        taken = reader.key(text, at_ms, ends=text == "\r")
        if taken.give_back:
            field, kept = field + kept, ""
        if taken.scan:
            scans.append(taken.scan)
            kept = ""
        elif taken.keep:
            kept += text
        else:
            field += text
    if reader.expire():
        field += kept
    return scans, field


@given(WORDS, st.data())
def test_fast_keys_are_one_scan_and_reach_no_field(word: str, data: st.DataObject) -> None:
    keys = [(letter, data.draw(FAST)) for letter in word]
    assert feed(ScanReader(), [*keys, ("\r", data.draw(FAST))]) == ([word], "")


@given(WORDS, st.data())
def test_slow_keys_are_typed_in_their_order_and_none_is_lost(
    word: str, data: st.DataObject
) -> None:
    keys = [(letter, data.draw(SLOW)) for letter in word + "\r"]
    assert feed(ScanReader(), keys) == ([], word + "\r")


@given(st.lists(st.tuples(st.sampled_from("AB1\r"), st.integers(0, 200)), max_size=60))
def test_every_key_is_scanned_or_typed_once(keys: list[tuple[str, int]]) -> None:
    scans, field = feed(ScanReader(), keys)
    ends = len(scans)  # each scan has swallowed its own Enter
    assert sum(map(len, scans)) + ends + len(field) == len(keys)


@given(WORDS, st.data())
def test_between_the_signs_everything_is_the_scanner_s_however_slow(
    word: str, data: st.DataObject
) -> None:
    keys = [(STX, 500), *((letter, data.draw(SLOW)) for letter in word), ("\r", data.draw(SLOW))]
    assert feed(ScanReader(STX), keys) == ([word], "")


def test_a_signed_scan_that_never_ends_is_dropped_after_five_seconds() -> None:
    reader = ScanReader(STX)
    assert reader.key(STX, 0, ends=False) == Taken(keep=True)
    assert reader.key("A", 10, ends=False) == Taken(keep=True)
    assert reader.waiting_ms == TIMEOUT_MS == 5_000
    assert not reader.expire()  # nothing is given back to a field
    assert reader.key("B", 20_000, ends=False) == Taken(keep=True)
    assert reader.expire()  # that one was typed


def test_one_fast_letter_and_enter_is_typed() -> None:
    assert feed(ScanReader(), [("A", 0), ("\r", 10)]) == ([], "A\r")


def test_a_letter_typed_just_before_a_scan_is_typed() -> None:
    scan = [(letter, 5) for letter in "L-014"]
    scan[0] = ("L", 400)
    assert feed(ScanReader(), [("x", 0), *scan, ("\r", 5)]) == (["L-014"], "x")


def test_a_key_without_a_letter_ends_what_was_kept_back() -> None:
    assert feed(ScanReader(), [("A", 0), ("B", 5), ("", 5), ("\r", 5)]) == ([], "AB\r")


def test_what_is_longer_than_any_label_is_typed() -> None:
    scans, field = feed(ScanReader(), [("A", 5)] * (MOST + 5))
    assert (scans, len(field)) == ([], MOST + 5)
