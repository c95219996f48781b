"""Owns reading a forecast out of a plain table: a row for each stretch of time, units in the header.

Does not own text and separators (`sheet`) or what is checked of any forecast (`forecast_checks`).
"""

import math
import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from itertools import pairwise, product
from statistics import median_low
from zoneinfo import ZoneInfo

from tendline.core.errors import FaultList, Refused
from tendline.core.forecast import Between, Forecast, Step
from tendline.core.place import LonLat
from tendline.core.when import Span, clock_text, parse_instant
from tendline.ground.faults import (
    FORECAST_GAP,
    FORECAST_LACKS,
    FORECAST_TIME,
    FORECAST_VALUE,
    FORECAST_ZONE,
)
from tendline.ground.forecast_checks import UNITS, check_value, unit_fault
from tendline.ground.sheet import Row, columns_of, read_sheet
from tendline.ground.wording import short

_ENDS = ("", "_low", "_high")
COLUMNS = (
    "time",
    "hours",
    "lon",
    "lat",
    "elevation_m",
    "elevation_ft",
    *(f"{kind}{end}_{unit}" for kind, units in UNITS.items() for end, unit in product(_ENDS, units)),
)
"""Every column that a table of weather may have: ``temp_f``, ``snow_low_in``, ``wind_kmh`` and so on."""

_MEASURE = re.compile(r"(temp|precip|snow|wind)(_low|_high)?(?:_(\w+))?")
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)")
_UNEVEN = 1.5
"""A step this much longer than the usual one is a gap."""


def read_weather_table(
    data: bytes, *, file_name: str, zone: ZoneInfo, now: datetime, faults: FaultList
) -> Forecast | None:
    """Read a table of weather.

    Parameters
    ----------
    data
        The file: UTF-8, a header, a row for each stretch of time. A row holds from its time until the next
        row; the last as long as they usually do, or as long as the column `hours` says. Amounts are what
        falls in that stretch.
    file_name
        Its name, for messages.
    zone
        The zone of times without an offset.
    now
        The present.
    faults
        Takes GND-302 to GND-304, GND-702, GND-703, GND-705, GND-706, GND-708, GND-710.

    Returns
    -------
    Forecast or None
        None when faults were found.

    Raises
    ------
    Refused
        GND-004, GND-301, GND-305.
    """
    before = len(faults.found)
    odd = [name for name in columns_of(data) if name not in COLUMNS and _MEASURE.fullmatch(name)]
    sheet = read_sheet(data, file_name=file_name, known=COLUMNS, aliases={}, let_pass=odd, faults=faults)
    for name in odd:
        found = _MEASURE.fullmatch(name)
        assert found is not None
        unit_fault(found[1], found[3] or "", where=f"{file_name}, column {name}", faults=faults)
    _check_columns(sheet.columns, file_name=file_name, faults=faults)
    times = [_time(row, file_name=file_name, zone=zone, now=now, faults=faults) for row in sheet.rows]
    if len(faults.found) > before:
        return None
    spans = _spans(
        [t for t in times if t is not None], sheet.rows, file_name=file_name, zone=zone, faults=faults
    )
    if len(faults.found) > before:
        return None
    rows = [_step(row, span, file_name, faults) for row, span in zip(sheet.rows, spans, strict=True)]
    steps = tuple(step for step in rows if step is not None)
    place, elevation = _where(sheet.rows[0], file_name, faults)
    if len(faults.found) > before:
        return None
    notes = () if any(step.water_mm for step in steps) else ("it tells snow alone: rain is not counted",)
    return Forecast(f"table of weather, {file_name}", steps, place=place, elevation_m=elevation, notes=notes)


def _check_columns(columns: tuple[str, ...], *, file_name: str, faults: FaultList) -> None:
    kinds = {found[1] for name in columns if (found := _MEASURE.fullmatch(name))}
    for lacking, name in ((not {"temp"} & kinds, "temp_f or temp_c"), ("time" not in columns, "time")):
        if lacking:
            do = f"Add a column {name}."
            faults.add(FORECAST_LACKS, f"there is no column {name}.", f"{file_name}, row 1", do)
    if not {"precip", "snow"} & kinds:
        do = "Add precip_in, precip_mm, snow_in or snow_cm; write 0 where nothing falls."
        faults.add(FORECAST_LACKS, "no column tells what falls.", f"{file_name}, row 1", do)


def _time(row: Row, *, file_name: str, zone: ZoneInfo, now: datetime, faults: FaultList) -> datetime | None:
    where, text = f"{file_name}, row {row.number}, column time", row.cells.get("time", "")
    if not re.match(r"\d{4}-\d{2}-\d{2}[T ]\d{1,2}:\d{2}", text):
        do = "Write day and clock: 2027-01-15 06:00, or 2027-01-15T06:00-05:00."
        faults.add(FORECAST_TIME, f"'{short(text)}' is no time of a forecast.", where, do)
        return None
    try:
        instant = parse_instant(text, zone=zone, now=now, where=where)
    except Refused as refused:
        faults.extend(refused.faults)
        return None
    told = datetime.fromisoformat(text).utcoffset()
    if told and told != instant.astimezone(zone).utcoffset():
        what = f"'{short(text)}' is in another zone; the line is in {zone.key}."
        do = "Save it in the line's zone or in UTC. If you mean that instant, write it so."
        faults.add(FORECAST_ZONE, what, where, do)
        return None
    return instant.astimezone(UTC)


