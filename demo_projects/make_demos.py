"""Write the demo books: `python -m demo_projects.make_demos` from the top of the checkout.

Each story is told anew, kept in a throw-away book and exported from it, so that what lies in
the demo folders is exactly what the program itself would write. The same stories give the same
files to the byte.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import UUID, uuid5

from demo_projects.foundry_story import foundry_story
from demo_projects.garage_story import garage_story
from demo_projects.story import DEMOS, Story
from shellcoat.book import Line, open_book
from shellcoat.book.exchange import export_book
from shellcoat.book.opening import building

BOOKS = UUID("c3b7a2de-5d0f-4a55-9f0e-0d6f3f6a1b44")


def write_demo(story: Story, json_path: Path) -> None:
    """Keep a story in a book of its own and export that."""
    first = story.entries[0].recorded_at
    lines = [Line(entry, readings=story.readings.get(entry.record.id)) for entry in story.entries]
    with TemporaryDirectory() as folder:
        path = Path(folder) / "demo.shellbook"
        with building(path, book_id=uuid5(BOOKS, story.name), created_at=first) as book:
            book.take_in(lines)
        with open_book(path, read_only=True) as book:
            export_book(book, json_path)


def main() -> None:
    """Write all demo books into their folders."""
    for story in (garage_story(), foundry_story()):
        json_path = DEMOS / story.name / "book.json"
        write_demo(story, json_path)
        size = json_path.stat().st_size
        sys.stdout.write(f"{story.name}: {len(story.entries)} entries, {size} bytes\n")


if __name__ == "__main__":
    main()
