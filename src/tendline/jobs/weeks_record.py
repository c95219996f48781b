"""Owns reading off the record how long things take a person, and what they did in the last two weeks.

Does not own working figures out (`plan.weeks_habits`) or the chances (`plan.weeks_risk`).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Any

import numpy as np

from tendline.core.line import LineState, Look
from tendline.core.settings import Settings
from tendline.core.when import local_day
from tendline.core.words import Done, FoundAs
from tendline.jobs.round_ground import Ways
from tendline.jobs.workspace import Workspace
from tendline.plan.weeks_compare import AsBefore
from tendline.plan.weeks_habits import LONGEST, Did, Habits, Leg, habits_of
from tendline.plan.weeks_risk import Chances

BACK = timedelta(days=14)
"""How far back "as you have been doing it" looks."""

SNOWY_M = 0.05
"""New snow from which a morning counts as one after snow [m]; common practice, no source."""

_FIXED = frozenset({Done.ADJUSTED, Done.REHUNG, Done.DUG_OUT, Done.SWAPPED, Done.REMADE})


@dataclass(frozen=True)
class _Seen:
    """One look with its set and what was done."""

    at: datetime
    who: str
    set_name: str
    did: Did
    stay_s: float | None


def chances_of(space: Workspace, habits: Habits, *, storm: float | None) -> tuple[Chances, tuple[str, ...]]:
    """Take what varies from the record where it says enough, else from line.toml; say which.

    Parameters
    ----------
    storm
        The chance of a storm morning that was asked for [0, 1]; None for the one in line.toml.
    """
    costs, weeks = space.settings.time, space.settings.weeks
    usual = Chances(catch_s=costs.catch_s, per_night=costs.catches_per_night)
    taken = {
        "walk": habits.walk,
        "look_s": habits.look_s,
        "fix_share": habits.fix_share,
        "fix_s": habits.fix_s,
        "catch_s": habits.catch_s,
        "travel": habits.travel,
        "per_night": habits.per_night,
    }
    known: dict[str, Any] = {name: value for name, value in taken.items() if value is not None}
    settled = {"fix_share": costs.fix_share, "fix_s": costs.fix_s}
    factor = habits.storm_factor if habits.storm_factor is not None else weeks.storm_factor
    chances = replace(usual, **{**settled, **known})
    chances = replace(
        chances,
        storm=weeks.storm_mornings if storm is None else storm,
        storm_factor=factor,
        zone=space.settings.zone,
    )
    return chances, (*_said(habits), *_storm(chances, habits))


def _said(habits: Habits) -> Iterator[str]:
    counts = habits.counts
    legs = counts.get("legs", 0)
    if habits.walk is None:
        yield f"chances go by line.toml: {legs} walks from set to set on record are too few, or no walks"
        return
    looks = f" and looks ({habits.look_s:.0f} s)" if habits.look_s is not None else ""
    own = [f"walking ({habits.walk:.2f} times as planned){looks}, from {legs} walks"]
    rest = [] if looks else ["looks (not told from walking)"]
    for name, value, number in (
        ("repairs", habits.fix_s, counts["fixes"]),
        ("catches", habits.catch_s, counts["catch legs"]),
    ):
        if value is None:
            rest.append(f"{name} ({number} on record)")
        else:
            own.append(f"{name} ({value / 60:.0f} min, from {number})")
    spread = counts.get("days", 0)
    told = f"how days differ ({habits.travel:.2f}, from {spread} days)" if habits.travel is not None else ""
    (own if told else rest).append(told or f"how days differ ({spread} days on record)")
    rate = f"the catch rate ({counts['catches']} catches on record)"
    (own if habits.per_night is not None else rest).append(rate)
    yield f"chances go by your own record for {'; '.join(own)}"
    if rest:
        yield f"and by line.toml or common practice for {'; '.join(rest)}: too few on record"


def _storm(chances: Chances, habits: Habits) -> Iterator[str]:
    if chances.storm > 0.0:
        source = (
            "by your own mornings after snow" if habits.storm_factor is not None else "not from your record"
        )
        yield (
            f"{chances.storm:.0%} of mornings are taken to be storm mornings, with "
            f"{chances.storm_factor:.2f} times the travel ({source})"
        )


def habits_from(space: Workspace, line: LineState, ways: Ways, *, who: str) -> Habits:
    """Give what the record says of one person, on the ground that is planned for."""
    rows = {name: k for k, name in enumerate(ways.walk.names)}
    snowy = _snow_days(line, space.settings)
    legs = []
    for a, b in pairwise(_looks(line, who)):
        if not (a.set_name in rows and b.set_name in rows and a.set_name != b.set_name):
            continue
        walk = float(ways.walk.seconds[rows[a.set_name], rows[b.set_name]])
        if np.isfinite(walk) and timedelta(0) < b.at - a.at <= LONGEST:
            day = local_day(a.at, space.settings.zone)
            gap = (b.at - a.at).total_seconds()
            legs.append(Leg(day, who, a.did, gap, walk, snow=day in snowy, stay_s=a.stay_s))
    nights, catches = _nights(line)
    usual = space.settings.time.look_s
    return habits_of(legs, catches=catches, nights=nights, usual_look_s=usual)


def _looks(line: LineState, who: str) -> list[_Seen]:
    """Give the looks of a person in order, those from a distance left out."""
    found = [
        _Seen(look.at, look.by, one.name, _did(look), look.stay_s)
        for one in line.sets.values()
        for look in one.looks
        if look.by in ("", who) and not look.from_distance
    ]
    return sorted(found, key=lambda seen: (seen.at, seen.set_name))


def _did(look: Look) -> Did:
    if look.found_as is FoundAs.HOLDING:
        return Did.CATCH
    return Did.FIX if look.done in _FIXED else Did.LOOK


def _snow_days(line: LineState, settings: Settings) -> set[date]:
    return {
        local_day(seen.at, settings.zone)
        for seen in line.snow
        if seen.new_m is not None and seen.new_m >= SNOWY_M
    }


def _nights(line: LineState) -> tuple[float, int]:
    """Give the nights sets were out between looks, and catches found by them."""
    nights, catches = 0.0, 0
    for one in line.sets.values():
        times = [look.at for look in one.looks if look.found_as.was_seen]
        start = one.made_at or (times[0] if times else None)
        if times and start is not None:
            nights += max(0.0, (times[-1] - start) / timedelta(days=1))
        catches += sum(look.found_as is FoundAs.HOLDING for look in one.looks)
    return nights, catches


def as_before(space: Workspace, line: LineState, ways: Ways, *, home: str) -> AsBefore | None:
    """Give what was done in the last two weeks: rounds, looks, hours with drives as planned; None for none.

    A round is a row of looks of one person no more than two hours apart. Its time runs from the first to the
    last of them, with the way from home to the one and from the other back as it is planned.
    """
    since = max([space.now - BACK, *([first] if (first := _first_look(line)) is not None else [])])
    rounds: list[list[_Seen]] = []
    for who in sorted({look.by for one in line.sets.values() for look in one.looks}):
        own = [one for one in _looks(line, who) if one.who == who and since <= one.at <= space.now]
        for k, one in enumerate(own):
            if k == 0 or one.at - own[k - 1].at > LONGEST:
                rounds.append([])
            rounds[-1].append(one)
    if not rounds:
        return None
    found = [_round(space, ways, one, home) for one in rounds]
    days = max(1.0, (space.now - since) / timedelta(days=1))
    return AsBefore(
        seconds=sum(seconds for seconds, _ in found),
        metres=sum(metres for _, metres in found),
        rounds=len(rounds),
        looks=sum(len(one) for one in rounds),
        days=days,
    )


def _first_look(line: LineState) -> datetime | None:
    return min((look.at for one in line.sets.values() for look in one.looks), default=None)


def _round(space: Workspace, ways: Ways, looks: Sequence[_Seen], home: str) -> tuple[float, float]:
    stops = [parking for one in looks if (parking := _door(ways, one.set_name)) is not None]
    span = (looks[-1].at - looks[0].at).total_seconds() + space.settings.time.look_s
    if not stops:
        return span, 0.0
    row = {name: k for k, name in enumerate(ways.drive.names)}
    walk = {name: k for k, name in enumerate(ways.walk.names)}
    places = [home, *(name for k, name in enumerate(stops) if k == 0 or stops[k - 1] != name), home]
    metres = sum(float(ways.drive.metres[row[a], row[b]]) for a, b in pairwise(places))
    out = float(ways.drive.seconds[row[home], row[stops[0]]]) + space.settings.time.park_s
    out += _walk(ways, stops[0], looks[0].set_name, walk)
    back = float(ways.drive.seconds[row[stops[-1]], row[home]])
    back += _walk(ways, looks[-1].set_name, stops[-1], walk)
    return out + span + back, metres


def _walk(ways: Ways, a: str, b: str, walk: dict[str, int]) -> float:
    seconds = float(ways.walk.seconds[walk[a], walk[b]]) if a in walk and b in walk else 0.0
    return seconds if np.isfinite(seconds) else 0.0


def _door(ways: Ways, name: str) -> str | None:
    """Give the parking nearest to a set on foot; None for a set that is not planned for any more."""
    walk = {place: k for k, place in enumerate(ways.walk.names)}
    if name not in walk:
        return None
    parkings = [place for place in ways.drive.names if place in walk]
    best = min(parkings, key=lambda p: float(ways.walk.seconds[walk[p], walk[name]]), default=None)
    return best if best is not None and np.isfinite(ways.walk.seconds[walk[best], walk[name]]) else None
