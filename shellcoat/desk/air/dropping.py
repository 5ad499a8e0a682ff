"""Files that are dragged onto the page or the import dialog."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMimeData


def dropped_file(mime: QMimeData) -> Path | None:
    """The one file of a drag; None for anything else."""
    urls = mime.urls() if mime.hasUrls() else []
    if len(urls) != 1 or not urls[0].isLocalFile():
        return None
    return Path(urls[0].toLocalFile())
