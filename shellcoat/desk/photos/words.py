"""What a photo is of, in a person's words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from uuid import UUID

from PySide6.QtCore import QCoreApplication

from shellcoat.desk.session import DeskSession
from shellcoat.operations.check_wording import write_check_kind
from shellcoat.operations.wording import write_time
from shellcoat.shop import Photo, Shell


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Photos", text)


def about_choices(session: DeskSession, shell: Shell) -> list[tuple[str, UUID | None]]:
    """What a photo of a shell can show: the shell, a coat, a check; the newest first."""
    ledger, zone, now = session.opened.ledger, session.opened.zone, session.now()
    coats = [
        (translate("coat {number}").format(number=number), coat.id)
        for number, coat in enumerate(ledger.coats(shell.id), start=1)
    ]
    checks = [
        (f"{write_check_kind(check, shell)}, {write_time(check.at, zone, now)}", check.id)
        for check in ledger.checks().get(shell.id, ())
    ]
    return [(translate("the shell as a whole"), None), *reversed(coats), *reversed(checks)]


def photo_words(session: DeskSession, shell: Shell, photos: Iterable[Photo]) -> list[str]:
    """Of each photo when it was taken, of what, and its caption, in one line."""
    names = {one: words for words, one in about_choices(session, shell) if one is not None}
    zone, now = session.opened.zone, session.now()
    told = (
        (write_time(photo.taken_at, zone, now), _name(names, photo), photo.caption)
        for photo in photos
    )
    return [" – ".join(part for part in parts if part) for parts in told]


def _name(names: Mapping[UUID, str], photo: Photo) -> str:
    return names.get(photo.about, "") if photo.about is not None else ""
