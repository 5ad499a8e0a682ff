"""Choosing in a combo box by what an entry stands for."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox


def choose(combo: QComboBox, value: object) -> None:
    """Choose the entry whose data equals `value`, or none.

    Qt's own search compares Python objects by identity, and two ids of one record are two
    objects.
    """
    for index in range(combo.count()):
        if combo.itemData(index) == value:
            combo.setCurrentIndex(index)
            return
    combo.setCurrentIndex(-1)
