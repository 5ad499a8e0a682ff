"""A field for a time on the shop's wall clock, whatever zone the machine is in."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from PySide6.QtCore import QDate, QDateTime, QTime, QTimer, QTimeZone, Signal, Slot
from PySide6.QtWidgets import QComboBox, QDateTimeEdit, QHBoxLayout, QPushButton, QWidget

FOLLOW_EVERY_MS = 5_000


class WallTimeField(QWidget):
    """Shows the present until somebody changes it; then keeps what was set.

    The editor holds bare wall time. In the hour that an autumn night has twice a second box asks
    which one is meant; a time that a spring night skips is moved on by the hour it lacks.
    """

    edited = Signal()

    def __init__(
        self,
        zone: ZoneInfo,
        now: Callable[[], datetime],
        name: str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._zone, self._now = zone, now
        self._following = True
        self.editor = QDateTimeEdit(self)
        self.editor.setAccessibleName(name)
        self.editor.setTimeZone(QTimeZone(QTimeZone.Initialization.UTC))
        self.editor.setDisplayFormat("ddd d MMM yyyy  HH:mm")
        self.editor.setCalendarPopup(True)
        self.fold = QComboBox(self)
        self.fold.setAccessibleName(self.tr("Which of the two"))
        self.now_button = QPushButton(self.tr("Now"), self)
        self.now_button.clicked.connect(self.follow)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.editor, 1)
        layout.addWidget(self.fold)
        layout.addWidget(self.now_button)
        self.setFocusProxy(self.editor)
        self.editor.dateTimeChanged.connect(self._on_changed)
        self.fold.activated.connect(self._on_changed)
        self._timer = QTimer(self)
        self._timer.setInterval(FOLLOW_EVERY_MS)
        self._timer.timeout.connect(self._tick)
        self._timer.start()
        self.follow()

    @property
    def following(self) -> bool:
        """Whether the field still shows the present."""
        return self._following

    @Slot()
    def follow(self) -> None:
        """Show the present, and go on showing it."""
        self._following = True
        self.now_button.setEnabled(False)
        self._show(self._now())

    def set_moment(self, moment: datetime) -> None:
        """Show a given time and keep it."""
        self._following = False
        self.now_button.setEnabled(True)
        self._show(moment)

    def moment(self) -> datetime:
        """The time meant, in UTC."""
        if self._following:
            return self._now()
        wall = self._wall()
        fold = max(self.fold.currentIndex(), 0) if self._is_double(wall) else 0
        return wall.replace(tzinfo=self._zone, fold=fold).astimezone(UTC)

    def _wall(self) -> datetime:
        shown = self.editor.dateTime()
        day, time = shown.date(), shown.time()
        return datetime(  # noqa: DTZ001 - bare wall time; the zone is put on by the caller
            day.year(), day.month(), day.day(), time.hour(), time.minute(), time.second()
        )

    def _is_double(self, wall: datetime) -> bool:
        first, second = self._readings(wall)
        return first.utcoffset() != second.utcoffset() and self._exists(first)

    def _readings(self, wall: datetime) -> tuple[datetime, datetime]:
        return wall.replace(tzinfo=self._zone, fold=0), wall.replace(tzinfo=self._zone, fold=1)

    def _exists(self, local: datetime) -> bool:
        back = local.astimezone(UTC).astimezone(self._zone)
        return back.replace(tzinfo=None) == local.replace(tzinfo=None)

    def _show(self, moment: datetime) -> None:
        local = moment.astimezone(self._zone)
        blocked = self.editor.blockSignals(True)
        self.editor.setDateTime(
            QDateTime(
                QDate(local.year, local.month, local.day),
                QTime(local.hour, local.minute, local.second),
                QTimeZone(QTimeZone.Initialization.UTC),
            )
        )
        self.editor.blockSignals(blocked)
        self._offer_fold(local.replace(tzinfo=None, fold=0))
        self.fold.setCurrentIndex(local.fold if self.fold.count() else -1)

    def _offer_fold(self, wall: datetime) -> None:
        """Show the choice between the two hours only where there are two."""
        double = self._is_double(wall)
        if double and not self.fold.count():
            for local in self._readings(wall):
                self.fold.addItem(f"{local:%z}"[:3] + ":" + f"{local:%z}"[3:5])
        elif not double:
            self.fold.clear()
        self.fold.setVisible(double)

    @Slot()
    def _on_changed(self) -> None:
        self._following = False
        self.now_button.setEnabled(True)
        wall = self._wall()
        if not self._exists(self._readings(wall)[0]):
            self._show(self._readings(wall)[0].astimezone(UTC))
        else:
            self._offer_fold(wall)
        self.edited.emit()

    @Slot()
    def _tick(self) -> None:
        if self._following and not self.editor.hasFocus():
            self._show(self._now())
