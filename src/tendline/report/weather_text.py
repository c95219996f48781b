"""Owns the outlook on the weather in words: what to do tonight, what tomorrow, by which set and why.

Does not own the outlook (`plan.spoil`), its JSON (`weather_json`) or how a table is drawn (`table`).
"""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from tendline.core.forecast import Between, Forecast
from tendline.core.settings import Settings
from tendline.core.units import Units, format_minutes, format_small
from tendline.core.when import clock_text
from tendline.plan.spoil_nouns import Act, Advice, BandDay, DayOutlook, Outlook, SetDay, SetOutlook
from tendline.report.due_text import INVENTED
from tendline.report.table import Column, draw_table, fold

NOT_MEASURED = "A forecast is not a measurement: measure loop and snow at the set, then alter, then note."

ICE_AT = 0.2
"""Chance of thaw or rain from which the ice is warned of (common practice, no source)."""

COVERED_AT = 0.2
"""Chance of snow over the loop from which its landmark matters (common practice, no source)."""

SHOWN = 8
"""So many names of sets are written out before the rest is counted."""

_DAYS = (
    Column("day"),
    Column("air"),
    Column("wind chill"),
    Column("new snow by then"),
    Column("to fix", right=True),
    Column("fixing", right=True),
    Column("cold", wrap=True),
)
_DO = (Column("set"), Column("do"), Column("by"), Column("why", wrap=True), Column("found by", wrap=True))
_LATER = (Column("do"), Column("sets", wrap=True), Column("why", wrap=True))
_CHANCE = re.compile(r" \(\d+ in 100\)")
_HEIGHTS = (
    Column("set"),
    Column("day"),
    Column("for", wrap=True),
    Column("height"),
    Column("low", right=True),
    Column("high", right=True),
    Column("snow there"),
    Column("in snow", right=True),
    Column("covered", right=True),
)


@dataclass(frozen=True)
class Told:
    """What a reader is told.

    Parameters
    ----------
    forecast, found
        What was read, and what it spoils.
    waters
        Names of what may carry ice.
    settings, now
        Whose line, and the present.
    """

    forecast: Forecast
    found: Outlook
    waters: tuple[str, ...]
    settings: Settings
    now: datetime


def weather_text(told: Told, *, width: int = 100, everything: bool = False) -> str:
    """Write the outlook for a terminal.

    Parameters
    ----------
    told
        What is told.
    width
        Of the terminal [characters].
    everything
        Heights of every set on every day; else only of those that need something, on the day they need it.
    """
    sets, units = told.found.sets, told.settings.units
    head = [INVENTED, ""] if told.settings.invented else []
    parts = [
        *head,
        *fold(_summary(told), width),
        *fold(_source(told), width),
        *fold(NOT_MEASURED, width),
        "",
        draw_table(_DAYS, [_day_cells(day, told) for day in told.found.days], width=width),
    ]
    tonight = [one for one in sets if one.advice.tonight]
    later = [one for one in sets if not one.advice.tonight and one.advice.act is not Act.LEAVE]
    parts += _do_table("Tonight:", tonight, units, width)
    parts += _later(later, width)
    parts += _heights(sets, units, width, everything=everything)
    said = [
        *_cold(told.found.days, units),
        *_also(sets),
        *_ice(told),
        *_unsure(sets),
        *_rules(sets),
        *_how(told),
    ]
    return "\n".join([*parts, "", *(line for sentence in said for line in fold(sentence, width))])


def _summary(told: Told) -> str:
    sets = told.found.sets
    count = {act: sum(one.advice.act is act for one in sets) for act in Act}
    words = [f"{number} to {act.value}" for act, number in count.items() if number]
    when = clock_text(told.now, told.settings.zone)
    return (
        f"{told.settings.name}, {when}: {len(sets)} sets in the field"
        + "".join(f", {w}" for w in words)
        + "."
    )


def _source(told: Told) -> str:
    forecast, zone = told.forecast, told.settings.zone
    made = f", made {clock_text(forecast.issued_at, zone)}" if forecast.issued_at else ""
    until = clock_text(forecast.span.end, zone)
    notes = "".join(f"; {note}" for note in forecast.notes)
    return f"Forecast: {forecast.source}{made}, until {until}{notes}."


def _day_cells(day: DayOutlook, told: Told) -> tuple[str, ...]:
    units = told.settings.units
    snows = [d.fallen_m for one in told.found.sets for d in one.days if d.day == day.day]
    fallen = Between(min(s.low for s in snows), max(s.high for s in snows)) if snows else None
    chill = _degrees(day.chill_c, units) if day.wind_told else f"{_degrees(day.chill_c, units)}, no wind told"
    return (
        f"{day.day:%a %d %b}",
        f"{_degrees(day.air_c.low, units)} to {_degrees(day.air_c.high, units)}",
        chill,
        "" if fallen is None else _lengths(fallen, units),
        f"{day.to_fix.low:.0f} to {day.to_fix.high:.0f}",
        f"{format_minutes(day.fix_s.low)} to {format_minutes(day.fix_s.high)}",
        "" if day.band is None else day.band.risk,
    )


def _do_table(title: str, sets: Sequence[SetOutlook], units: Units, width: int) -> list[str]:
    if not sets:
        return []
    rows = [
        (
            one.at_stake.name,
            one.advice.act.value,
            _by(one.advice, units),
            "; ".join(one.advice.why),
            _found_by(one),
        )
        for one in sets
    ]
    return ["", title, draw_table(_DO, rows, width=width)]


