"""The kept record: one file per shop that every entry goes into and none ever leaves."""

from shellcoat.book.book import Book, Listener
from shellcoat.book.journal import Line
from shellcoat.book.opening import SUFFIX, create_book, open_book
from shellcoat.book.readings import ReadingColumns

__all__ = [
    "SUFFIX",
    "Book",
    "Line",
    "Listener",
    "ReadingColumns",
    "create_book",
    "open_book",
]
