"""Owns the shape of the days ahead: sets with their clocks, windows of people, and the plan of rounds.

Does not own the search for a plan: that is `plan.weeks`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum

from tendline.core.when import Span
from tendline.plan.itinerary import RoundPlan, Travel


class WeeksStatus(StrEnum):
    """What came of planning the days ahead.

    `OPTIMAL`: no plan made of the rounds that were considered is shorter. `IMPOSSIBLE` is proved for every
    way to go about it, not only for the rounds considered. `UNKNOWN`: neither a plan nor a proof in time.
    """

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    IMPOSSIBLE = "impossible"
    UNKNOWN = "unknown"


@dataclass(frozen=True, eq=False)
class WeekClock:
    """One rule by which limits run; sets with the same rule share it.

    Parameters
    ----------
    key
        Tells this rule from others.
    next_due
        From a look to the last second in which the next one is in time; None when no clock runs then.
    words
        The rule in a few words.
    """

    key: str
    next_due: Callable[[datetime], datetime | None]
    words: str = ""


def _always(span: Span) -> tuple[Span, ...]:
    return (span,)


@dataclass(frozen=True, eq=False)
class WeekSet:
    """One set in the field over the days ahead.

    Parameters
    ----------
    name
        Short name.
    service_s
        Time at the set [s].
    clock
        Its rule.
    last_look
        When it was last looked at; None when nobody knows.
    due
        The limit that runs now; None when none is known.
    lawful
        From a stretch of time to the parts of it in which a look is lawful, in order.
    go_now
        It wants seeing first whatever its limit says: overdue, or nobody knows.
    barred_to
        People who may not look at it.
    left_to
        Stretches in which only this person looks at it.
    wish
        A softer limit of the person's own: a gap over it costs `WeeksProblem.wish_s`; None for none.
    wish_due
        By that, the next look; None when it has passed, or nobody knows.
    likely
        Animals expected in it on a day, 0 when nothing is known: of plans alike, it is seen early.
    """

    name: str
    service_s: float
    clock: WeekClock
    last_look: datetime | None
    due: datetime | None
    lawful: Callable[[Span], tuple[Span, ...]] = _always
    go_now: bool = False
    barred_to: frozenset[str] = frozenset()
    left_to: tuple[tuple[Span, str], ...] = ()
    wish: WeekClock | None = None
    wish_due: datetime | None = None
    likely: float = 0.0


@dataclass(frozen=True)
class WeekOuting:
    """One stretch of time in which one person can go round."""

    who: str
    span: Span


@dataclass(frozen=True, eq=False)
class WeeksProblem:
    """Everything the days ahead are planned from.

    Parameters
    ----------
    span
        From now to the end of the last day: every limit that passes inside must be kept.
    sets
        Sets in the field.
    outings
        When who can go, in order of their starts.
    start, end
        Names in `drive` where every outing starts and ends.
    parkings, park_s, drive, walk
        As in `plan.itinerary.RoundProblem`.
    price_s
        What a round costs beside its time, from its outing and the sets it looks at [s], may be negative;
        None for nothing.
    wish_s
        What each gap over a softer limit costs, for each set [s].
    was
        The sets that an earlier plan looks at in each outing: the search begins there.
    """

    span: Span
    sets: tuple[WeekSet, ...]
    outings: tuple[WeekOuting, ...]
    start: str
    end: str
    parkings: tuple[str, ...]
    park_s: float
    drive: Travel
    walk: Travel
    price_s: Callable[[WeekOuting, frozenset[str]], float] | None = None
    wish_s: float = 0.0
    was: Mapping[WeekOuting, frozenset[str]] = field(default_factory=dict)


@dataclass(frozen=True)
class PlannedOuting:
    """One outing of the plan with its round."""

    outing: WeekOuting
    round: RoundPlan

    @property
    def metres(self) -> float:
        """Driven [m]."""
        return sum(stop.drive_m for stop in self.round.stops) + self.round.home_m

    @property
    def walked_m(self) -> float:
        """Walked [m]."""
        return sum(s.back_m + sum(v.walk_m for v in s.visits) for s in self.round.stops)


@dataclass(frozen=True)
class SetLooks:
    """One set over the days ahead; instants are UTC.

    Parameters
    ----------
    set_name, rule
        Which set, and its rule in a few words.
    looks
        Planned looks, in order.
    largest_gap
        Between looks that follow one another, the last real one and the end of the days included; None when
        there are fewer than two such instants.
    least_slack
        The least time from a planned look to its limit; None when no clock runs.
    tightest
        The look with that slack.
    overdue
        Its limit had passed before the first outing: the first look is late, and no plan can mend that.
    """

    set_name: str
    rule: str
    looks: tuple[datetime, ...]
    largest_gap: timedelta | None
    least_slack: timedelta | None
    tightest: datetime | None
    overdue: bool = False


@dataclass(frozen=True)
class WeeksPlan:
    """Rounds for the days ahead, every limit checked with the times of the rounds themselves."""

    rounds: tuple[PlannedOuting, ...]
    looks: tuple[SetLooks, ...]

    @property
    def seconds(self) -> float:
        """Time away from home [s]."""
        return sum(one.round.seconds for one in self.rounds)

    @property
    def metres(self) -> float:
        """Driven [m]."""
        return sum(one.metres for one in self.rounds)


@dataclass(frozen=True)
class Why:
    """The smallest part of an impossible problem that is impossible by itself.

    Parameters
    ----------
    until
        Only the days up to here are needed for the proof.
    sets
        Only these sets are.
    lacking_s
        What is lacking at least in these outings, all together [s].
    """

    until: datetime
    sets: tuple[str, ...]
    lacking_s: float


@dataclass(frozen=True)
class WeeksRelief:
    """One change after which a lawful plan was found.

    Parameters
    ----------
    kind
        ``pull or close``, ``one more window``, ``earlier start``, ``another person``, ``own rounds``.
    what
        In plain words.
    size
        Sets, windows, minutes or days.
    sets
        For ``pull or close``: which.
    windows
        For ``one more window`` and ``another person``: which.
    smallest
        Whether it was proved that nothing smaller does, among the rounds considered.
    plan
        The plan it was verified with.
    """

    kind: str
    what: str
    size: int
    sets: tuple[str, ...] = ()
    windows: tuple[WeekOuting, ...] = ()
    smallest: bool = False
    plan: WeeksPlan | None = None


@dataclass(frozen=True)
class WeeksVerdict:
    """What came of planning the days ahead.

    Parameters
    ----------
    status
        See `WeeksStatus`.
    plan
        The best plan found; None when there is none.
    bound_s
        No plan made of the rounds considered takes less than this [s]; None when it was not worked out.
    floor_s
        No plan whatever takes less than this [s].
    considered
        How many rounds were considered.
    blocks
        The walks the sets were put together to, by names.
    why
        For ``impossible``: the smallest explanation.
    reliefs
        For ``impossible`` and ``unknown``: what would help, each verified.
    overdue
        Sets whose limit has passed already.
    """

    status: WeeksStatus
    plan: WeeksPlan | None = None
    bound_s: float | None = None
    floor_s: float | None = None
    considered: int = 0
    blocks: tuple[tuple[str, ...], ...] = ()
    why: Why | None = None
    reliefs: tuple[WeeksRelief, ...] = ()
    overdue: tuple[str, ...] = ()
    said: tuple[str, ...] = field(default_factory=tuple)
