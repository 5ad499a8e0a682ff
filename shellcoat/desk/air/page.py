"""The Air page."""

from __future__ import annotations

from uuid import UUID

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QButtonGroup,
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from shellcoat.desk.air.air_plot import AirPlot
from shellcoat.desk.air.changes import take_back
from shellcoat.desk.air.dropping import DropZone
from shellcoat.desk.air.gatherer import AirGatherer
from shellcoat.desk.air.import_dialog import ImportDialog
from shellcoat.desk.air.latest_card import LatestCard
from shellcoat.desk.air.lettering import air_sheet, heading, label
from shellcoat.desk.air.logged_model import LoggedColumn, LoggedModel
from shellcoat.desk.air.look import AirLook, LoggedAir, Span
from shellcoat.desk.air.reading_form import ReadingForm
from shellcoat.desk.air.rooms_dialog import RoomsDialog
from shellcoat.desk.air.take_back_dialog import TakeBackDialog
from shellcoat.desk.air.words import logged_words, nothing_in, span_word, time_words
from shellcoat.desk.page import Page
from shellcoat.desk.session import DeskSession
from shellcoat.desk.theme import Theme
from shellcoat.feeds.import_air import ImportReport
from shellcoat.operations.wording import write_time
from shellcoat.shop import Room

SIDE_WIDTH = 392
ROW_HEIGHT = 36
WIDTHS = {
    LoggedColumn.TIME: 230,
    LoggedColumn.AIR: 130,
    LoggedColumn.SOURCE: 200,
    LoggedColumn.WHO: 110,
}
