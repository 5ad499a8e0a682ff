"""Photos and outcomes for the tests of the pages."""

from __future__ import annotations

from pathlib import Path
from uuid import uuid4

from PIL import Image, ImageDraw
from small_shop import NOW

from shellcoat.operations.open_shop import OpenShop
from shellcoat.operations.outcomes import log_outcome
from shellcoat.operations.photo_files import ReadyPhoto, read_photo
from shellcoat.operations.photos import PhotoWords, add_photo
from shellcoat.shop import Outcome, Photo, PourResult, Shell


def a_photo_file(path: Path, size: tuple[int, int] = (640, 480)) -> Path:
    """A picture of nothing much."""
    picture = Image.new("RGB", size, (190, 160, 120))
    ImageDraw.Draw(picture).ellipse((size[0] / 4, 40, size[0] / 2, size[1] - 40), (90, 70, 50))
    picture.save(path)
    return path


def ready(opened: OpenShop, name: str = "wax.jpg") -> ReadyPhoto:
    """Such a picture, made ready for the book."""
    return read_photo(a_photo_file(opened.book.path.with_name(name)), opened.zone)


def keep_a_photo(opened: OpenShop, shell: Shell, caption: str = "the wax") -> Photo:
    """Put one in the book."""
    words = PhotoWords(taken_at=NOW, caption=caption)
    return add_photo(opened, uuid4(), shell.id, ready(opened), words, NOW)


def keep_an_outcome(
    opened: OpenShop, shell: Shell, result: PourResult = PourResult.SOUND
) -> Outcome:
    """Pour a shell."""
    outcome = Outcome(id=uuid4(), shell_id=shell.id, poured_at=NOW, result=result)
    return log_outcome(opened, outcome, NOW, finish=True)
