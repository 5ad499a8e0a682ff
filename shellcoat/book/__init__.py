"""The kept record: one file per shop that every entry goes into and none ever leaves."""

from typing import TYPE_CHECKING

from shellcoat.book.book import Book, Listener
from shellcoat.book.journal import Line
from shellcoat.book.opening import SUFFIX, create_book, open_book

if TYPE_CHECKING:
    from shellcoat.book.readings import ReadingColumns
else:

    def __getattr__(name: str) -> object:
        """Load the readings when they are asked for: numpy takes longer to load than a book."""
        if name == "ReadingColumns":
            from shellcoat.book.readings import ReadingColumns

            return ReadingColumns
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


__all__ = [
    "SUFFIX",
    "Book",
    "Line",
    "Listener",
    "ReadingColumns",
    "create_book",
    "open_book",
]
