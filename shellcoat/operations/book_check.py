"""What a check of a book found, in sentences."""

from __future__ import annotations

from shellcoat.book.check import CheckReport


def check_sentences(report: CheckReport) -> list[str]:
    """The result first, then what was counted or what is wrong."""
    counted = f"{report.entries:,} entries and {report.readings:,} logger readings"
    if report.photos:
        counted = (
            f"{report.entries:,} entries, {report.readings:,} logger readings and "
            f"{report.photos:,} photos"
        )
    if report.sound:
        return [
            f"{report.path.name} is sound: {counted}, every one as it was written.",
            f"The last entry's hash is {report.head}; it vouches for all before it.",
        ]
    return [
        f"{report.path.name} is not sound ({counted} could be read):",
        *(f"- {problem}" for problem in report.problems),
        "Leave the file as it is. Restore the last backup, or export what can still be read.",
    ]
