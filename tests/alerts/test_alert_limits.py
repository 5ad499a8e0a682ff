"""The table of the limits: read with its sources, and told when it is damaged."""

from __future__ import annotations

from datetime import timedelta

import pytest

from shellcoat.alerts import limits
from shellcoat.alerts.limits import AlertLimitsError


@pytest.fixture(autouse=True)
def unread():
    limits._figure.cache_clear()
    yield
    limits._figure.cache_clear()


def test_the_limits_are_those_of_the_table():
    assert limits.latest_after_prime() == timedelta(hours=48)
    assert limits.longest_put_off() == timedelta(days=14)
    assert limits.calendar_steady() == timedelta(minutes=10)


@pytest.mark.parametrize("row", ["", "latest_dip_h = { value = 48.0 }", 'latest_dip_h = "soon"'])
def test_a_figure_without_its_source_is_told_with_its_place(monkeypatch, tmp_path, row):
    table = tmp_path / "materials" / "alerts.toml"
    table.parent.mkdir()
    table.write_text(f"[prime]\n{row}\n", encoding="utf-8")
    monkeypatch.setattr(limits, "resources_dir", lambda: tmp_path)
    with pytest.raises(AlertLimitsError, match=r"\[prime\] latest_dip_h needs a value"):
        limits.latest_after_prime()
