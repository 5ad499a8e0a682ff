"""Logger files made for the tests, in the dialects that logger programs write."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
START = datetime(2015, 2, 9, 17, 51, tzinfo=UTC)


@dataclass(frozen=True)
class Reading:
    """A reading as a person would note it down: wall time (taken as UTC), °C, % humidity."""

    at: datetime
    temp_c: float
    percent: float

    @property
    def at_ms(self) -> int:
        """The time in milliseconds since 1970."""
        return (self.at - EPOCH) // timedelta(milliseconds=1)


def clock_12(at: datetime, *, seconds: bool = True) -> str:
    """A time of day with AM or PM and no leading zero."""
    half = "AM" if at.hour < 12 else "PM"
    tail = f":{at.second:02}" if seconds else ""
    return f"{at.hour % 12 or 12}:{at.minute:02}{tail} {half}"


def us_bare(at: datetime) -> str:
    return f"{at.month}/{at.day}/{at.year} {clock_12(at)}"


def us_padded(at: datetime) -> str:
    return at.strftime("%m/%d/%Y %I:%M:%S %p")


def named_month(at: datetime) -> str:
    return f"{at.day:02}-{MONTHS[at.month - 1]}-{at.year} {at:%H:%M:%S}"


def unix(at: datetime) -> str:
    return str(int(at.timestamp()))


def iso(at: datetime) -> str:
    return at.strftime("%Y-%m-%d %H:%M:%S")


def formatted(pattern: str) -> Callable[[datetime], str]:
    return lambda at: at.strftime(pattern)


@dataclass(frozen=True)
class Dialect:
    """One way to write a logger file; `moment` gives the time's cells."""

    name: str
    moment: Callable[[datetime], str | tuple[str, ...]] = iso
    header: Sequence[str] | None = ("Time", "Temperature (°C)", "Humidity (%)")
    delimiter: str = ","
    decimal: str = "."
    encoding: str = "utf-8"
    before: Sequence[str] = ()
    units: Sequence[str] | None = None
    lead: Callable[[int], tuple[str, ...]] = lambda row: ()
    between: Sequence[str] = ()
    tail: Sequence[str] = ()
    quoted: bool = False
    quoted_header: bool = False
    line_end: str = "\n"
    blank_every: int = 0
    fahrenheit: bool = False
    fraction: bool = False
    suffixes: tuple[str, str] = ("", "")
    humidity_first: bool = False
    no_last_end: bool = False

    def text(self, readings: Sequence[Reading]) -> str:
        lines = list(self.before)
        if self.header is not None:
            lines.append(self._line(self.header, self.quoted or self.quoted_header))
        if self.units is not None:
            lines.append(self._line(self.units, self.quoted))
        for number, reading in enumerate(readings, start=1):
            lines.append(self._line(self._cells(number, reading), self.quoted))
            if self.blank_every and number % self.blank_every == 0:
                lines.append("")
        return self.line_end.join(lines) + ("" if self.no_last_end else self.line_end)

    def data(self, readings: Sequence[Reading]) -> bytes:
        return self.text(readings).encode(self.encoding)

    def _cells(self, number: int, reading: Reading) -> list[str]:
        moment = self.moment(reading.at)
        times = (moment,) if isinstance(moment, str) else moment
        temp = repr(reading.temp_c * 1.8 + 32 if self.fahrenheit else reading.temp_c)
        humidity = repr(reading.percent / 100 if self.fraction else reading.percent)
        values = [temp + self.suffixes[0], humidity + self.suffixes[1]]
        if self.humidity_first:
            values.reverse()
        cells = [*values[:1], *self.between, *values[1:], *self.tail]
        shown = [cell.replace(".", self.decimal) for cell in cells]
        return [*self.lead(number), *times, *shown]

    def _line(self, cells: Sequence[str], quoted: bool) -> str:
        return self.delimiter.join(f'"{cell}"' if quoted else cell for cell in cells)


GERMAN = ("Datum/Uhrzeit", "Temperatur [°C]", "rel. Feuchte [%]")

