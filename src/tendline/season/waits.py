"""Owns how long an animal could have waited: the time from one look to the next at a device that was set.

Does not own the law's limit, which is handed in as a question for each stretch.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import median

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


def waits(stretches: Iterable[Stretch], *, law: Limit, own: Limit, has_own: bool) -> Waits:
    """Work out waits.

    Parameters
    ----------
    stretches
        Of the season; those of closed devices are passed over, for nothing can be held in them.
    law, own
        The last instant at which the look that ended a stretch was in time; None where it cannot be told.
    has_own
        Whether there is an own limit.
    """
    waited = [
        _Waited(one, _hours(one), law(one), own(one) if has_own else None)
        for one in stretches
        if one.ending is not Ending.DOWN and one.found_as is not None and one.end > one.start
    ]
    by_property: dict[str, list[_Waited]] = defaultdict(list)
    by_day: dict[str, list[_Waited]] = defaultdict(list)
    for each in waited:
        by_property[each.look.groups["property"]].append(each)
        by_day[DAYS[each.look.day.weekday()]].append(each)
    return Waits(
        _wait("all", waited, has_own=has_own) if waited else None,
        tuple(_wait(name, some, has_own=has_own) for name, some in sorted(by_property.items())),
        tuple(_wait(day, by_day[day], has_own=has_own) for day in DAYS if day in by_day),
        tuple(each.hours for each in waited),
    )


@dataclass(frozen=True)
class _Waited:
    look: Stretch
    hours: float
    law: datetime | None
    own: datetime | None


def _wait(name: str, some: Sequence[_Waited], *, has_own: bool) -> Wait:
    hours = [each.hours for each in some]
    worst = max(some, key=lambda each: each.hours)
    told = [each for each in some if each.law is not None]
    held = [each.hours for each in some if each.look.catch is not None]
    return Wait(
        name=name,
        looks=len(some),
        median_h=median(hours),
        worst_h=worst.hours,
        worst_set=worst.look.set_name,
        worst_at=worst.look.end,
        over_law=sum(each.law is not None and each.look.end > each.law for each in told) if told else None,
        law_untold=len(some) - len(told),
        over_own=sum(each.own is not None and each.look.end > each.own for each in some) if has_own else None,
        held=len(held),
        held_median_h=median(held) if held else None,
        held_worst_h=max(held) if held else None,
    )


def _hours(one: Stretch) -> float:
    return (one.end - one.start).total_seconds() / 3600.0
