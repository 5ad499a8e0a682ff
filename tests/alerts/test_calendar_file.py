"""The calendar file, read back by the library that knows the format (RFC 5545)."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from alert_cases import HOUR, MINUTE, START, alert
from icalendar import Calendar

from shellcoat.alerts.calendar_file import (
    CalendarFolderError,
    NotOurCalendarError,
    planned,
    write_calendar,
)
from shellcoat.alerts.life import AlertState, AlertWhat

DRY = alert(1, state=AlertState.PENDING, due_at=START + 3 * HOUR)
HOLD = alert(2, what=AlertWhat.REVIEW, due_at=START + 9 * HOUR, state=AlertState.PENDING)
DAY = timedelta(days=1)


@pytest.fixture
def path(tmp_path):
    return tmp_path / "yard.ics"


def write(path, alerts, now=START):
    return write_calendar(path, "Heron Yard", planned(alerts), now)


def events(path):
    calendar = Calendar.from_ical(path.read_bytes())
    return {str(event["SUMMARY"]).split(":")[0]: event for event in calendar.walk("VEVENT")}


def test_every_due_time_is_an_event_in_utc_with_a_reminder(path):
    assert write(path, [DRY, HOLD])
    found = events(path)
    assert found["Shell 1"]["DTSTART"].dt == START + 3 * HOUR
    assert found["Shell 2"]["DTSTART"].dt == START + 9 * HOUR
    assert b"DTSTART:20160314T110000Z" in path.read_bytes()
    event = found["Shell 1"]
    assert str(event["SUMMARY"]) == "Shell 1: coat 4 of 9 safely dry, next dip"
    assert str(event["LOCATION"]) == "B3"
    assert (int(event["SEQUENCE"]), str(event["STATUS"])) == (0, "CONFIRMED")
    (reminder,) = event.walk("VALARM")
    assert str(reminder["ACTION"]) == "DISPLAY"


def test_the_file_keeps_to_the_format(path):
    long = replace(DRY, shell_name="Größe, Reiher; stehend\\ " * 7)
    write(path, [long])
    lines = path.read_bytes().split(b"\r\n")
    assert max(len(line) for line in lines) <= 75  # octets, RFC 5545 section 3.1
    assert not any(b"\n" in line for line in lines)
    (event,) = Calendar.from_ical(path.read_bytes()).walk("VEVENT")
    assert str(event["SUMMARY"]).startswith(long.shell_name)
    calendar = Calendar.from_ical(path.read_bytes())
    assert not any(component.errors for component in calendar.walk())
    assert str(calendar["VERSION"]) == "2.0"
    assert {"UID", "DTSTAMP"} <= set(event)  # required, RFC 5545 section 3.6.1


def test_a_time_that_moves_keeps_its_uid_and_counts_up(path):
    write(path, [DRY])
    first = events(path)["Shell 1"]
    assert write(path, [replace(DRY, due_at=START + 5 * HOUR)], START + HOUR)
    second = events(path)["Shell 1"]
    assert second["UID"] == first["UID"]
    assert int(second["SEQUENCE"]) == 1
    assert second["DTSTART"].dt == START + 5 * HOUR
    assert second["LAST-MODIFIED"].dt == START + HOUR


def test_what_did_not_change_is_not_written_again(path):
    write(path, [DRY, HOLD])
    before = path.read_bytes()
    assert not write(path, [HOLD, DRY], START + HOUR)
    assert path.read_bytes() == before


def test_a_forecast_that_wavers_by_minutes_moves_nothing(path):
    write(path, [DRY])
    before = path.read_bytes()
    for minutes in (4, -6, 9):
        assert not write(path, [replace(DRY, due_at=DRY.due_at + minutes * MINUTE)], START + HOUR)
    assert path.read_bytes() == before
    assert write(path, [replace(DRY, due_at=DRY.due_at + 10 * MINUTE)], START + HOUR)


def test_what_changed_leaves_the_others_as_they_were(path):
    write(path, [DRY, HOLD])
    before = events(path)["Shell 2"].to_ical()
    write(path, [replace(DRY, due_at=START + 6 * HOUR), HOLD], START + HOUR)
    assert events(path)["Shell 2"].to_ical() == before


def test_what_is_gone_is_cancelled_once_and_dropped_a_month_later(path):
    write(path, [DRY, HOLD])
    done = replace(DRY, state=AlertState.DONE)
    assert write(path, [done, HOLD], START + HOUR)
    gone = events(path)["Shell 1"]
    assert (str(gone["STATUS"]), int(gone["SEQUENCE"])) == ("CANCELLED", 1)
    assert gone.walk("VALARM") == []
    assert not write(path, [HOLD], START + 29 * DAY)
    assert write(path, [HOLD], START + 31 * DAY)
    assert list(events(path)) == ["Shell 2"]


def test_an_undone_dip_brings_its_event_back(path):
    write(path, [DRY])
    write(path, [], START + HOUR)
    write(path, [DRY], START + 2 * HOUR)
    event = events(path)["Shell 1"]
    assert (str(event["STATUS"]), int(event["SEQUENCE"])) == ("CONFIRMED", 2)
    assert len(event.walk("VALARM")) == 1


def test_a_dip_whose_time_was_put_right_moves_its_event(path):
    """The alert is another one then, but a phone should not show two."""
    write(path, [DRY])
    again = replace(DRY, about=alert(77).about, due_at=START + 4 * HOUR)
    write(path, [again], START + HOUR)
    (event,) = Calendar.from_ical(path.read_bytes()).walk("VEVENT")
    assert event["DTSTART"].dt == START + 4 * HOUR


def test_what_is_put_off_moves_to_its_new_time():
    (event,) = planned([replace(DRY, state=AlertState.PUT_OFF, until=START + 7 * HOUR)])
    assert event.start == START + 7 * HOUR


def test_what_is_wrong_right_now_is_no_event():
    rest = [one for one in AlertWhat if one.value not in ("next dip", "review")]
    found = planned([alert(n, what=what) for n, what in enumerate(rest)])
    assert [one.title for one in found] == ["Shell 4: latest sensible dip after prime coat 4 of 9"]


def test_another_programs_file_is_left_alone(path):
    for text in (b"BEGIN:VCALENDAR\r\nPRODID:-//x//y//EN\r\nEND:VCALENDAR\r\n", b"\xff\x00 no"):
        path.write_bytes(text)
        with pytest.raises(NotOurCalendarError, match="choose another folder"):
            write(path, [DRY])
        assert path.read_bytes() == text


def test_workers_that_write_at_the_same_moment_leave_a_whole_file(path):
    from concurrent.futures import ThreadPoolExecutor

    times = [START + n * HOUR for n in range(20)]
    with ThreadPoolExecutor(8) as pool:
        done = pool.map(lambda at: write(path, [replace(DRY, due_at=at), HOLD], START), times)
        assert len(list(done)) == 20
    assert set(events(path)) == {"Shell 1", "Shell 2"}
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_a_folder_that_is_gone_is_told_and_nothing_half_written_stays(tmp_path, path):
    with pytest.raises(CalendarFolderError, match="Choose a folder"):
        write(tmp_path / "gone" / "yard.ics", [DRY])
    write(path, [DRY])
    assert [one.name for one in tmp_path.iterdir()] == ["yard.ics"]
