"""One photo as large as the screen lets it be, with the ones before and after it a key away."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QKeySequence, QPixmap, QResizeEvent, QShortcut
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.form import ButtonRole, SessionDialog
from shellcoat.desk.dialogs.lettering import breakable, shortened
from shellcoat.desk.photos.words import photo_words
from shellcoat.desk.session import DeskSession
from shellcoat.shop import Photo, Shell

SIZE = QSize(960, 660)
LEAST = QSize(320, 240)


class PhotoViewer(SessionDialog):
    """Turns through the photos of a shell."""

    def __init__(
        self,
        session: DeskSession,
        shell: Shell,
        photos: Sequence[Photo],
        number: int,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(session, "photo_viewer", "", parent)
        self.setWindowTitle(self.tr("Photos of {shell}").format(shell=shortened(shell.name)))
        self._shell, self._photos, self.number = shell, list(photos), number
        self._whole = QPixmap()
        self.picture = QLabel(self.body)
        self.picture.setObjectName("viewer_picture")
        self.picture.setMinimumSize(LEAST)
        self.picture.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self.picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.words = label(self.body, "viewer_words", wrap=True)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.picture, 1)
        column.addWidget(self.words)
        self.before_button = self.add_button(
            self.tr("◂ &Before"), "viewer_before", ButtonRole.ResetRole, self.turn_back
        )
        self.after_button = self.add_button(
            self.tr("&After ▸"), "viewer_after", ButtonRole.ResetRole, self.turn_on
        )
        self.close_button = self.add_primary(self.tr("Close"), "viewer_close", self.accept)
        for keys, slot in ((Qt.Key.Key_Left, self.turn_back), (Qt.Key.Key_Right, self.turn_on)):
            QShortcut(QKeySequence(keys), self, slot)
        self._load()

    def sizeHint(self) -> QSize:
        """Large enough to see something."""
        return super().sizeHint().expandedTo(SIZE)

    @Slot()
    def turn_back(self) -> None:
        """Turn to the photo taken before."""
        self._turn(-1)

    @Slot()
    def turn_on(self) -> None:
        """Turn to the photo taken after."""
        self._turn(1)

    def _turn(self, by: int) -> None:
        number = self.number + by
        if 0 <= number < len(self._photos):
            self.number = number
            self._load()

    def _load(self) -> None:
        photo = self._photos[self.number]
        data = self.session.attempt(lambda: self.session.opened.book.picture(photo.sha256))
        self._whole = QPixmap()
        self._whole.loadFromData(data or b"")
        (said,) = photo_words(self.session, self._shell, [photo])
        self.words.setText(breakable(said))
        self.picture.setAccessibleName(said)
        self.before_button.setEnabled(self.number > 0)
        self.after_button.setEnabled(self.number < len(self._photos) - 1)
        self._fit_picture()

    def _fit_picture(self) -> None:
        if self._whole.isNull():
            self.picture.setText(self.tr("This photo cannot be shown. Check the book."))
            return
        ratio = self.devicePixelRatioF()
        room = (self.picture.size() * ratio).boundedTo(self._whole.size())
        fitted = self._whole.scaled(
            room, Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
        )
        fitted.setDevicePixelRatio(ratio)
        self.picture.setPixmap(fitted)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the photo to the new size."""
        super().resizeEvent(event)
        self._column.activate()
        self._fit_picture()
