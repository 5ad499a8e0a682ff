"""The Photos tab of the Shell page: a strip of thumbnails, and what can be done with each."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QMimeData, QSettings, QSize, Qt, Signal, Slot
from PySide6.QtGui import QIcon, QPixmap, QShowEvent
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QListView,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.dropping import dropped_file
from shellcoat.desk.air.lettering import label
from shellcoat.desk.dialogs.field_grid import GAP
from shellcoat.desk.dialogs.form import FormDialog
from shellcoat.desk.dialogs.reason_dialog import ReasonDialog
from shellcoat.desk.photos.dialog import PhotoDialog
from shellcoat.desk.photos.viewer import PhotoViewer
from shellcoat.desk.photos.words import photo_words
from shellcoat.desk.session import DeskSession
from shellcoat.operations.photos import take_back_photo
from shellcoat.shop import Photo, Shell

THUMBNAIL = QSize(150, 112)
CELL = QSize(176, 162)
MARGIN = 10
FOLDER_KEY = "photos/folder"
SUFFIXES = (".jpg", ".jpeg", ".png")


def dropped_photo(mime: QMimeData) -> Path | None:
    """The one file of a drag that is called like a photo; whether it is one, reading it tells."""
    path = dropped_file(mime)
    return path if path is not None and path.suffix.lower() in SUFFIXES else None


class PhotosTab(QWidget):
    """The photos of one shell.

    Signals
    -------
    said : a sentence for the line at the foot of the window
    """

    said = Signal(str)

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("shell_photos")
        self.setAccessibleName(self.tr("Photos of the shell"))
        self.session = session
        self.dialog: FormDialog | None = None
        self._shell: Shell | None = None
        self._photos: list[Photo] = []
        self._shown: list[tuple[Photo, str]] = []
        self._icons: dict[str, QIcon] = {}
        self._make_strip()
        self.add_button = self._button(self.tr("Add ph&oto…"), "photos_add", self.ask_file)
        self.look_button = self._button(self.tr("&Look…"), "photos_look", self.look)
        self.correct_button = self._button(self.tr("Co&rrect…"), "photos_correct", self.correct)
        self.take_back_button = self._button(
            self.tr("T&ake back…"), "photos_take_back", self.take_back
        )
        self._lay_out()

    def _make_strip(self) -> None:
        self.strip = QListWidget(self)
        self.strip.setObjectName("photos_strip")
        self.strip.setAccessibleName(self.tr("Photos of this shell"))
        self.strip.setViewMode(QListView.ViewMode.IconMode)
        self.strip.setResizeMode(QListView.ResizeMode.Adjust)
        self.strip.setMovement(QListView.Movement.Static)
        self.strip.setIconSize(THUMBNAIL)
        self.strip.setGridSize(CELL)
        self.strip.setUniformItemSizes(True)
        self.strip.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.strip.setAcceptDrops(False)  # the page takes what is dropped
        self.strip.itemActivated.connect(lambda _item: self.look())
        self.strip.currentRowChanged.connect(lambda _row: self._show_buttons())
        self.empty = label(self, "photos_empty", "empty", wrap=True)
        self.empty.setText(
            self.tr("No photo yet. Drag one onto this page, or press “Add photo…”. JPEG or PNG.")
        )
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)

    def _button(self, text: str, name: str, slot: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self)
        button.setObjectName(name)
        button.setAutoDefault(False)
        button.clicked.connect(lambda _checked: slot())
        return button

    def _lay_out(self) -> None:
        line = QHBoxLayout()
        line.setSpacing(GAP)
        for button in (
            self.add_button,
            self.look_button,
            self.correct_button,
            self.take_back_button,
        ):
            line.addWidget(button)
        line.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(MARGIN, MARGIN, MARGIN, MARGIN)
        column.addWidget(self.strip, 1)
        column.addWidget(self.empty, 1)
        column.addLayout(line)

    @property
    def writable(self) -> bool:
        """Whether photos can be added."""
        return not self.session.opened.book.read_only

    @property
    def chosen(self) -> Photo | None:
        """The photo that is chosen in the strip."""
        row = self.strip.currentRow()
        return self._photos[row] if 0 <= row < len(self._photos) else None

    def show_shell(self, shell: Shell) -> None:
        """Show the photos of a shell as they stand now; the chosen one stays chosen."""
        self._shell = shell
        if self.isVisible():
            self._catch_up(shell)

    def showEvent(self, event: QShowEvent) -> None:
        """Show what was added while nobody was looking."""
        super().showEvent(event)
        if self._shell is not None:
            self._catch_up(self._shell)

    def _catch_up(self, shell: Shell) -> None:
        chosen = self.chosen
        self._photos = list(self.session.opened.ledger.photos(shell.id))
        said = photo_words(self.session, shell, self._photos)
        shown = list(zip(self._photos, said, strict=True))
        if shown != self._shown:
            self._shown = shown
            self._fill(chosen)
        self.strip.setVisible(bool(shown))
        self.empty.setVisible(not shown)
        self._show_buttons()

    def _fill(self, chosen: Photo | None) -> None:
        blocked = self.strip.blockSignals(True)
        self.strip.clear()
        for photo, words in self._shown:
            item = QListWidgetItem(self._icon(photo), photo.caption or words, self.strip)
            item.setToolTip(words)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, words)
            item.setSizeHint(CELL)
        self.strip.blockSignals(blocked)
        ids = [photo.id for photo in self._photos]
        known = chosen is not None and chosen.id in ids
        self.strip.setCurrentRow(ids.index(chosen.id) if chosen and known else len(ids) - 1)

    def _icon(self, photo: Photo) -> QIcon:
        digest = photo.thumbnail_sha256
        if digest not in self._icons:
            data = self.session.attempt(lambda: self.session.opened.book.picture(digest))
            pixmap = QPixmap()
            pixmap.loadFromData(data or b"")
            self._icons[digest] = QIcon(pixmap)
        return self._icons[digest]

    def _show_buttons(self) -> None:
        some = self.chosen is not None
        self.add_button.setEnabled(self.writable)
        self.look_button.setEnabled(some)
        self.correct_button.setEnabled(some and self.writable)
        self.take_back_button.setEnabled(some and self.writable)

    def ask_file(self) -> None:
        """Ask for a file, then for its words."""
        path, _ = QFileDialog.getOpenFileName(
            self,
            self.tr("Add a photo"),
            str(QSettings().value(FOLDER_KEY, "")),
            self.tr("Photos (*.jpg *.jpeg *.png)"),
        )
        if path:
            QSettings().setValue(FOLDER_KEY, str(Path(path).parent))
            self.add(Path(path))

    def add(self, path: Path) -> None:
        """Add a file to the shell that is shown."""
        if self._shell is not None and self.writable:
            dialog = PhotoDialog(self.session, self._shell, path, self.window())
            dialog.accepted.connect(self._on_added)
            self._open(dialog)

    @Slot()
    def _on_added(self) -> None:
        if self._shell is not None:
            self.show_shell(self._shell)
            self.said.emit(self.tr("The photo is kept with {name}.").format(name=self._shell.name))

    def look(self) -> None:
        """Look at the chosen photo at large."""
        if self._shell is not None and self.chosen is not None:
            row = self.strip.currentRow()
            viewer = PhotoViewer(self.session, self._shell, self._photos, row, self.window())
            viewer.finished.connect(lambda _answer: self.strip.setCurrentRow(viewer.number))
            self._open(viewer)

    def correct(self) -> None:
        """Say something else of the chosen photo."""
        if self._shell is not None and self.chosen is not None:
            self._open(PhotoDialog(self.session, self._shell, self.chosen, self.window()))

    def take_back(self) -> None:
        """Take the chosen photo back, with the reason."""
        photo, session = self.chosen, self.session
        if photo is None:
            return
        dialog = ReasonDialog(
            self.tr("Take back"),
            self.tr("The photo goes from this page; the book keeps it, marked as taken back."),
            self.tr("Take back"),
            self.tr("for example: it shows another shell"),
            self.window(),
        )
        dialog.confirmed.connect(
            lambda reason: session.attempt(
                lambda: take_back_photo(session.opened, photo.id, session.now(), reason)
            )
        )
        self._open(dialog)

    def _open(self, dialog: FormDialog) -> None:
        self.dialog = dialog
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()
