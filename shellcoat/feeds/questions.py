"""The questions a logger file can leave open, with their answers."""

from __future__ import annotations

from collections.abc import Sequence

from shellcoat.feeds.columns import HumidityUnit, TempUnit
from shellcoat.feeds.shape import Choice, Question
from shellcoat.feeds.table import Table
from shellcoat.feeds.wall_times import DateOrder
from shellcoat.feeds.wording import column_words

FIELDS = {"temperature": "temp_column", "humidity": "humidity_column"}


def ask_for_date_order(orders: Sequence[DateOrder]) -> Question:
    """Ask what no date in the file tells: which number is the day."""
    return Question(
        "date_order",
        "In what order are the dates written?",
        tuple(Choice(order.value, order) for order in orders),
    )


def ask_for_column(table: Table, quantity: str, columns: Sequence[int]) -> Question:
    """Ask which column holds a quantity no name gives away."""
    choices = tuple(Choice(column_words(table.columns, i), i) for i in columns)
    return Question(FIELDS[quantity], f"Which column holds the {quantity}?", choices)


def ask_for_humidity_unit() -> Question:
    """Ask for the unit of humidities whose column is not known yet."""
    return Question(
        "humidity_unit",
        "In what unit is the humidity?",
        tuple(Choice(unit.value, unit) for unit in HumidityUnit),
    )


def ask_for_temp_unit() -> Question:
    """Ask for the unit of temperatures that could be shop air in more than one."""
    return Question(
        "temp_unit",
        "In what unit is the temperature?",
        tuple(Choice(unit.value, unit) for unit in TempUnit),
    )
