"""Photos of shells: adding one, putting its words right, taking it back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from uuid import UUID

from shellcoat.book.pictures import Pictures, digest_of
from shellcoat.errors import MendableError
from shellcoat.operations.open_shop import AHEAD_ALLOWED, OpenShop
from shellcoat.operations.photo_files import ReadyPhoto
from shellcoat.operations.wording import write_time
from shellcoat.shop import Photo
from shellcoat.shop.checks import EARLIEST


class PhotoInFutureError(MendableError):
    """A photo that has not been taken yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoWords:
    """What a person says of a photo: when it was taken, of what, and a line about it.

    `about` is a coat or a check of the shell; None for the shell as a whole.
    """

    taken_at: datetime
    about: UUID | None = None
    caption: str = ""


def likely_time(ready: ReadyPhoto, now: datetime) -> datetime:
    """When a photo was taken as far as the camera can be believed; else now."""
    told = ready.taken_at.astimezone(UTC) if ready.taken_at else now
    return told if EARLIEST <= told <= now else now


def add_photo(
    opened: OpenShop,
    photo_id: UUID,
    shell_id: UUID,
    ready: ReadyPhoto,
    words: PhotoWords,
    now: datetime,
) -> Photo:
    """Keep a photo of a shell; asked twice under one id, it is kept once."""
    kept = opened.ledger.live.get(photo_id)
    if kept is not None and isinstance(kept.record, Photo):
        return kept.record
    _refuse_future(opened, words.taken_at, now)
    photo = Photo(
        id=photo_id,
        shell_id=shell_id,
        taken_at=words.taken_at,
        width=ready.width,
        height=ready.height,
        sha256=digest_of(ready.image),
        thumbnail_sha256=digest_of(ready.thumbnail),
        about=words.about,
        caption=words.caption,
    )
    opened.book.add_photo(opened.entry(photo, now), Pictures(ready.image, ready.thumbnail))
    return photo


def correct_photo(
    opened: OpenShop, photo: Photo, words: PhotoWords, now: datetime, reason: str = ""
) -> Photo:
    """Say something else of a photo; the picture stays."""
    _refuse_future(opened, words.taken_at, now)
    corrected = replace(photo, taken_at=words.taken_at, about=words.about, caption=words.caption)
    if corrected != photo:
        opened.amend(corrected, now, reason)
    return corrected


def take_back_photo(opened: OpenShop, photo_id: UUID, now: datetime, reason: str) -> None:
    """Take a photo back; the book keeps it, marked as taken back."""
    opened.withdraw(photo_id, now, reason)


def _refuse_future(opened: OpenShop, taken_at: datetime, now: datetime) -> None:
    if taken_at > now + AHEAD_ALLOWED:
        raise PhotoInFutureError(
            f"Time of the photo: {write_time(taken_at, opened.zone, now)} has not come yet. "
            "Give the time it was taken."
        )
