"""Owns what a forecast does to every set: heights, chances, burial, frost, and the time fixing takes.

Does not own snow (`snowpack`), the advice drawn from it (`spoil_advice`) or the limits (handed in).

A forecast is never taken for a measurement: nothing here is noted anywhere.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from tendline.almanac.cold import cold_band, wind_chill_c
from tendline.core.errors import refuse
from tendline.core.forecast import Between, Forecast, Step, in_blocks, telling_changes
from tendline.core.when import local_day
from tendline.plan.faults import ENSEMBLE
from tendline.plan.snow_draws import Floats, Weather, drawn_weather
from tendline.plan.snowpack import Pack
from tendline.plan.spoil_advice import Reach, advise, also, unsure_of
from tendline.plan.spoil_heights import Watch
from tendline.plan.spoil_nouns import AtStake, DayOutlook, Outlook, SetDay, SetOutlook

BLOCK_H = 6
"""Longest step of the model [h]; blocks end at 0, 6, 12 and 18 local time."""

MOST_MEMBERS = 5000
MIDDLE = (10.0, 90.0)
"""Percentiles between which eight of ten members lie."""


@dataclass(frozen=True)
class Asked:
    """How the outlook is worked out.

    Parameters
    ----------
    now, zone
        The present, and whose days.
    days
        How many local days, today the first; 1 to 10.
    members, seed
        Of the ensemble.
    fix_s
        Time that one set takes to fix [s].
    """

    now: datetime
    zone: ZoneInfo
    days: int = 3
    members: int = 500
    seed: int = 1
    fix_s: float = 360.0


def outlook(sets: Sequence[AtStake], forecast: Forecast, asked: Asked) -> Outlook:
    """Say what a forecast spoils.

    Parameters
    ----------
    sets
        Every set in the field.
    forecast
        As read; what lies before now is left out.
    asked
        How.

    Returns
    -------
    Outlook
        Sets in the order in which something has to be done about them, then by name; the same numbers for the
        same seed.

    Raises
    ------
    Refused
        PLAN-120 for days or members that cannot be used.
    """
    _check(asked)
    blocks = _blocks(forecast, asked)
    days = sorted({local_day(block.span.start, asked.zone) for block in blocks})
    weather = drawn_weather(blocks, now=asked.now, zone=asked.zone, members=asked.members, seed=asked.seed)
    if not sets:
        lines = tuple(_line_day(day, blocks, weather, np.zeros((1, asked.members)), asked) for day in days)
        return Outlook((), lines, asked.members, asked.seed)
    first = local_day(asked.now, asked.zone)
    pack = Pack(
        sets, members=asked.members, seed=asked.seed, winter_day=(first - date(_winter(first), 12, 31)).days
    )
    watch = Watch(sets, pack, members=asked.members, seed=asked.seed)
    by_day: list[tuple[SetDay, ...]] = []
    lines_of: list[DayOutlook] = []
    reach: Reach | None = None
    for day in days:
        watch.new_day()
        for block, one in zip(blocks, weather, strict=True):
            if local_day(block.span.start, asked.zone) == day:
                pack.step(one)
                watch.look()
        by_day.append(_set_days(day, pack, watch))
        lines_of.append(_line_day(day, blocks, weather, watch.to_fix(), asked))
        if day <= first + timedelta(days=1):
            reach = watch.reach()
    assert reach is not None
    windy = any(step.snow_m or step.water_mm for step, one in zip(blocks, weather, strict=True) if one.windy)
    found = [
        _set_outlook(i, one, [d[i] for d in by_day], reach, first=first, windy=windy)
        for i, one in enumerate(sets)
    ]
    return Outlook(tuple(sorted(found, key=_urgency)), tuple(lines_of), asked.members, asked.seed)


def _check(asked: Asked) -> None:
    if not (1 <= asked.days <= 10 and 20 <= asked.members <= MOST_MEMBERS):
        what = f"{asked.days} days and {asked.members} members cannot be worked out."
        raise refuse(ENSEMBLE, what, "", f"Ask for 1 to 10 days and 20 to {MOST_MEMBERS} members.")


def _winter(day: date) -> int:
    """Give the year whose last day the winter counts from."""
    return day.year if day.month >= 10 else day.year - 1


def _blocks(forecast: Forecast, asked: Asked) -> tuple[Step, ...]:
    """Cut the forecast at every sixth local hour, from now to its end or the last day asked for."""
    start = max(asked.now, forecast.span.start)
    midnight = datetime.combine(local_day(asked.now, asked.zone), time(0), tzinfo=asked.zone)
    edges = [start]
    for day in range(asked.days):
        for hour in range(BLOCK_H, 24 + 1, BLOCK_H):
            at = (midnight + timedelta(days=day, hours=hour)).astimezone(_UTC)
            if start < at < forecast.span.end:
                edges.append(at)
    last = min((midnight + timedelta(days=asked.days)).astimezone(_UTC), forecast.span.end)
    edges += [at for at in (*telling_changes(forecast.steps), last) if start < at <= last]
    edges = sorted(set(edges))
    if len(edges) < 2:
        what = "the forecast begins after the last day asked for."
        raise refuse(ENSEMBLE, what, "", "Ask for more days.")
    return in_blocks(forecast.steps, edges)


_UTC = ZoneInfo("UTC")


def _set_days(day: date, pack: Pack, watch: Watch) -> tuple[SetDay, ...]:
    fallen, loose, packed, depth = (
        _middles(values) for values in (pack.fallen, pack.loose, pack.trodden(), pack.depth)
    )
    laws, animals, buried = watch.law_days(), watch.animal_days(), watch.buried()
    frozen, thawed = pack.froze.mean(axis=1), watch.thawed()
    return tuple(
        SetDay(
            day,
            fallen[i],
            loose[i],
            packed[i],
            depth[i],
            laws[i],
            animals[i],
            *buried[i],
            frozen=float(frozen[i]),
            thawed=float(thawed[i]),
        )
        for i in range(len(fallen))
    )


def _middles(values: Floats) -> list[Between]:
    low, high = np.percentile(values, MIDDLE, axis=1)
    return [Between(float(a), float(b)) for a, b in zip(low, high, strict=True)]


def _line_day(
    day: date, blocks: Sequence[Step], weather: Sequence[Weather], to_fix: Floats, asked: Asked
) -> DayOutlook:
    """Sum up the line on one day; sums are taken member by member, for all sets share the weather."""
    here = [
        (b, w) for b, w in zip(blocks, weather, strict=True) if local_day(b.span.start, asked.zone) == day
    ]
    low, high = np.percentile(to_fix.sum(axis=0), MIDDLE)
    count = Between(float(low), float(high))
    warm = np.max([w.air_c for _, w in here], axis=0)
    chills = [wind_chill_c(b.air_c.low, b.wind_kmh.high if b.wind_kmh is not None else 0.0) for b, _ in here]
    chill = min(chills)
    rain = np.max([_rains(w) for _, w in here], axis=0)
    return DayOutlook(
        day=day,
        fix_s=count.times(asked.fix_s),
        to_fix=count,
        thaw=float((warm > 0.0).mean()),
        rain=float(rain.mean()),
        air_c=Between(min(b.air_c.low for b, _ in here), max(b.air_c.high for b, _ in here)),
        chill_c=chill,
        wind_told=all(b.wind_kmh is not None for b, _ in here),
        band=cold_band(chill),
    )


def _rains(weather: Weather) -> Floats:
    """Give 1 for each member in which at least a millimetre falls in air above freezing."""
    if weather.water_mm is None:
        return np.zeros_like(weather.air_c)
    found: Floats = ((weather.air_c > 1.0) & (weather.water_mm >= 1.0)).astype(np.float64)
    return found


def _set_outlook(
    index: int, one: AtStake, days: Sequence[SetDay], reach: Reach, *, first: date, windy: bool
) -> SetOutlook:
    advice = advise(one, days, reach.of(index), first=first)
    return SetOutlook(one, tuple(days), advice, also(one, days), unsure_of(one, days, windy=windy))


def _urgency(found: SetOutlook) -> tuple[bool, bool, date, int, str]:
    advice = found.advice
    order = list(type(advice.act)).index(advice.act)
    return advice.when is None, not advice.tonight, advice.when or date.max, order, found.at_stake.name