def _spans(
    times: list[datetime], rows: tuple[Row, ...], *, file_name: str, zone: ZoneInfo, faults: FaultList
) -> list[Span]:
    told = [_hours(row, file_name, faults) for row in rows]
    if not times or (len(times) == 1 and told[0] is None):
        do = "Give it two rows at least, or a column hours."
        faults.add(FORECAST_LACKS, "how long its rows hold cannot be told.", file_name, do)
        return []
    lengths = [b - a for a, b in pairwise(times)]
    forward = [x.total_seconds() for x in lengths if x > timedelta(0)]
    usual = timedelta(seconds=median_low(forward)) if forward else timedelta(0)
    lengths.append(usual)
    spans = []
    for row, start, length, hours in zip(rows, times, lengths, told, strict=True):
        last, own = row is rows[-1], timedelta(hours=hours) if hours is not None else None
        broken = length <= timedelta(0) or (own != length if own else length > _UNEVEN * usual)
        if broken and not (last and own):
            what = f"after {clock_text(start, zone)} comes a gap, or a time that is not later."
            do = "Give a row for every stretch, one following on the other."
            faults.add(FORECAST_GAP, what, f"{file_name}, row {row.number}", do)
            continue
        spans.append(Span(start, start + (own or length)))
    return spans


def _hours(row: Row, file_name: str, faults: FaultList) -> float | None:
    text = row.cells.get("hours", "")
    if not text:
        return None
    value = float(text) if _NUMBER.fullmatch(text) else math.nan
    if 0.0 < value <= 48.0:
        return value
    where = f"{file_name}, row {row.number}, column hours"
    faults.add(FORECAST_VALUE, f"'{short(text)}' is no number of hours.", where, "Give 1 to 48.")
    return None


def _step(row: Row, span: Span, file_name: str, faults: FaultList) -> Step | None:
    found = {kind: _between(kind, row, file_name, faults) for kind in UNITS}
    air, snow = found["temp"], found["snow"]
    if air is None:
        where = f"{file_name}, row {row.number}"
        faults.add(FORECAST_LACKS, "the row tells no air temperature.", where, "Fill it in.")
        return None
    return Step(span, air, found["precip"], snow.times(0.001) if snow else None, found["wind"])


def _between(kind: str, row: Row, file_name: str, faults: FaultList) -> Between | None:
    """Read one kind of value of a row: a single number, or a low and a high one."""
    values: dict[str, float] = {}
    for name, text in row.cells.items():
        found = _MEASURE.fullmatch(name)
        if found is None or found[1] != kind or not text:
            continue
        where = f"{file_name}, row {row.number}, column {name}"
        if not _NUMBER.fullmatch(text):
            faults.add(FORECAST_VALUE, f"'{short(text)}' is not a number.", where, "Write a plain number.")
            continue
        value = UNITS[kind][found[3]](float(text))
        checked = check_value(kind, value, told=text, where=where, faults=faults)
        if checked is not None:
            values[found[2] or ""] = checked
    return _bounds(values, where=f"{file_name}, row {row.number}, {kind}", faults=faults)


def _bounds(values: Mapping[str, float], *, where: str, faults: FaultList) -> Between | None:
    if not values:
        return None
    one = values.get("", next(iter(values.values())))
    low, high = values.get("_low", one), values.get("_high", one)
    if low <= one <= high or (low <= high and "" not in values):
        return Between(low, high)
    faults.add(FORECAST_VALUE, "its low value is above its high one.", where, "Put them the right way round.")
    return None


def _where(row: Row, file_name: str, faults: FaultList) -> tuple[LonLat | None, float | None]:
    numbers: dict[str, float] = {}
    for name in ("lon", "lat", "elevation_m", "elevation_ft"):
        text = row.cells.get(name, "")
        if text and _NUMBER.fullmatch(text):
            numbers[name] = float(text)
        elif text:
            what = f"'{short(text)}' is not a number."
            where = f"{file_name}, row {row.number}, column {name}"
            faults.add(FORECAST_VALUE, what, where, "Write a plain number.")
    elevation = numbers.get("elevation_m")
    if elevation is None and "elevation_ft" in numbers:
        elevation = 0.3048 * numbers["elevation_ft"]
    if {"lon", "lat"} <= numbers.keys():
        try:
            return LonLat(numbers["lon"], numbers["lat"]), elevation
        except Refused as refused:
            faults.extend(refused.faults)
    return None, elevation
