"""Owns the tables of the outlook on the weather: what to do about each set, and its heights and chances.

Does not own the sentences round them (`weather_text`).
"""

import re
from collections.abc import Sequence

from tendline.core.forecast import Between
from tendline.core.units import Units, format_small
from tendline.plan.spoil_nouns import Advice, BandDay, SetDay, SetOutlook
from tendline.report.say import count
from tendline.report.table import Column, draw_table, fold

SHOWN = 8
"""Heights of so many sets are written out where not all are asked for."""

COVERED_AT = 0.2
"""Chance of snow over the loop from which its landmark matters (common practice, no source)."""

_DO = (Column("set"), Column("do"), Column("by"), Column("in 100 each"), Column("found by", wrap=True))
_LATER = (Column("do"), Column("sets", wrap=True), Column("why", wrap=True))
_ODDS = re.compile(r"\((\d+) in 100\)")
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


def do_table(title: str, sets: Sequence[SetOutlook], units: Units, width: int) -> list[str]:
    """Write what is done about each set, with its landmark; sets with one reason stand under it."""
    groups: dict[tuple[str, str], list[SetOutlook]] = {}
    for one in sets:
        why = _CHANCE.sub("", "; ".join(one.advice.why))
        groups.setdefault((one.advice.act.value, why), []).append(one)
    lines = ["", title] if groups else []
    for (act, why), held in groups.items():
        lines += [*([""] if len(lines) > 2 else []), *fold(f"{act} {count(len(held), 'set')}: {why}.", width)]
        rows = [(o.at_stake.name, act, _by(o.advice, units), _likely(o.advice), _found_by(o)) for o in held]
        lines.append(draw_table(_DO, rows, width=width))
    return lines


def _likely(advice: Advice) -> str:
    """Give the chances of the reasons, in their order."""
    return ", ".join(found for why in advice.why for found in _ODDS.findall(why))


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


def later_table(sets: Sequence[SetOutlook], width: int) -> list[str]:
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
    return "" if advice.by_m is None else lengths(advice.by_m, units)


def heights_table(sets: Sequence[SetOutlook], units: Units, width: int, *, everything: bool) -> list[str]:
    """Write heights and chances: of every set and day, or of the first that need a hand tonight."""
    tonight = [one for one in sets if one.advice.tonight]
    shown = sets if everything else tonight[:SHOWN]
    rows: list[tuple[str, ...]] = []
    for one in shown:
        for day in one.days:
            if everything or day.day == one.advice.when:
                rows += _height_rows(one, day, units)
    if not rows:
        return []
    more = 0 if everything else len(tonight) - len(shown)
    rest = [f"Heights of {more} more: --all, or --set with a name."] if more else []
    return ["", "Heights and chances, as forecast:", draw_table(_HEIGHTS, rows, width=width), *rest]


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
                lengths(Between(band.low_m, band.high_m), units),
                percent(band.wrong_low),
                percent(band.wrong_high),
                lengths(day.depth_m, units) if first else "",
                percent(day.bottom_buried) if first else "",
                percent(day.top_covered) if first else "",
            )
        )
    return rows


def _for(day: BandDay, *, walked: bool) -> str:
    band = day.band
    above = "what it walks on" if walked else str(band.base.value).replace("-", " ")
    return f"{band.who}, {band.point.value} above {above}"


def lengths(value: Between, units: Units) -> str:
    """Write a range of gear-sized lengths: ``3 to 9 in``."""
    low, high = format_small(value.low, units), format_small(value.high, units)
    if low == high:
        return low
    return f"{low.rsplit(' ', 1)[0]} to {high}"


def percent(chance: float | None) -> str:
    """Write a chance, or a question mark where it cannot be told."""
    return "?" if chance is None else f"{100.0 * chance:.0f} %"


def degrees(celsius: float, units: Units) -> str:
    """Write a temperature, to the degree."""
    return f"{1.8 * celsius + 32.0:.0f} F" if units is Units.US else f"{celsius:.0f} C"
