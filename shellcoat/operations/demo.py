"""Demo shops: a working copy of an invented book, shifted so that now lies inside its story."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from tzlocal import get_localzone_name

from shellcoat.book import SUFFIX
from shellcoat.book.exchange import import_book
from shellcoat.errors import MendableError
from shellcoat.places import demos_dir, user_data_dir

STORY_DAY = datetime(2015, 2, 9, tzinfo=ZoneInfo("Europe/Madrid"))
"""The day of every demo story on which the present falls."""

TITLES = {
    "garage-studio": "Garage studio: one person, one bucket, three shells",
    "art-foundry": "Art foundry: forty shells on the racks",
}


class NoSuchDemoError(MendableError):
    """A demo that did not come with the program."""


def demo_names() -> dict[str, str]:
    """The demos that came with the program, by name, with their titles."""
    return {
        name: title
        for name, title in TITLES.items()
        if (demos_dir() / name / "book.json").is_file()
    }


def open_demo(name: str, now: datetime, folder: Path | None = None) -> Path:
    """Make a fresh working copy of a demo and tell where it is; an older copy is replaced.

    Every time in it moves so that today is the story's day and the hours of the day stay what
    they were, on this machine's clock; what would lie after `now` is left out.
    """
    source = demos_dir() / name / "book.json"
    if not source.is_file():
        known = ", ".join(demo_names())
        raise NoSuchDemoError(f"There is no demo called {name!r}. Choose one of: {known}.")
    path = demo_path(name, folder)
    shutil.rmtree(path.parent, ignore_errors=True)
    path.parent.mkdir(parents=True, exist_ok=True)
    zone = local_zone()
    shift = story_shift(now, zone)
    import_book(source, path, shift=lambda moment: moment + shift, until=now, clock=zone)
    return path


def demo_path(name: str, folder: Path | None = None) -> Path:
    """Where the working copy of a demo is kept."""
    return (folder or user_data_dir() / "demos") / name / f"{name}{SUFFIX}"


def story_shift(now: datetime, zone: ZoneInfo) -> timedelta:
    """How far the story moves: its day to today, hour for hour on the clock of `zone`."""
    wall = now.astimezone(zone).replace(microsecond=0)
    then = STORY_DAY.replace(hour=wall.hour, minute=wall.minute, second=wall.second)
    return wall.astimezone(UTC) - then.astimezone(UTC)


def local_zone() -> ZoneInfo:
    """The zone of this machine, or UTC where it does not say."""
    try:
        return ZoneInfo(get_localzone_name())
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return ZoneInfo("UTC")
