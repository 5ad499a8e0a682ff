"""What can be wrong with a logger file, each told so that a person can put it right."""

from __future__ import annotations

from shellcoat.errors import MendableError


class LoggerFileError(MendableError):
    """A logger file that cannot be taken in as it is."""

    def __init__(self, name: str, what: str, mend: str) -> None:
        super().__init__(f"{name}: {what} {mend}")
        self.name = name


class UnreadableFileError(LoggerFileError):
    """A file that is missing, is no file, or may not be opened."""

    def __init__(self, name: str, reason: str) -> None:
        super().__init__(
            name, f"the file cannot be opened ({reason}).", "Check that it is there and yours."
        )


class FileTooLargeError(LoggerFileError):
    """A file far larger than any logger writes."""

    def __init__(self, name: str, size: int, largest: int) -> None:
        super().__init__(
            name,
            f"the file holds {size / 1e9:.1f} GB, more than the {largest / 1e9:.0f} GB taken in.",
            "Export a shorter span of time, or split the file.",
        )


class EmptyFileError(LoggerFileError):
    """A file with nothing in it."""

    def __init__(self, name: str) -> None:
        super().__init__(name, "the file is empty.", "Export the readings again.")


class SpreadsheetGivenError(LoggerFileError):
    """A workbook where a CSV file is wanted."""

    def __init__(self, name: str) -> None:
        super().__init__(
            name,
            "this is a spreadsheet workbook or an archive, not a CSV file.",
            "Open it in the spreadsheet program and save it as CSV, then import that.",
        )


class NotTextError(LoggerFileError):
    """A file that holds no text."""

    def __init__(self, name: str) -> None:
        super().__init__(
            name,
            "this is not a text file.",
            "Export the readings from the logger's program as CSV or text.",
        )


class NotATableError(LoggerFileError):
    """Text without rows of times and numbers."""

    def __init__(self, name: str) -> None:
        super().__init__(
            name,
            "no rows with a time and numbers were found.",
            "Export the readings as CSV, one reading a row.",
        )


class NoReadingsError(LoggerFileError):
    """Column names, and nothing under them."""

    def __init__(self, name: str) -> None:
        super().__init__(
            name,
            "the file has column names but no readings under them.",
            "Check that the logger had recorded before it was exported.",
        )


class NoTimeColumnError(LoggerFileError):
    """Rows of numbers with no date and time of day beside them."""

    def __init__(self, name: str) -> None:
        super().__init__(
            name,
            "no column holds both date and time of day, and no two columns do together.",
            "Export again with the date and time of every reading.",
        )


class MissingQuantityError(LoggerFileError):
    """Rows that lack the temperature or the humidity."""

    def __init__(self, name: str, quantity: str) -> None:
        super().__init__(
            name,
            f"no column of numbers is left for the {quantity}.",
            "Export again with air temperature and relative humidity in the same file.",
        )


class UnevenColumnsError(LoggerFileError):
    """More cells in a row than the names above can account for."""

    def __init__(self, name: str, named: int, found: int) -> None:
        super().__init__(
            name,
            f"{named} columns are named but the rows have {found} cells; commas may part both "
            "the cells and the decimals.",
            "Export again with semicolons between cells, or with decimal points.",
        )


class OpenQuestionError(LoggerFileError):
    """A choice only a person can make, not made yet."""

    def __init__(self, name: str, asks: str) -> None:
        super().__init__(name, "the file cannot be read before this is answered:", asks)


class ShapeMismatchError(LoggerFileError):
    """A chosen layout the file does not have."""

    def __init__(self, name: str, what: str) -> None:
        super().__init__(name, what, "Look at the file again and choose anew.")


class UnknownRoomError(LoggerFileError):
    """Readings meant for a room the book does not have."""

    def __init__(self, name: str) -> None:
        super().__init__(
            name,
            "the room chosen for these readings is not in this book.",
            "Choose a room of the shop, or add it first.",
        )
