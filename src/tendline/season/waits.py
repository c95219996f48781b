"""Owns how long an animal could have waited: the time from one look to the next at a device that was set.

Does not own the law's limit, which is handed in as a question for each stretch.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import median
from zoneinfo import ZoneInfo

from tendline.season.stretches import Ending, Stretch

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@dataclass(frozen=True)
class Wait:
    """Waits of one group.

    Parameters
    ----------
    name
        The group.
    looks
        How many looks ended a wait.
    median_h, worst_h
        From the look before [h].
    worst_set, worst_at
        Where and when the worst ended.
    over_law
        Looks that came after the legal limit; None when no limit could be told for any of them.
    law_untold
        Looks for which no legal limit could be told.
    over_own
        Looks that came after the own limit; None when there is none.
    held
        Animals held among these looks.
    held_median_h, held_worst_h
        The longest those can have waited [h]; None without one.
    """

    name: str
    looks: int
    median_h: float
    worst_h: float
    worst_set: str
    worst_at: datetime
    over_law: int | None
    law_untold: int
    over_own: int | None
    held: int
    held_median_h: float | None
    held_worst_h: float | None


@dataclass(frozen=True)
class Waits:
    """Waits of a season: all, by property, by weekday of the look that ended them."""

    all: Wait | None
    by_property: tuple[Wait, ...]
    by_weekday: tuple[Wait, ...]
    hours: tuple[float, ...]


Limit = Callable[[Stretch], datetime | None]


def waits(stretches: Iterable[Stretch], *, law: Limit, own: Limit, zone: ZoneInfo, has_own: bool) -> Waits:
    """Work out waits.

    Parameters
    ----------
    stretches
        Of the season; those of closed devices are passed over, for nothing can be held in them.
    law, own
        The last instant at which the look that ended a stretch was in time; None where it cannot be told.
    zone
        For weekdays.
    has_own
        Whether there is an own limit.
    """
    open_ones = [
        one
        for one in stretches
        if one.ending is not Ending.DOWN and one.found_as is not None and one.end > one.start
    ]
    by_property: dict[str, list[Stretch]] = defaultdict(list)
    by_day: dict[str, list[Stretch]] = defaultdict(list)
    for one in open_ones:
        by_property[one.groups["property"]].append(one)
        by_day[DAYS[one.end.astimezone(zone).weekday()]].append(one)

    def of(name: str, some: Sequence[Stretch]) -> Wait:
        return _wait(name, some, law=law, own=own if has_own else None)

    return Waits(
        of("all", open_ones) if open_ones else None,
        tuple(of(name, some) for name, some in sorted(by_property.items())),
        tuple(of(day, by_day[day]) for day in DAYS if day in by_day),
        tuple(_hours(one) for one in open_ones),
    )


def _wait(name: str, some: Sequence[Stretch], *, law: Limit, own: Limit | None) -> Wait:
    hours = [_hours(one) for one in some]
    worst = max(some, key=_hours)
    limits = [law(one) for one in some]
    told = [(one, limit) for one, limit in zip(some, limits, strict=True) if limit is not None]
    held = [_hours(one) for one in some if one.catch is not None]
    over_own = None
    if own is not None:
        own_limits = [(one, own(one)) for one in some]
        over_own = sum(limit is not None and one.end > limit for one, limit in own_limits)
    return Wait(
        name=name,
        looks=len(some),
        median_h=median(hours),
        worst_h=max(hours),
        worst_set=worst.set_name,
        worst_at=worst.end,
        over_law=sum(one.end > limit for one, limit in told) if told else None,
        law_untold=len(some) - len(told),
        over_own=over_own,
        held=len(held),
        held_median_h=median(held) if held else None,
        held_worst_h=max(held) if held else None,
    )


def _hours(one: Stretch) -> float:
    return (one.end - one.start).total_seconds() / 3600.0
