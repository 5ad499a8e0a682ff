"""What a shop has chosen about its alerts: slips refused, the usual values kept."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shellcoat.errors import MendableError, ValueOutOfRangeError
from shellcoat.shop import AlertHabits, Broker

BARN = Broker(host="barn.local")


@pytest.mark.parametrize(
    ("record", "field", "wrong", "right"),
    [
        (AlertHabits(), "reading_limit_s", 24.0, 86400.0),  # hours
        (AlertHabits(), "reading_limit_s", 30 * 86400.0, 14 * 86400.0),
        (AlertHabits(), "repeat_min", 300, 5),  # seconds
        (AlertHabits(), "repeat_min", -1, 0),
        (BARN, "port", 0, 8883),
        (BARN, "port", 65536, 65535),
    ],
)
def test_a_slip_is_refused_and_the_true_figure_is_kept(record, field, wrong, right):
    with pytest.raises(ValueOutOfRangeError, match="not possible here"):
        replace(record, **{field: wrong})
    assert getattr(replace(record, **{field: right}), field) == right


@pytest.mark.parametrize(("field", "text"), [("host", " "), ("topic", ""), ("user", "a\x07")])
def test_a_broker_has_a_host_and_a_topic(field, text):
    with pytest.raises(MendableError):
        replace(BARN, **{field: text})
