"""The section drawing as a widget."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize
from PySide6.QtGui import QColor, QHelpEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from shellcoat.desk.section.layout import (
    LEAST_HEIGHT_EM,
    LEAST_WIDTH_EM,
    lay_out,
)
from shellcoat.desk.section.paint import paint_section
from shellcoat.desk.section.picture import SectionPicture
from shellcoat.desk.section.words import (
    WriteLength,
    describe_band,
    describe_section,
    translate,
)
from shellcoat.desk.theme import Theme

_SMALL = QSize(120, 40)


class SectionView(QWidget):
    """Shows one wall, tells it in words to assistive technology and each coat in a tooltip."""

    def __init__(
        self,
        theme: Theme,
        write_length: WriteLength,
        *,
        detail: bool,
        length_unit: str = "mm",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._write_length = write_length
        self._detail = detail
        self._length_unit = length_unit
        self._picture: SectionPicture | None = None
        self.setObjectName("section_view")
        self.setAccessibleName(translate("Section", "Section through the shell wall"))
        stretch = QSizePolicy.Policy.Expanding if detail else QSizePolicy.Policy.Fixed
        self.setSizePolicy(stretch, stretch)

    def show_picture(self, picture: SectionPicture | None) -> None:
        """Show another wall, or none."""
        self._picture = picture
        self._describe()
        self.update()

    def set_theme(self, theme: Theme) -> None:
        """Repaint in other colours."""
        self._theme = theme
        self.update()

    def set_units(self, write_length: WriteLength, length_unit: str) -> None:
        """Write lengths in other units."""
        self._write_length = write_length
        self._length_unit = length_unit
        self._describe()
        self.update()

    def _describe(self) -> None:
        words = ""
        if self._picture is not None:
            words = describe_section(self._picture, self._write_length)
        self.setAccessibleDescription(words)

    def sizeHint(self) -> QSize:
        """Ask for a rack row's picture, or for a drawing with room for its list of coats."""
        em = self.fontMetrics().height()
        return QSize(48 * em, 24 * em) if self._detail else _SMALL

    def minimumSizeHint(self) -> QSize:
        """Ask for no less than the text needs."""
        em = self.fontMetrics().height()
        if not self._detail:
            return _SMALL
        return QSize(round((LEAST_WIDTH_EM + 2) * em), round((LEAST_HEIGHT_EM + 5) * em))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the wall on the panel's ground."""
        painter = QPainter(self)
        painter.fillRect(event.rect(), QColor(self._theme.panel))
        if self._picture is not None:
            paint_section(
                painter,
                QRectF(self.rect()),
                self._picture,
                self._theme,
                detail=self._detail,
                write_length=self._write_length,
                length_unit=self._length_unit,
            )
        painter.end()

    def tooltip_at(self, point: QPointF) -> str:
        """Return what the coat under a point is, or nothing."""
        if self._picture is None:
            return ""
        em = float(self.fontMetrics().height())
        layout = lay_out(QRectF(self.rect()), self._picture, em, detail=self._detail)
        band = layout.band_at(self._picture, point)
        return describe_band(band, self._write_length) if band else ""

    def event(self, event: QEvent) -> bool:
        """Show the tooltip of the coat under the mouse."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), self.tooltip_at(QPointF(event.pos())), self)
            return True
        return super().event(event)
