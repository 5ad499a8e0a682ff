"""A photo that is added from a file, or whose words are put right."""

from __future__ import annotations

from pathlib import Path
from uuid import uuid4

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.field_grid import GAP, FieldGrid
from shellcoat.desk.dialogs.fields import ChoiceField, TextField, TimeField
from shellcoat.desk.dialogs.form import AnyField, SessionDialog
from shellcoat.desk.dialogs.lettering import breakable, shortened
from shellcoat.desk.dialogs.standing import Standing
from shellcoat.desk.photos.words import about_choices
from shellcoat.desk.session import DeskSession
from shellcoat.operations.photo_files import LONGEST_SIDE, ReadyPhoto, read_photo
from shellcoat.operations.photos import (
    PhotoInFutureError,
    PhotoWords,
    add_photo,
    correct_photo,
    likely_time,
)
from shellcoat.shop import Photo, Shell

PREVIEW = QSize(260, 260)
LEAST_WIDTH_PX = 760


class PhotoDialog(SessionDialog):
    """The words of one photo; `kept` is the one that was written."""

    def __init__(
        self,
        session: DeskSession,
        shell: Shell,
        what: Path | Photo,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(session, "photo_dialog", "", parent)
        self.kept: Photo | None = None
        self._shell = shell
        self._original = what if isinstance(what, Photo) else None
        self._ready: ReadyPhoto | None = None
        # One id for one opened dialog, so that a second press cannot keep a second photo.
        self._id = self._original.id if self._original else uuid4()
        self._standing = Standing(session.opened, self._id) if self._original else None
        title = self.tr("Photo of {shell}").format(shell=shortened(shell.name))
        self.setWindowTitle(title)
        self._make_fields()
        self._lay_out()
        words = self.tr("Save correction") if self._original else self.tr("Keep photo")
        self.save_button = self.add_primary(words, "photo_save", self.save)
        self.add_cancel(self.tr("Cancel"), "photo_cancel")
        if isinstance(what, Photo):
            self._show_kept(what)
        else:
            self._read(what)
        self.guard_saving(self.save_button)
        self.caption.setFocus()

    def _make_fields(self) -> None:
        session, body = self.session, self.body
        self.picture = QLabel(body)
        self.picture.setObjectName("photo_picture")
        self.picture.setAccessibleName(self.tr("The photo"))
        self.picture.setFixedSize(PREVIEW)
        self.picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.caption = TextField(self.tr("Caption"), body)
        self.caption.setObjectName("photo_caption")
        self.caption.line.setPlaceholderText(self.tr("such as: hair crack at the neck"))
        self.about = ChoiceField(self.tr("Shows"), body)
        self.about.setObjectName("photo_about")
        self.about.offer(about_choices(session, self._shell))
        self.about.set_value(None)
        self.time = TimeField(self.tr("Taken"), session.opened.zone, session.now, body)
        self.time.setObjectName("photo_time")
        self.hint = label(body, "photo_hint", "muted", wrap=True)

    def _lay_out(self) -> None:
        body, grid = self.body, FieldGrid()
        grid.add(body, self.tr("&Caption"), self.caption)
        grid.add(body, self.tr("&Shows"), self.about)
        grid.add(body, self.tr("&Taken"), self.time)
        grid.add_below(self.hint)
        right = QVBoxLayout()
        right.addLayout(grid)
        right.addStretch(1)
        across = QHBoxLayout(body)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(2 * GAP)
        across.addWidget(self.picture, 0, Qt.AlignmentFlag.AlignTop)
        across.addLayout(right, 1)
        body.setMinimumWidth(LEAST_WIDTH_PX)

    def _show_kept(self, photo: Photo) -> None:
        self.caption.set_value(photo.caption)
        known = [one for _, one in about_choices(self.session, self._shell)]
        self.about.set_value(photo.about if photo.about in known else None)
        self.time.set_value(photo.taken_at)
        data = self.session.attempt(lambda: self.session.opened.book.picture(photo.sha256))
        self._show(data or b"")

    def _read(self, path: Path) -> None:
        """Make the file ready in the background; nothing can be kept before it is."""
        zone = self.session.opened.zone
        self.save_button.setEnabled(False)
        self.picture.setText(self.tr("Reading…"))
        self.in_background(lambda: read_photo(path, zone), self._on_read)

    def _on_read(self, ready: ReadyPhoto) -> None:
        self._ready = ready
        if not self.read_only:
            self.save_button.setEnabled(True)
        if ready.taken_at is not None:
            self.time.set_value(likely_time(ready, self.session.now()))
        told = self.tr(
            "Kept in the book as {width} × {height} pixels, {size} kB; {longest} is the longest "
            "side. What the camera wrote into the file, such as the place, is left out."
        )
        self.hint.setText(
            told.format(
                width=ready.width,
                height=ready.height,
                size=round(len(ready.image) / 1024),
                longest=LONGEST_SIDE,
            )
        )
        self._show(ready.image)

    def on_background_fault(self, message: str) -> None:
        """Say why the file cannot be kept."""
        self.picture.setText(self.tr("No photo"))
        super().on_background_fault(message)

    def _show(self, data: bytes) -> None:
        shown = QPixmap()
        if not shown.loadFromData(data):
            self.picture.setText(self.tr("No photo"))
            return
        ratio = self.devicePixelRatioF()
        fitted = shown.scaled(
            PREVIEW * ratio,
            Qt.AspectRatioMode.KeepAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        )
        fitted.setDevicePixelRatio(ratio)
        self.picture.setPixmap(fitted)
        self.fit()

    @Slot()
    def save(self) -> None:
        """Keep the photo; what cannot be kept stays as it was typed."""
        fields: list[AnyField] = [self.caption, self.about, self.time]
        if not self.all_right(fields):
            return
        kept = self.session.attempt(self._keep)
        if kept is not None:
            self.kept = kept
            self.accept()

    def _keep(self) -> Photo | None:
        try:
            return self._correct(self._original) if self._original else self._add()
        except PhotoInFutureError as error:
            self.time.show_message(breakable(str(error)))
            self.point_at(self.time)
            return None

    def _words(self) -> PhotoWords:
        return PhotoWords(
            taken_at=self.time.value(), about=self.about.value(), caption=self.caption.value()
        )

    def _add(self) -> Photo | None:
        if self._ready is None:
            return None
        opened, now = self.session.opened, self.session.now()
        return add_photo(opened, self._id, self._shell.id, self._ready, self._words(), now)

    def _correct(self, original: Photo) -> Photo:
        now = self.session.now()
        if self._standing is not None:
            self._standing.check(now)
        return correct_photo(self.session.opened, original, self._words(), now)
