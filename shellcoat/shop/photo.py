"""Photos of a shell: what is known of one; the picture itself is kept in the book beside it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from shellcoat.errors import MendableError
from shellcoat.shop.checks import check_number, check_text, check_time

MEDIA_TYPES = ("image/jpeg", "image/png")
MOST_PIXELS_A_SIDE = 4096
DIGEST = re.compile(r"[0-9a-f]{64}")


class BadPhotoError(MendableError):
    """A photo whose record does not say what picture it is of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """One photo of a shell, `width` by `height` [pixels].

    `about` is the coat or the check it shows; None for the shell as a whole. The picture and its
    thumbnail are known by their SHA-256.
    """

    id: UUID
    shell_id: UUID
    taken_at: datetime
    width: int
    height: int
    sha256: str
    thumbnail_sha256: str
    media_type: str = "image/jpeg"
    about: UUID | None = None
    caption: str = ""

    def __post_init__(self) -> None:
        check_time("Time of the photo", self.taken_at)
        check_number("Width of the photo", self.width, 1, MOST_PIXELS_A_SIDE, "pixels")
        check_number("Height of the photo", self.height, 1, MOST_PIXELS_A_SIDE, "pixels")
        check_text("Caption", self.caption)
        if self.media_type not in MEDIA_TYPES:
            raise BadPhotoError(
                f"Photo: {self.media_type!r} is no kind of picture that is kept. "
                "Add the photo again from its file."
            )
        if not all(DIGEST.fullmatch(digest) for digest in self.digests):
            raise BadPhotoError(
                "Photo: it does not name its picture by a SHA-256. "
                "Add the photo again from its file."
            )

    @property
    def digests(self) -> tuple[str, str]:
        """What picture and thumbnail are known by."""
        return self.sha256, self.thumbnail_sha256
