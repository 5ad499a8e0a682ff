"""The shop's own settings: its name, clock, units, and when a coat counts as dry."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QVBoxLayout, QWidget

from shellcoat.desk.air.lettering import heading, label
from shellcoat.desk.dialogs.field_grid import COLUMN_GAP, GAP, FieldGrid
from shellcoat.desk.dialogs.fields import TextField
from shellcoat.desk.dialogs.form import SessionDialog
from shellcoat.desk.dialogs.quantity_fields import KeptQuantityField
from shellcoat.desk.dialogs.standing import Standing
from shellcoat.desk.dialogs.unit_choice import UnitChoice
from shellcoat.desk.dialogs.zone_field import ZoneField
from shellcoat.desk.session import DeskSession
from shellcoat.shop import Shop
from shellcoat.shop.checks import check_name
from shellcoat.units import Quantity

LOWEST_M, HIGHEST_M = -430.0, 6000.0


class ShopDialog(SessionDialog):
    """Everything that holds for every shell of the shop."""

    def __init__(self, session: DeskSession, parent: QWidget | None = None) -> None:
        super().__init__(session, "shop_dialog", "", parent)
        self.setWindowTitle(self.tr("Settings of the shop"))
        self._original = session.opened.shop
        self._standing = Standing(session.opened, self._original.id)
        self._make_shop_fields()
        self._make_drying_fields()
        self.units = UnitChoice(session.opened.units, session.decimal_mark, self.body)
        self._lay_out()
        self._fill()
        self.save_button = self.add_primary(self.tr("Save"), "shop_save", self.save)
        self.add_cancel(self.tr("Cancel"), "shop_cancel")
        self.guard_saving(self.save_button)

    def _make_shop_fields(self) -> None:
        body = self.body
        self.name = TextField(self.tr("Shop name"), body, check=check_name)
        self.name.setObjectName("shop_name")
        self.zone = ZoneField(self._original.zone, body)
        self.zone.setObjectName("shop_zone")
        self.altitude = KeptQuantityField(
            self.session,
            self.tr("Altitude"),
            Quantity.HEIGHT,
            low=LOWEST_M,
            high=HIGHEST_M,
            parent=body,
        )
        self.altitude.setObjectName("shop_altitude")

    def _make_drying_fields(self) -> None:
        self.dry_share = self._percent(self.tr("Water left when dry"), 0.01, 0.5)
        self.dry_share.setObjectName("shop_dry_share")
        self.dry_words = label(self.body, "shop_dry_words", "muted", wrap=True)
        self.dry_words.setText(
            self.tr("A coat counts as dry when this share of its water is left.")
        )
        self.certainty = self._percent(self.tr("Certainty of the safe time"), 0.5, 0.99)
        self.certainty.setObjectName("shop_certainty")
        self.certainty_words = label(self.body, "shop_certainty_words", "muted", wrap=True)
        self.certainty_words.setText(
            self.tr(
                "90 % means that at the safe time 90 coats of 100 are dry and 10 still wetter. "
                "More certainty is a longer wait."
            )
        )
        self.sound = QCheckBox(self.tr("&Play a sound when a coat is safely dry"), self.body)
        self.sound.setObjectName("shop_sound")

    def _percent(self, name: str, low: float, high: float) -> KeptQuantityField:
        # Humidity is the quantity that is a percentage.
        return KeptQuantityField(
            self.session, name, Quantity.HUMIDITY, low=low, high=high, parent=self.body
        )

    def _lay_out(self) -> None:
        body = self.body
        shop = FieldGrid()
        shop.add_heading(body, "shop_heading", self.tr("The shop"))
        shop.add(body, self.tr("&Name"), self.name)
        shop.add(body, self.tr("Time &zone"), self.zone)
        shop.add(body, self.tr("&Altitude"), self.altitude)
        shop.add_heading(body, "shop_drying_heading", self.tr("When a coat counts as dry"))
        shop.add(body, self.tr("Water &left"), self.dry_share)
        shop.add_below(self.dry_words)
        shop.add(body, self.tr("&Certainty"), self.certainty)
        shop.add_below(self.certainty_words)
        shop.add_wide(self.sound)
        left = QVBoxLayout()
        left.setSpacing(GAP)
        left.addLayout(shop)
        left.addStretch(1)
        right = QVBoxLayout()
        right.setSpacing(GAP)
        right.addWidget(heading(body, "shop_units_heading", self.tr("Units")))
        right.addWidget(self.units)
        right.addStretch(1)
        across = QHBoxLayout(body)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(COLUMN_GAP)
        across.addLayout(left, 4)
        across.addLayout(right, 5)

    def _fill(self) -> None:
        shop = self._original
        self.name.set_value(shop.name)
        self.altitude.set_value(shop.altitude_m)
        self.dry_share.set_value(shop.dry_share)
        self.certainty.set_value(shop.safe_quantile)
        self.sound.setChecked(shop.sound)

    @Slot()
    def save(self) -> None:
        """Keep the settings; what cannot be kept stays as it was typed."""
        if not self.all_right(
            (self.name, self.zone, self.altitude, self.dry_share, self.certainty)
        ):
            return
        if self.session.attempt(self._keep):
            self.accept()

    def _keep(self) -> bool:
        now, shop = self.session.now(), self._filled()
        self._standing.check(now)
        if shop != self._original:
            self.session.opened.amend(shop, now)
        return True

    def _filled(self) -> Shop:
        shop = self._original
        return replace(
            shop,
            name=self.name.value(),
            zone=self.zone.value(),
            altitude_m=self.altitude.required(),
            dry_share=self.dry_share.required(),
            safe_quantile=self.certainty.required(),
            sound=self.sound.isChecked(),
            units=self.units.plain() if self.units.changed else dict(shop.units),
        )
