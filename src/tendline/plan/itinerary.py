"""Owns the shape of a round: what is asked of it, and the ordered stops with their times that come out.

Does not own the search for a good one: that is `plan.route`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

import numpy as np
import numpy.typing as npt

from tendline.core.when import Span

Matrix = npt.NDArray[np.float64]


@dataclass(frozen=True)
class SetTask:
    """One set that may be visited on this outing.

    Parameters
    ----------
    name
        Short name of the set.
    service_s
        Time at the set [s].
    windows
        Stretches in which arriving there is lawful and in time, in order, not overlapping; never empty
        (a set without one is told before planning). Arriving early means waiting for the window to open.
        They should reach past both ends of the outing where the law does: whether an earlier start or a later
        return would help is judged by them.
    due
        The hard limit for arriving; None when no clock runs.
    must
        It must be visited on this outing.
    weight
        How much it matters when not everything fits, more is more; 1 by default. Of rounds that are back
        together, the one that comes to the heavier sets sooner is taken.
    """

    name: str
    service_s: float
    windows: tuple[Span, ...]
    due: datetime | None = None
    must: bool = True
    weight: int = 1


@dataclass(frozen=True)
class Travel:
    """Times and lengths between places, in the order of `names`; infinity where there is no way.

    Parameters
    ----------
    names
        What the rows and columns stand for.
    seconds, metres
        From row to column, shape (n, n); zero on the diagonal, not symmetric in general.
    estimated
        True where the figure is straight distance with a stated factor, shape (n, n).
    """

    names: tuple[str, ...]
    seconds: Matrix
    metres: Matrix
    estimated: npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class RoundProblem:
    """Everything one outing is planned from.

    Parameters
    ----------
    start, end
        Names in `drive` where the truck starts and must be back.
    outing
        Earliest start and latest return.
    sets
        What may and must be visited.
    parkings
        Names of the places where the truck may stand.
    park_s
        Time lost at each stop of the truck [s].
    drive
        Over start, end and parkings.
    walk
        Over parkings and sets; infinity between places that do not share ground.
    """

    start: str
    end: str
    outing: Span
    sets: tuple[SetTask, ...]
    parkings: tuple[str, ...]
    park_s: float
    drive: Travel
    walk: Travel


@dataclass(frozen=True)
class Visit:
    """One set on the round; instants are UTC.

    Parameters
    ----------
    set_name
        Which.
    walk_s, walk_m
        From the place before it, the truck or another set.
    wait_s
        Waiting for a window to open, after arriving on foot.
    look
        When the look begins: not before the window opens.
    leave
        When the person walks on.
    due
        The hard limit; None when no clock runs.
    slack_s
        From `look` to `due` [s]; None when no clock runs.
    """

    set_name: str
    walk_s: float
    walk_m: float
    wait_s: float
    look: datetime
    leave: datetime
    due: datetime | None
    slack_s: float | None


@dataclass(frozen=True)
class ParkStop:
    """One stop of the truck with the walk from it; instants are UTC.

    Parameters
    ----------
    parking
        Where.
    drive_s, drive_m, drive_estimated
        From the place before it.
    arrive, depart
        The truck stops, the truck leaves.
    visits
        In walking order; the walk starts and ends at the truck.
    back_s, back_m
        The walk from the last set to the truck.
    """

    parking: str
    drive_s: float
    drive_m: float
    drive_estimated: bool
    arrive: datetime
    depart: datetime
    visits: tuple[Visit, ...]
    back_s: float
    back_m: float


@dataclass(frozen=True)
class LeftOut:
    """A set that is not on the round, why, and when its limit passes unless somebody goes."""

    set_name: str
    must: bool
    due: datetime | None
    why: str


@dataclass(frozen=True)
class Ratchet:
    """A set whose next limit gets tighter by this order: looked at earlier in the day than last time."""

    set_name: str
    last_look: datetime
    this_look: datetime
    earlier_s: float


@dataclass(frozen=True)
class BadMorning:
    """The same round with so many catches, taken where they hurt most.

    Parameters
    ----------
    catches
        How many.
    end
        Back at the end place.
    late
        Sets then looked at after their limit, in order of the round.
    over_s
        Past the latest return [s]; zero when in time.
    """

    catches: int
    end: datetime
    late: tuple[str, ...]
    over_s: float


@dataclass(frozen=True)
class RoundPlan:
    """An outing that keeps every hard limit it says it keeps.

    Parameters
    ----------
    leave, back
        Start and end of the outing.
    stops
        In driving order.
    home_s, home_m, home_estimated
        The last drive.
    left_out
        What is not visited.
    bad_mornings
        With one catch, with two.
    leave_by
        The latest start at which every limit is kept, if no time is lost on the way.
    gives_first
        The set whose limit breaks first when one starts later than that; empty for the latest return.
    seed, iterations
        What made it, so that it can be made again.
    """

    start: str
    end: str
    outing: Span
    leave: datetime
    back: datetime
    stops: tuple[ParkStop, ...]
    home_s: float
    home_m: float
    home_estimated: bool
    left_out: tuple[LeftOut, ...] = ()
    ratchets: tuple[Ratchet, ...] = ()
    bad_mornings: tuple[BadMorning, ...] = ()
    leave_by: datetime | None = None
    gives_first: str = ""
    seed: int = 1
    iterations: int = 0
    notes: tuple[str, ...] = field(default_factory=tuple)

    @property
    def visits(self) -> tuple[Visit, ...]:
        """Every visit in the order of the round."""
        return tuple(visit for stop in self.stops for visit in stop.visits)

    @property
    def spare_s(self) -> float:
        """From being back to the latest return [s]."""
        return (self.outing.end - self.back).total_seconds()

    @property
    def seconds(self) -> float:
        """The whole outing [s]."""
        return (self.back - self.leave).total_seconds()


@dataclass(frozen=True)
class Relief:
    """One smallest change that makes the outing fit, checked by planning again.

    Parameters
    ----------
    kind
        ``drop``, ``earlier start`` or ``later return``.
    what
        In plain words.
    sets
        For ``drop``: which; for the others: those that must stay out even so.
    minutes
        For the others: by how much.
    proven_smallest
        Whether nothing smaller was proved to do.
    breaks
        Set and the instant its limit passes, for every limit that this relief gives up.
    """

    kind: str
    what: str
    sets: tuple[str, ...] = ()
    minutes: int = 0
    proven_smallest: bool = False
    breaks: Mapping[str, datetime] = field(default_factory=dict)


@dataclass(frozen=True)
class Verdict:
    """What came of planning one outing.

    Parameters
    ----------
    plan
        The best plan of those that keep every hard limit; with visits left out when not all fits.
    fits
        Every set that must be visited is.
    proven
        For ``fits`` false: whether it was proved that not all fits (else: none was found in the time given).
    reliefs
        What would help, the smallest of each kind first; empty when all fits.
    shortest
        Whether it was proved that no round over every set that can be visited is back earlier.
    """

    plan: RoundPlan
    fits: bool
    proven: bool
    reliefs: tuple[Relief, ...] = ()
    shortest: bool = False