DIALECTS = (
    Dialect("plain comma"),
    Dialect("semicolon", delimiter=";"),
    Dialect("tab", delimiter="\t"),
    Dialect("upright stroke", delimiter="|"),
    Dialect(
        "german, comma decimals",
        formatted("%d.%m.%Y %H:%M:%S"),
        GERMAN,
        delimiter=";",
        decimal=",",
    ),
    Dialect(
        "german in cp1252 with CRLF",
        formatted("%d.%m.%Y %H:%M"),
        GERMAN,
        delimiter=";",
        decimal=",",
        encoding="cp1252",
        line_end="\r\n",
    ),
    Dialect("everything quoted", quoted=True),
    Dialect("quoted comma decimals", decimal=",", quoted=True),
    Dialect("utf-8 with mark", encoding="utf-8-sig"),
    Dialect("utf-16 with mark", delimiter="\t", encoding="utf-16"),
    Dialect("utf-16 without mark", encoding="utf-16-le", line_end="\r\n"),
    Dialect("utf-16 big-endian without mark", encoding="utf-16-be"),
    Dialect("old line ends", line_end="\r"),
    Dialect("american, padded", us_padded, ("Date Time", "Temp, °C", "RH, %"), quoted=True),
    Dialect(
        "american, bare, in Fahrenheit",
        us_bare,
        ("Date", "Temp (F)", "RH (%)"),
        fahrenheit=True,
    ),
    Dialect("day first with strokes", formatted("%d/%m/%Y %H:%M:%S"), ("Fecha", "T °C", "HR %")),
    Dialect("two-figure year", formatted("%d.%m.%y %H:%M:%S")),
    Dialect("iso with T", formatted("%Y-%m-%dT%H:%M:%S")),
    Dialect("iso with T and Z", formatted("%Y-%m-%dT%H:%M:%SZ")),
    Dialect("iso with milliseconds", formatted("%Y-%m-%dT%H:%M:%S.000Z")),
    Dialect("iso with offset", formatted("%Y-%m-%dT%H:%M:%S+00:00")),
    Dialect("iso without dashes", formatted("%Y%m%dT%H%M%SZ")),
    Dialect("named month", named_month),
    Dialect("unix seconds", unix, ("timestamp", "temp_c", "rh")),
    Dialect("unix milliseconds", lambda at: unix(at) + "000", ("epoch ms", "T (°C)", "RH")),
    Dialect(
        "date and clock apart",
        lambda at: (at.strftime("%d/%m/%Y"), at.strftime("%H:%M:%S")),
        ("Date", "Time", "Temp(°C)", "Humidity(%rh)"),
    ),
    Dialect(
        "clock before date",
        lambda at: (at.strftime("%H:%M:%S"), at.strftime("%Y-%m-%d")),
        ("Time", "Date", "Temp(°C)", "Humidity(%rh)"),
    ),
    Dialect(
        "date and 12-hour clock apart",
        lambda at: (at.strftime("%Y/%m/%d"), clock_12(at)),
        ("Date", "Time", "Temp(°C)", "Humidity(%rh)"),
    ),
    Dialect(
        "dates with a midnight, clock apart",
        lambda at: (at.strftime("%d.%m.%Y 00:00:00"), at.strftime("%H:%M:%S")),
        ("Datum", "Uhrzeit", "Temp °C", "Feuchte %"),
        delimiter=";",
    ),
    Dialect(
        "names with line ends",
        header=("Time", "Temp\n(°C)", "RH\n(%)"),
        quoted_header=True,
    ),
    Dialect(
        "header one short",
        lead=lambda row: (str(row),),
        quoted_header=True,
    ),
    Dialect(
        "numbered rows with preamble",
        header=("No.", "Time", "Temperature", "Humidity"),
        lead=lambda row: (str(row),),
        before=("Serial: 00417", "Start;2015-02-01 00:00:00;5", "", "# exported"),
        units=("", "", "°C", "%RH"),
    ),
    Dialect(
        "dew point and second channel",
        header=(
            "Time",
            "Dew point (°C)",
            "Temperature 2 (°C)",
            "Temperature (°C)",
            "Absolute humidity (g/m3)",
            "Humidity (%)",
            "Humidity 2 (%)",
            "Humidity ratio",
            "Battery (V)",
        ),
        moment=lambda at: (at.strftime("%Y-%m-%d %H:%M:%S"), "9.5", "30.5"),
        between=("12.5",),
        tail=("33.0", "0.007", "3.1"),
    ),
    Dialect("trailing delimiter", tail=("",)),
    Dialect(
        "trailing delimiter in header too",
        header=("Time", "Temp °C", "RH %", ""),
        delimiter=";",
        decimal=",",
        tail=("",),
    ),
    Dialect("empty lines", blank_every=2, line_end="\r\n"),
    Dialect("doubled line ends", line_end="\r\r\n"),
    Dialect("comment header", header=("# Time", "Temp_degC", "RH_percent")),
    Dialect("humidity first", header=("Time", "RH", "Temp"), humidity_first=True),
    Dialect("fraction", header=("Time", "T_air", "RH"), fraction=True),
    Dialect("units in the cells", header=("Time", "Temp", "Hum"), suffixes=(" °C", " %")),
    Dialect("spaces after commas", delimiter=", ", no_last_end=True),
    Dialect("spanish", header=("Fecha y hora", "Temperatura (°C)", "Humedad relativa (%)")),
    Dialect("french in cp1252", header=("Horodatage", "Température °C", "Humidité %"),
            encoding="cp1252", delimiter=";", decimal=","),
    Dialect("degree sign of code page 850", formatted("%d.%m.%Y %H:%M:%S"), GERMAN,
            delimiter=";", encoding="cp850"),
    Dialect("percent rF", formatted("%d.%m.%Y %H:%M:%S"), ("Zeit", "°C", "% rF"), delimiter=";"),
    Dialect("short names", header=("t_stamp", "T", "H")),
)  # fmt: skip


def some_readings(count: int = 40, start: datetime = START) -> list[Reading]:
    """Readings every 17 minutes, over a few midnights' worth of plain shop air."""
    return [
        Reading(start + timedelta(minutes=17 * i), 18.25 + (i % 7) * 0.5, 41.5 + (i % 11) * 0.25)
        for i in range(count)
    ]
