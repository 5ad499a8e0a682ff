"""How the cells of the rack are painted: marks, two lines of text, the small section."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem, QWidget

from shellcoat.desk.marks import MarkState, mark_fill, paint_mark
from shellcoat.desk.rack.model import MARKS, PICTURE_ROLE, ROW_ROLE, SECOND_LINE_ROLE
from shellcoat.desk.theme import Theme

Index = QModelIndex | QPersistentModelIndex

ROW_HEIGHT = 60
MARGIN = 10
MARK_SIDE = 26
WARNING_SIDE = 22


class RackDelegate(QStyledItemDelegate):
    """Paints the ground of a cell as the style does, and leaves the rest to its kind."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme

    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:
        """Keep the text back from the style, which would write over what is painted here."""
        super().initStyleOption(option, index)
        option.text = ""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint ground, then content."""
        super().paint(painter, option, index)
        painter.save()
        self.paint_content(painter, option.rect.adjusted(MARGIN, 4, -MARGIN, -4), index)
        painter.restore()

    def paint_content(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """Two lines: the first strong, the second muted."""
        first = str(index.data(Qt.ItemDataRole.DisplayRole) or "")
        second = str(index.data(SECOND_LINE_ROLE) or "")
        if not second:
            self._wrapped(painter, rect, first)
            return
        half = rect.height() // 2
        upper = QRect(rect.left(), rect.top(), rect.width(), half)
        self._line(painter, upper, first, self.theme.text, bottom=True)
        lower = QRect(rect.left(), rect.top() + half, rect.width(), rect.height() - half)
        self._line(painter, lower, second, self.theme.muted, bottom=False)

    def _line(
        self, painter: QPainter, rect: QRect, text: str, colour: str, *, bottom: bool
    ) -> None:
        font = QFont(painter.font())
        font.setBold(bottom)
        painter.setFont(font)
        painter.setPen(QColor(colour))
        vertical = Qt.AlignmentFlag.AlignBottom if bottom else Qt.AlignmentFlag.AlignTop
        shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, rect.width())
        painter.drawText(rect, Qt.AlignmentFlag.AlignLeft | vertical, shown)
        font.setBold(False)
        painter.setFont(font)

    def _wrapped(self, painter: QPainter, rect: QRect, text: str) -> None:
        """One text on up to two lines; the whole of it stands in the tooltip."""
        painter.setPen(QColor(self.theme.text))
        metrics = painter.fontMetrics()
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap
        room = QRect(0, 0, rect.width(), 4 * metrics.height())
        shown = whole = text
        while metrics.boundingRect(room, flags, whole).height() > 2 * metrics.lineSpacing() + 2:
            shown = shown.rsplit(" ", 1)[0] if " " in shown else shown[: len(shown) // 2]
            whole = f"{shown} …"
        painter.drawText(rect, flags, whole)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Rows tall enough for a gloved finger, columns wide enough for both lines."""
        font = QFont(option.font)
        font.setBold(True)
        metrics = QFontMetrics(font)
        lines = (index.data(role) or "" for role in (Qt.ItemDataRole.DisplayRole, SECOND_LINE_ROLE))
        width = max(metrics.horizontalAdvance(str(line)) for line in lines)
        return QSize(width + 2 * MARGIN, ROW_HEIGHT)


class LookDelegate(RackDelegate):
    """Why to look, behind the mark of a warning."""

    def paint_content(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """Paint the mark and the words; nothing where there is nothing to look at."""
        if not index.data(Qt.ItemDataRole.DisplayRole):
            return
        middle = rect.center().y() - WARNING_SIDE / 2
        mark = QRectF(rect.left(), middle, WARNING_SIDE, WARNING_SIDE)
        paint_mark(painter, mark, MarkState.WARNING, self.theme)
        super().paint_content(painter, rect.adjusted(WARNING_SIDE + 8, 0, 0, 0), index)


class StateDelegate(RackDelegate):
    """The mark on its fill, with its word."""

    def paint_content(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """Paint a plate in the state's fill: shape and word in black on it."""
        state = MARKS[index.data(ROW_ROLE).state]
        plate = QRectF(rect).adjusted(-2, 5, 2, -5)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QColor(self.theme.line))
        painter.setBrush(QColor(mark_fill(state, self.theme)))
        painter.drawRoundedRect(plate, 6, 6)
        middle = plate.center().y() - MARK_SIDE / 2
        paint_mark(
            painter, QRectF(plate.left() + 6, middle, MARK_SIDE, MARK_SIDE), state, self.theme
        )
        painter.setPen(QColor(self.theme.ink))
        words = plate.adjusted(MARK_SIDE + 12, 0, -4, 0)
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap
        painter.drawText(words, flags, str(index.data(Qt.ItemDataRole.DisplayRole)))


class SectionDelegate(RackDelegate):
    """The small section drawing."""

    def paint_content(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """Paint the wall to scale."""
        picture = index.data(PICTURE_ROLE)
        if picture is not None:
            from shellcoat.desk.section import paint_section  # not before there is one to paint

            paint_section(
                painter,
                QRectF(rect).adjusted(0, 3, 0, -3),
                picture,
                self.theme,
                detail=False,
                write_length=str,
            )