def _found_by(one: SetOutlook) -> str:
    """Name the landmark, and whether it will stand out of the snow, where the loop itself may not."""
    name = one.at_stake.landmark or "no landmark on record"
    day = next((day for day in one.days if day.day == one.advice.when), None)
    if day is None or (day.top_covered or 0.0) < COVERED_AT:
        return name
    if day.landmark_covered is None:
        return f"{name}; how high it stands is not noted"
    stands = "stands out of the snow" if day.landmark_covered < COVERED_AT else "may be under the snow"
    return f"{name}; {stands}"


def _later(sets: Sequence[SetOutlook], width: int) -> list[str]:
    """Write what is done tomorrow or later: sets with the same reason together, each by its name."""
    groups: dict[tuple[str, str], list[str]] = {}
    for one in sets:
        why = _CHANCE.sub("", "; ".join(one.advice.why))
        groups.setdefault((one.advice.act.value, why), []).append(one.at_stake.name)
    if not groups:
        return []
    rows = [(act, ", ".join(names), why) for (act, why), names in groups.items()]
    return ["", "Tomorrow, or by the day named:", draw_table(_LATER, rows, width=width)]


def _by(advice: Advice, units: Units) -> str:
    return "" if advice.by_m is None else _lengths(advice.by_m, units)


def _heights(sets: Sequence[SetOutlook], units: Units, width: int, *, everything: bool) -> list[str]:
    rows: list[tuple[str, ...]] = []
    for one in sets:
        for day in one.days:
            if everything or (one.advice.tonight and day.day == one.advice.when):
                rows += _height_rows(one, day, units)
    return ["", "Heights and chances, as forecast:", draw_table(_HEIGHTS, rows, width=width)] if rows else []


def _height_rows(one: SetOutlook, day: SetDay, units: Units) -> list[tuple[str, ...]]:
    bands = [*day.laws, *((day.animal,) if day.animal is not None else ())]
    rows: list[tuple[str, ...]] = []
    for k, band in enumerate(bands):
        first = k == 0
        rows.append(
            (
                one.at_stake.name if first else "",
                f"{day.day:%a}" if first else "",
                _for(band, walked=band is day.animal),
                _lengths(Between(band.low_m, band.high_m), units),
                _percent(band.wrong_low),
                _percent(band.wrong_high),
                _lengths(day.depth_m, units) if first else "",
                _percent(day.bottom_buried) if first else "",
                _percent(day.top_covered) if first else "",
            )
        )
    return rows


def _for(day: BandDay, *, walked: bool) -> str:
    band = day.band
    above = "what it walks on" if walked else str(band.base.value).replace("-", " ")
    return f"{band.who}, {band.point.value} above {above}"


def _also(sets: Sequence[SetOutlook]) -> list[str]:
    return [f"Also ({names}): {said}." for said, names in _by_words(sets, lambda one: one.also)]


def _ice(told: Told) -> list[str]:
    chance = max((max(day.thaw, day.rain) for day in told.found.days), default=0.0)
    if chance < ICE_AT:
        return ["Ice: a forecast says nothing of its thickness; stay off what you have not tested."]
    when = next(day for day in told.found.days if max(day.thaw, day.rain) >= ICE_AT)
    where = ", ".join(told.waters) or "no water is drawn on the ground of this line; you know where it is"
    likely = _percent(max(when.thaw, when.rain))
    what = "keep off the ice, and off fords and crossings that rise"
    return [f"Ice: thaw or rain from {when.day:%a} ({likely}): {what}: {where}."]


def _unsure(sets: Sequence[SetOutlook]) -> list[str]:
    return [f"Not sure ({names}): {said}." for said, names in _by_words(sets, lambda one: one.unsure)]


def _rules(sets: Sequence[SetOutlook]) -> list[str]:
    found: dict[str, None] = {}
    for one in sets:
        for band in (*one.at_stake.laws, *((one.at_stake.animal,) if one.at_stake.animal else ())):
            doubt = "" if band.verified else " Not verified."
            found[f"Rule {band.who}: {band.words}.{doubt}"] = None
    return list(found)


def _how(told: Told) -> list[str]:
    found = told.found
    return [
        f"Worked out {found.members} times, seed {found.seed}: snow, settling and melt varied.",
        "Ranges hold eight cases of ten; chances are shares of all, at any time of the day.",
        "A height for an animal counts as wrong two inches outside its table.",
        "Drifts, crusts and footprints overrule all of it.",
    ]


def _cold(days: Sequence[DayOutlook], units: Units) -> list[str]:
    said = [
        f"Cold: {day.day:%a}, wind chill {_degrees(day.chill_c, units)}: {day.band.risk}; {day.band.says}."
        for day in days
        if day.band is not None
    ]
    if said:
        said.append(
            "Wet, tired or alone it is worse: turn back early, and tell somebody when you will be out."
        )
    return said


def _by_words(
    sets: Sequence[SetOutlook], pick: Callable[[SetOutlook], Iterable[str]]
) -> list[tuple[str, str]]:
    seen: dict[str, list[str]] = {}
    for one in sets:
        for said in pick(one):
            seen.setdefault(said, []).append(one.at_stake.name)
    return [(said, _names(names, len(sets))) for said, names in seen.items()]


def _names(names: Sequence[str], total: int) -> str:
    if len(names) == total:
        return "all sets"
    more = f" and {len(names) - SHOWN} more" if len(names) > SHOWN else ""
    return ", ".join(names[:SHOWN]) + more


def _lengths(value: Between, units: Units) -> str:
    low, high = format_small(value.low, units), format_small(value.high, units)
    if low == high:
        return low
    return f"{low.rsplit(' ', 1)[0]} to {high}"


def _percent(chance: float | None) -> str:
    return "?" if chance is None else f"{100.0 * chance:.0f} %"


def _degrees(celsius: float, units: Units) -> str:
    return f"{1.8 * celsius + 32.0:.0f} F" if units is Units.US else f"{celsius:.0f} C"
