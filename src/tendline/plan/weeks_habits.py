"""Owns what a person's own record says of how long things take them, and from how many records it says so.

Does not own the chances that are worked out with it (`plan.weeks_risk`) or where the record is kept.

Only two instants that follow one another on one piece of ground are used: from one look to the next somebody
stays at the first set and walks to the second. Where too few are on record, nothing is said.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

LEGS, FIXES, CATCHES, DAYS, SNOW_DAYS, RATE = 30, 10, 5, 7, 3, 10
"""Fewest records: legs for walking and looking, repairs, catches, days for the spread, mornings after snow,
catches for their rate; common practice, no source."""

QUICKEST, SLOWEST = 0.4, 4.0
"""Walking over planned outside these is no walking: places or times on record are not to be trusted."""

LONGEST = timedelta(hours=2)
"""A longer gap between two looks is a pause, not a leg."""

_MOST = 600
"""More legs than this are thinned evenly: slopes between all pairs are taken."""


class Did(StrEnum):
    """What took the time at a set."""

    LOOK = "look"
    FIX = "fix"
    CATCH = "catch"


@dataclass(frozen=True)
class Leg:
    """From one look to the next on foot.

    Parameters
    ----------
    day, snow
        The local day; whether it was a morning after new snow.
    who
        Who walked.
    did
        What was done at the first set.
    gap_s
        From look to look [s].
    walk_s
        What walking between them takes as planned [s].
    stay_s
        Time noted at the first set [s]; None when it was not.
    """

    day: date
    who: str
    did: Did
    gap_s: float
    walk_s: float
    snow: bool = False
    stay_s: float | None = None


@dataclass(frozen=True)
class Habits:
    """What a record says; None where too little is on record.

    Parameters
    ----------
    walk, look_s
        Walking over planned; a look with nothing to do [s].
    fix_s, catch_s
        Repairs and catches, over a look [s].
    fix_share
        Of looks without a catch.
    travel
        Standard deviation of the logarithm of a day's walking over what it was planned as.
    storm_factor
        Walking on mornings after snow over other days.
    per_night
        Catches for each night a set was out.
    counts
        Of records, by what they are for.
    """

    walk: float | None = None
    look_s: float | None = None
    fix_s: float | None = None
    catch_s: float | None = None
    fix_share: float | None = None
    travel: float | None = None
    storm_factor: float | None = None
    per_night: float | None = None
    counts: Mapping[str, int] = field(default_factory=dict)


def habits_of(
    legs: Sequence[Leg], *, catches: int = 0, nights: float = 0.0, usual_look_s: float = 60.0
) -> Habits:
    """Work out what a record says.

    Parameters
    ----------
    legs
        Every leg on record.
    catches, nights
        Catches, and nights that sets were out.
    usual_look_s
        A look with nothing to do, where the record cannot tell looking from walking [s].

    Returns
    -------
    Habits
        Walking and looking by the slope and intercept of gaps over planned walks, taken by medians, so that a
        pause now and then moves neither.

    References
    ----------
    Sen, P. K. (1968), Estimates of the regression coefficient based on Kendall's tau, Journal of the American
    Statistical Association 63(324), 1379-1389.
    """
    plain = [leg for leg in legs if leg.did is Did.LOOK and not leg.snow]
    counts = {
        "legs": len(plain),
        "fixes": sum(leg.did is Did.FIX for leg in legs),
        "catch legs": sum(leg.did is Did.CATCH for leg in legs),
        "catches": catches,
    }
    rate = catches / nights if catches >= RATE and nights > 0 else None
    if len(plain) < LEGS:
        return Habits(per_night=rate, counts=counts)
    told = _noted(plain) or _line([leg.walk_s for leg in plain], [leg.gap_s for leg in plain])
    walk, look = told or (_ratio(plain, usual_look_s), usual_look_s)
    if not SLOWEST >= walk >= QUICKEST:
        return Habits(per_night=rate, counts=counts)
    fixed = _over(legs, Did.FIX, walk, look)
    caught = _over(legs, Did.CATCH, walk, look)
    ratios, snowy = _by_day(legs, walk, look)
    counts |= {"days": len(ratios), "snow days": len(snowy)}
    without = sum(leg.did is not Did.CATCH for leg in legs)
    return Habits(
        walk=walk,
        look_s=look if told else None,
        fix_s=None if len(fixed) < FIXES else float(np.mean(fixed)),
        catch_s=None if len(caught) < CATCHES else float(np.mean(caught)),
        fix_share=counts["fixes"] / without if counts["fixes"] >= FIXES else None,
        travel=None if len(ratios) < DAYS else float(np.std(np.log(ratios), ddof=1)),
        storm_factor=None
        if len(snowy) < SNOW_DAYS or not ratios
        else max(1.0, float(np.median(snowy) / np.median(ratios))),
        per_night=rate,
        counts=counts,
    )


def _line(walks: Sequence[float], gaps: Sequence[float]) -> tuple[float, float] | None:
    """Give slope and intercept by medians; None where gaps do not go with the walks as walks would."""
    keep = np.linspace(0, len(walks) - 1, min(len(walks), _MOST)).astype(int)
    x, y = np.asarray(walks)[keep], np.asarray(gaps)[keep]
    a, b = np.triu_indices(len(x), k=1)
    apart = np.abs(x[b] - x[a]) > 30.0
    slopes = (y[b] - y[a])[apart] / (x[b] - x[a])[apart]
    slope = float(np.median(slopes)) if len(slopes) >= LEGS else 0.0
    look = float(np.median(y - slope * x))
    return (slope, look) if SLOWEST >= slope >= QUICKEST and look > 0.0 else None


def _ratio(plain: Sequence[Leg], look: float) -> float:
    """Give walking over planned when a look is taken to last so long."""
    ratios = [(leg.gap_s - look) / leg.walk_s for leg in plain if leg.walk_s > 30.0]
    return float(np.median(ratios)) if len(ratios) >= LEGS else 0.0


def _over(legs: Sequence[Leg], did: Did, walk: float, look: float) -> list[float]:
    own = [leg for leg in legs if leg.did is did and not leg.snow]
    stays = [leg.gap_s - walk * leg.walk_s if leg.stay_s is None else leg.stay_s for leg in own]
    return [max(0.0, stay - look) for stay in stays]


def _noted(plain: Sequence[Leg]) -> tuple[float, float] | None:
    """Give walking and looking where the time at the sets was noted often enough; None where it was not."""
    noted = [(leg, leg.stay_s) for leg in plain if leg.stay_s is not None]
    ratios = [(leg.gap_s - stay) / leg.walk_s for leg, stay in noted if leg.walk_s > 30.0]
    if len(ratios) < LEGS:
        return None
    return float(np.median(ratios)), float(np.median([stay for _, stay in noted]))


def _by_day(legs: Sequence[Leg], walk: float, look: float) -> tuple[list[float], list[float]]:
    """Give each day's walking over planned, for ordinary days and for mornings after snow."""
    days: dict[tuple[date, str, bool], list[Leg]] = defaultdict(list)
    for leg in legs:
        if leg.did is Did.LOOK:
            days[leg.day, leg.who, leg.snow].append(leg)
    found: dict[bool, list[float]] = {False: [], True: []}
    for (_, _, snow), own in days.items():
        planned = walk * sum(leg.walk_s for leg in own)
        took = sum(leg.gap_s for leg in own) - look * len(own)
        if len(own) >= 5 and planned > 0 and took > 0:
            found[snow].append(took / planned)
    return found[False], found[True]
