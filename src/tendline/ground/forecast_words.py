"""Owns making out a forecast that a person types in: ``6 in tonight, 20 to 34 F``.

Does not own what is checked of any forecast (`forecast_checks`).

Clauses are parted by semicolons, what stands in one by commas. A clause speaks of one stretch of time:
``today``, ``tonight`` (when it names none), ``tomorrow`` or ``tomorrow night``.
"""

import math
import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tendline.core.errors import FaultList
from tendline.core.forecast import NOTHING, Between, Forecast, Step
from tendline.core.when import Span, local_day
from tendline.ground.faults import FORECAST_GAP, FORECAST_UNIT, FORECAST_VALUE, FORECAST_WORDS
from tendline.ground.forecast_checks import UNITS, check_value
from tendline.ground.wording import short

WHERE = "--words"
COLDEST_H, WARMEST_H = 6, 15
"""Local hours of the lowest and the highest temperature of a day (common practice, no source)."""

STEP = timedelta(hours=3)

_NUM = r"(\d+(?:\.\d+)?|\.\d+)"
_SIGNED = r"([+-]?(?:\d+(?:\.\d+)?|\.\d+))"
_WHEN = re.compile(r"\b(tomorrow night|tomorrow|tonight|today)\b:?")
_AIR = re.compile(rf"(?:air |temperature )?{_SIGNED}(?: to {_SIGNED})? ?(?:°|deg(?:rees)? ?)?([a-z]*)")
_FALL = re.compile(
    rf"(?:(snow|rain) )?{_NUM}(?: to {_NUM}|-{_NUM})? ?(in|inch|inches|\"|cm|mm)(?: of)?(?: (snow|rain))?"
)
_WIND = re.compile(rf"winds? {_NUM}(?: to {_NUM})? ?(mph|km/h|kmh|kt|m/s|[a-z/]*)")
_DRY = ("dry", "no snow", "no rain", "clear")
_DEPTH = {"inch": "in", "inches": "in", '"': "in"}
_SPEED = {"km/h": "kmh", "m/s": "ms"}
_ORDER = ("today", "tonight", "tomorrow", "tomorrow night")


@dataclass
class _Clause:
    """What one clause says."""

    when: str
    air: Between | None = None
    snow_mm: Between | None = None
    rain_mm: Between | None = None
    wind: Between | None = None


def read_words(text: str, *, zone: ZoneInfo, now: datetime, faults: FaultList) -> Forecast | None:
    """Make out a typed-in forecast.

    Parameters
    ----------
    text
        ``6 to 10 in tonight, 20 to 34 F, wind 15 mph; tomorrow rain 0.3 in, 30 to 40 F``. Units are never
        guessed; a depth without a word is snow.
    zone
        Whose tonight.
    now
        The present.
    faults
        Takes GND-703, GND-705, GND-708 and GND-709.

    Returns
    -------
    Forecast or None
        In steps of three hours, the air going between its bounds once a day, coldest at six, warmest at three
        in the afternoon. After ``tonight`` it goes on dry, in the same air, until tomorrow evening, for the
        high of a night comes by day. None when faults were found.
    """
    before = len(faults.found)
    clauses = [_clause(part, faults) for part in text.lower().split(";") if part.strip()]
    if not clauses:
        faults.add(FORECAST_WORDS, "there are no words.", WHERE, _DO)
    if not any(clause.air for clause in clauses) and len(faults.found) == before:
        faults.add(FORECAST_WORDS, "no temperature is told.", WHERE, "Add one, such as 20 to 34 F.")
    if len(faults.found) > before:
        return None
    steps = _steps(clauses, zone=zone, now=now, faults=faults)
    if len(faults.found) > before:
        return None
    notes = ("typed in by hand; the air is drawn through the day between its bounds",)
    return Forecast(f"typed in: {short(text, 100)}", tuple(steps), notes=notes)


_DO = "Write it like: 6 in tonight, 20 to 34 F, wind 15 mph; tomorrow rain 0.3 in, 30 to 40 F."


def _clause(part: str, faults: FaultList) -> _Clause:
    found = _WHEN.search(part)
    clause = _Clause(found[1] if found else "tonight")
    for item in _WHEN.sub(" ", part).split(","):
        words = " ".join(item.split())
        if words and words not in _DRY:
            _item(words, clause, faults)
    return clause


def _item(words: str, clause: _Clause, faults: FaultList) -> None:
    if found := _WIND.fullmatch(words):
        unit = _SPEED.get(found[3], found[3])
        clause.wind = _read("wind", (found[1], found[2]), unit, words=words, faults=faults)
    elif found := _FALL.fullmatch(words):
        unit = _DEPTH.get(found[5], found[5])
        kind = "precip" if "rain" in (found[1], found[6]) else "snow"
        value = _read(kind, (found[2], found[3] or found[4]), unit, words=words, faults=faults)
        if kind == "precip":
            clause.rain_mm = value
        else:
            clause.snow_mm = value
    elif re.match(r"(?:snow |rain )?-\d", words) and re.search(r"(in|inch|inches|cm|mm)\b", words):
        what = f"'{short(words)}' cannot be right: less than nothing falls."
        faults.add(FORECAST_VALUE, what, WHERE, "Give 0 or more.")
    elif found := _AIR.fullmatch(words):
        clause.air = _read("temp", (found[1], found[2]), found[3], words=words, faults=faults)
    else:
        faults.add(FORECAST_WORDS, f"'{short(words)}' cannot be made out.", WHERE, _DO)


