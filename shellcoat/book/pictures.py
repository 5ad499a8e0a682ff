"""Pictures of photos: the bytes that a photo's digests vouch for, stored once and fetched."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from sqlite3 import Connection

from shellcoat.book.faults import PictureError
from shellcoat.shop import Photo

LARGEST_PICTURE_BYTES = 1024 * 1024
LARGEST_THUMBNAIL_BYTES = 64 * 1024

FETCH = "SELECT data FROM picture WHERE sha256 = ?"
STORE = (
    "INSERT INTO picture (sha256, data) SELECT :digest, :data "
    "WHERE NOT EXISTS (SELECT 1 FROM picture WHERE sha256 = :digest)"
)


def digest_of(data: bytes) -> str:
    """Give what a picture is known by."""
    return hashlib.sha256(data).hexdigest()


@dataclass(frozen=True, slots=True)
class Pictures:
    """The bytes of one photo: the picture and its thumbnail, each a whole JPEG or PNG file."""

    image: bytes
    thumbnail: bytes

    def check_against(self, photo: Photo) -> None:
        """Refuse pictures that are not those their photo vouches for, or are far too large."""
        for name, data, digest, most in (
            ("picture", self.image, photo.sha256, LARGEST_PICTURE_BYTES),
            ("thumbnail", self.thumbnail, photo.thumbnail_sha256, LARGEST_THUMBNAIL_BYTES),
        ):
            if not 1 <= len(data) <= most:
                raise PictureError(
                    f"The photo's {name} has {len(data):,} bytes; 1 to {most:,} can be kept."
                )
            if digest_of(data) != digest:
                raise PictureError(f"The photo's {name} is not the one its record speaks of.")


def store_pictures(connection: Connection, pictures: Pictures) -> None:
    """Write the pictures of a photo; one that is kept already is not written again."""
    for data in (pictures.image, pictures.thumbnail):
        connection.execute(STORE, {"digest": digest_of(data), "data": data})


def fetch_picture(connection: Connection, digest: str) -> bytes:
    """Read a picture by its digest."""
    row = connection.execute(FETCH, (digest,)).fetchone()
    if row is None:
        raise PictureError("A picture of this book is not there. Check the book.")
    return bytes(row[0])


def fetch_pictures(connection: Connection, photo: Photo) -> Pictures:
    """Read picture and thumbnail of a photo."""
    return Pictures(
        fetch_picture(connection, photo.sha256), fetch_picture(connection, photo.thumbnail_sha256)
    )
