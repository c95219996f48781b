"""Owns the outlook on the weather in words: what to do tonight, what tomorrow, by which set and why.

Does not own the outlook (`plan.spoil`), its JSON (`weather_json`) or how a table is drawn (`table`).
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from tendline.core.forecast import Between, Forecast
from tendline.core.settings import Settings
from tendline.core.units import Units, format_minutes
from tendline.core.when import clock_text
from tendline.plan.spoil_nouns import Act, DayOutlook, Outlook, SetOutlook
from tendline.report.say import INVENTED
from tendline.report.table import Column, draw_table, fold
from tendline.report.weather_tables import degrees, do_table, heights_table, later_table, lengths, percent

NOT_MEASURED = "A forecast is not a measurement: measure loop and snow at the set, then alter, then note."

ICE_AT = 0.2
"""Chance of thaw or rain from which the ice is warned of (common practice, no source)."""

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
    parts += do_table("Tonight:", tonight, units, width)
    parts += later_table(later, width)
    parts += heights_table(sets, units, width, everything=everything)
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
    chill = degrees(day.chill_c, units) if day.wind_told else f"{degrees(day.chill_c, units)}, no wind told"
    return (
        f"{day.day:%a %d %b}",
        f"{degrees(day.air_c.low, units)} to {degrees(day.air_c.high, units)}",
        chill,
        "" if fallen is None else lengths(fallen, units),
        f"{day.to_fix.low:.0f} to {day.to_fix.high:.0f}",
        f"{format_minutes(day.fix_s.low)} to {format_minutes(day.fix_s.high)}",
        "" if day.band is None else day.band.risk,
    )


def _also(sets: Sequence[SetOutlook]) -> list[str]:
    return [f"Also ({names}): {said}." for said, names in _by_words(sets, lambda one: one.also)]


def _ice(told: Told) -> list[str]:
    chance = max((max(day.thaw, day.rain) for day in told.found.days), default=0.0)
    if chance < ICE_AT:
        return ["Ice: a forecast says nothing of its thickness; stay off what you have not tested."]
    when = next(day for day in told.found.days if max(day.thaw, day.rain) >= ICE_AT)
    where = ", ".join(told.waters) or "no water is drawn on the ground of this line; you know where it is"
    likely = percent(max(when.thaw, when.rain))
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
    """Say what the cold means, days of one band together."""
    bands: dict[str, list[DayOutlook]] = {}
    for day in days:
        if day.band is not None:
            bands.setdefault(f"{day.band.risk}; {day.band.says}", []).append(day)
    said = [
        f"Cold: {', '.join(f'{day.day:%a}' for day in held)}, wind chill down to "
        f"{degrees(min(day.chill_c for day in held), units)}: {what}."
        for what, held in bands.items()
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