def _read(
    kind: str, ends: tuple[str, str | None], unit: str, *, words: str, faults: FaultList
) -> Between | None:
    low, high = ends
    convert = UNITS[kind].get(unit)
    if convert is None:
        what = f"'{short(words)}' has no unit that is known here."
        known = "F or C" if kind == "temp" else ", ".join(UNITS[kind])
        faults.add(FORECAST_UNIT, what, WHERE, f"Write the unit behind it: {known}.")
        return None
    first, last = convert(float(low)), convert(float(high if high is not None else low))
    values = [check_value(kind, value, told=words, where=WHERE, faults=faults) for value in (first, last)]
    if None in values:
        return None
    return Between(min(first, last), max(first, last))


def _steps(clauses: list[_Clause], *, zone: ZoneInfo, now: datetime, faults: FaultList) -> list[Step]:
    by_when = {clause.when: clause for clause in clauses}
    if len(by_when) < len(clauses):
        what = "two clauses speak of the same time."
        faults.add(FORECAST_GAP, what, WHERE, "Put what belongs together into one clause.")
    told = [when for when in _ORDER if when in by_when]
    first, last = _ORDER.index(told[0]), _ORDER.index(told[-1])
    if missing := [when for when in _ORDER[first : last + 1] if when not in by_when]:
        what = f"nothing is told of {' and '.join(missing)}, between {told[0]} and {told[-1]}."
        faults.add(FORECAST_GAP, what, WHERE, "Say what it brings, or that it stays dry.")
    if told[0] in ("tomorrow", "tomorrow night"):
        what = f"it begins with {told[0]} and says nothing of tonight."
        faults.add(FORECAST_GAP, what, WHERE, "Begin with tonight, if only to say that it stays dry.")
    if told[-1] == "tonight":
        by_when["tomorrow"] = _Clause("tomorrow", wind=by_when["tonight"].wind)
    air = next(clause.air for clause in clauses if clause.air)
    steps: list[Step] = []
    for when in _ORDER:
        clause = by_when.get(when)
        if clause is not None:
            air = clause.air or air
            steps += _of_clause(
                clause, air, _stretch(when, zone, now), begin=now if not steps else None, zone=zone
            )
    return steps


def _stretch(when: str, zone: ZoneInfo, now: datetime) -> Span:
    """Give the stretch that a word means: days from 06:00 to 18:00, nights from 18:00 to 06:00."""
    local = now.astimezone(zone)
    today = local_day(now, zone) - timedelta(days=1 if local.hour < COLDEST_H else 0)

    def at(day: date, hour: int) -> datetime:
        return datetime.combine(day, time(hour), tzinfo=zone).astimezone(_UTC)

    tomorrow = today + timedelta(days=1)
    found = {
        "today": Span(at(today, 6), at(today, 18)),
        "tonight": Span(at(today, 18), at(tomorrow, 6)),
        "tomorrow": Span(at(tomorrow, 6), at(tomorrow, 18)),
        "tomorrow night": Span(at(tomorrow, 18), at(tomorrow + timedelta(days=1), 6)),
    }[when]
    return Span(max(found.start, now), found.end) if found.end > now else Span(now, now + STEP)


_UTC = ZoneInfo("UTC")


def _of_clause(
    clause: _Clause, air: Between, span: Span, *, begin: datetime | None, zone: ZoneInfo
) -> list[Step]:
    """Cut a clause into steps; the hours before it, where it is the first, are dry."""
    steps = [_dry(s, air, clause.wind, zone) for s in _cut(begin, span.start)] if begin else []
    pieces = _cut(span.start, span.end)
    for piece in pieces:
        share = piece.seconds / span.seconds
        snow = clause.snow_mm.times(share * 0.001) if clause.snow_mm else None
        rain = clause.rain_mm.times(share) if clause.rain_mm else None
        dry = snow is None and rain is None
        steps.append(Step(piece, _at_hour(air, piece, zone), NOTHING if dry else rain, snow, clause.wind))
    return steps


def _dry(span: Span, air: Between, wind: Between | None, zone: ZoneInfo) -> Step:
    return Step(span, _at_hour(air, span, zone), NOTHING, None, wind)


def _cut(start: datetime, end: datetime) -> list[Span]:
    pieces, at = [], start
    while at < end:
        following = min(at + STEP, end)
        pieces.append(Span(at, following))
        at = following
    return pieces


def _at_hour(air: Between, span: Span, zone: ZoneInfo) -> Between:
    """Give the air in the middle of a step: between its bounds, once a day."""
    local = (span.start + (span.end - span.start) / 2).astimezone(zone)
    hour = local.hour + local.minute / 60.0
    rising = WARMEST_H - COLDEST_H
    since = (hour - COLDEST_H) % 24.0
    phase = since / rising if since <= rising else 1.0 + (since - rising) / (24.0 - rising)
    value = air.middle - (air.high - air.low) / 2.0 * math.cos(math.pi * phase)
    return Between(value, value)
