"""The versions of a coat in words: who wrote each, when, what changed, and why."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from uuid import UUID

from shellcoat.desk.air.words import air_words, movement_word
from shellcoat.desk.dialogs.words import kind_word, translate
from shellcoat.desk.session import DeskSession
from shellcoat.operations.wording import write_time
from shellcoat.shop import Coat, Entry

NOTHING = "–"


def version_rows(session: DeskSession, coat_id: UUID) -> list[tuple[str, str, str, str]]:
    """Every version of a coat, oldest first: when, who, what, why."""
    rows, before = [], None
    for entry in session.opened.ledger.history(coat_id):
        rows.append(
            (
                _time(session, entry.recorded_at),
                entry.who,
                _what(session, before, entry),
                _why(entry),
            )
        )
        before = entry.record if isinstance(entry.record, Coat) else before
    return rows


def _what(session: DeskSession, before: Coat | None, entry: Entry) -> str:
    if not isinstance(entry.record, Coat):
        return translate("taken back")
    if before is None:
        return translate("logged, dipped {time}").format(
            time=_time(session, entry.record.dipped_at)
        )
    return "; ".join(changes(session, before, entry.record)) or translate("logged again")


def _why(entry: Entry) -> str:
    return entry.reason or (entry.record.reason if isinstance(entry.record, Coat) else "")


def changes(session: DeskSession, before: Coat, after: Coat) -> Iterator[str]:
    """What differs between two versions, such as "tank: 1 → 2"."""
    for (name, old), (_, new) in zip(_told(session, before), _told(session, after), strict=True):
        if old != new:
            yield f"{name}: {old or NOTHING} → {new or NOTHING}"


def _told(session: DeskSession, coat: Coat) -> Iterator[tuple[str, str]]:
    """Everything a person can change of a coat, in words."""
    air = coat.air
    yield translate("dipped"), _time(session, coat.dipped_at)
    yield translate("coat"), kind_word(coat.step.kind)
    yield translate("slurry"), coat.step.slurry
    yield translate("stucco"), coat.step.stucco
    yield translate("tank"), coat.tank
    yield translate("room"), session.opened.ledger.room(coat.room_id).name
    yield translate("air movement"), movement_word(coat.movement)
    yield translate("air"), air_words(air.temp_c, air.rh, session) if air else ""
    yield translate("note"), coat.note


def _time(session: DeskSession, moment: datetime) -> str:
    return write_time(moment, session.opened.zone, session.now())
