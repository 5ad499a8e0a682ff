"""Answers as plain data: whatever JSON can hold, and read back to the same values."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import datetime
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shop_cases import NOW, an_id

from shellcoat.forecast.learned import FactorAnswer, FactorKind, Learned, Lesson, Silence
from shellcoat.operations.plain_data import plain
from shellcoat.shop import Band

BANDS = st.lists(st.floats(0.0, 1e9), min_size=3, max_size=3).map(lambda row: Band(*sorted(row)))


@given(BANDS, BANDS, st.sampled_from(FactorKind), st.none() | st.uuids())
def test_what_json_keeps_reads_back_to_the_same_answer(before, now, kind, shell_id) -> None:
    factor = FactorAnswer(kind=kind, before=before, now=now, checks=2, shell_id=shell_id)
    told = json.loads(json.dumps(plain(factor), allow_nan=False))
    again = told | {
        "kind": FactorKind(told["kind"]),
        "before": Band(**told["before"]),
        "now": Band(**told["now"]),
        "shell_id": told["shell_id"] and UUID(told["shell_id"]),
    }
    assert FactorAnswer(**again) == factor


def test_answers_within_answers_are_told_field_by_field() -> None:
    lesson = Lesson(
        check_id=an_id("check"),
        shell_id=an_id("shell"),
        at=NOW,
        coat_number=2,
        silence=Silence.TOO_OLD,
    )
    told = plain(Learned(lessons=(lesson,)))
    assert told["factors"] == told["usual_coats"] == []
    (row,) = told["lessons"]
    assert row.keys() == asdict(lesson).keys()
    assert (row["check_id"], row["silence"]) == (str(an_id("check")), "older than half a year")
    assert datetime.fromisoformat(row["at"]) == NOW
    assert row["chance"] is None


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_what_json_has_no_word_for_is_unknown(number: float) -> None:
    assert plain([number, 1.5]) == [None, 1.5]
