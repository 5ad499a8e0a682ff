"""What the names above a logger's columns say: which is which, and in what unit."""

from __future__ import annotations

import re
from enum import Enum

from shellcoat.feeds.wall_times import plain, read_offset


class TempUnit(Enum):
    """Unit of a temperature column."""

    CELSIUS = "°C"
    FAHRENHEIT = "°F"
    KELVIN = "K"


class HumidityUnit(Enum):
    """Unit of a humidity column."""

    PERCENT = "%"
    FRACTION = "fraction"


# Words of logger exports in several languages, without accents; common practice, from memory.
TEMP_WORDS = re.compile(
    r"temp|\bt\d?\b|\btmp\b|\bta\b|\bt ?air\b|\bair ?t\b|celsius|fahrenheit|teplot|lampotil|"
    r"homerseklet|\btc\b|температ"
)
NOT_AIR_TEMP = re.compile(
    r"dew|taupunkt|rocio|rosee|rugiada|dauw|dagg|dugg|dugpunkt|orvalho|\bwet\b|feuchtkugel|"
    r"bulbo|heat ?index|feels|apparent|set ?point|\bsoll|target|batter|\bcpu\b|board|\bdp\b|"
    r"\btd\b|\btw\b|wax|slurry|water|humid|alarm"
)
HUMIDITY_WORDS = re.compile(
    r"\brh\d*\b|\brel\.? ?h|humid|humed|umid|feuchte|feuchtigkeit|\br\.? ?[fh]\b|fukt|fugt|vocht|"
    r"kosteus|wilgotn|vlhkos|\bhr\b|\bur\b|\bhum\b|\bh\b|paratart|влажн"
)
NOT_RELATIVE = re.compile(
    r"ratio|\babs|specif|mixing|g ?/ ?m|g ?/ ?kg|\bdew|soil|set ?point|\bsoll|target|enthalp|"
    r"material|wood|alarm|batter|\btime\b|\bzeit\b|hour"
)
LESS_LIKELY = re.compile(
    r"\bmin\b|\bmax\b|extern|\bext\b|probe|surface|\bout\b|outdoor|outside|"
    r"aussen|(?<!\d)[2-9]\b"
)
PERCENT = re.compile(r"%|\bpct\b|percent|prozent")
TEMP_UNIT = re.compile(
    r"(?:[°\ufffd?]\s*|\bdeg(?:rees?)?\.?[\s_]*|\bgrad\s+)([cfk])\b|(celsius|fahrenheit|kelvin)|"
    r"[\[(/,_\s]([cfk])[\])\s]*$"
)
FRACTION = re.compile(r"fraction|anteil|\b0 ?(?:-|\.\.|to) ?1\b|\(1\)|\[1\]|\[-\]")
UNITS = {"c": TempUnit.CELSIUS, "f": TempUnit.FAHRENHEIT, "k": TempUnit.KELVIN}
UTC_OFFSET = re.compile(r"\b(?:UTC|GMT)\s*([+\u2212-]\s?\d{1,2}(?::?\d{2})?)?", re.IGNORECASE)


def words(label: str) -> str:
    """A label ready for comparing: words apart, lower case, no accents."""
    apart = re.sub(r"(?<=[a-z])(?=[A-Z])|_", " ", label.replace("º", "°").replace("˚", "°"))
    return plain(apart)


def temp_rank(label: str) -> int:
    """How much a label speaks for the temperature of the air: 0 not at all, 3 plainly."""
    text = words(label)
    if NOT_AIR_TEMP.search(text):
        return 0
    if TEMP_WORDS.search(text):
        return 2 if LESS_LIKELY.search(text) else 3
    return 1 if unit_of_temp(label) is not None and not HUMIDITY_WORDS.search(text) else 0


def humidity_rank(label: str) -> int:
    """How much a label speaks for relative humidity: 0 not at all, 3 plainly."""
    text = words(label)
    if NOT_RELATIVE.search(text) or "kugel" in text:
        return 0
    if HUMIDITY_WORDS.search(text):
        return 2 if LESS_LIKELY.search(text) else 3
    return 1 if PERCENT.search(text) else 0


def unit_of_temp(label: str) -> TempUnit | None:
    """The temperature unit a label names."""
    match = TEMP_UNIT.search(words(label))
    if match is None:
        return None
    return UNITS[next(found for found in match.groups() if found)[0]]


def unit_of_humidity(label: str) -> HumidityUnit | None:
    """The humidity unit a label names."""
    text = words(label)
    if PERCENT.search(text):
        return HumidityUnit.PERCENT
    return HumidityUnit.FRACTION if FRACTION.search(text) else None


def offset_of(label: str) -> int | None:
    """Minutes east of UTC a label names, as in "Date Time, GMT+01:00"."""
    match = UTC_OFFSET.search(label)
    if match is None:
        return None
    try:
        return read_offset(match[1].replace(" ", "")) if match[1] else 0
    except ValueError:
        return None
