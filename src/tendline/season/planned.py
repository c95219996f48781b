"""Owns planned against done: the looks of kept route cards and plans of days, against the looks on record.

Does not own reading the plans (`jobs.season_plans`) or the wording (`report.season_plans_text`).
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum, StrEnum
from itertools import pairwise
from statistics import median
from zoneinfo import ZoneInfo

from tendline.core.when import Span, day_end, local_day
from tendline.season.tending import BREAK

LEAST_OUTINGS = 3
"""Fewer outings tell no ratio of times; as for a person's own times (`own_times`)."""

LEAD = timedelta(hours=1)
"""A look so long before the planned start still belongs to the outing."""

TOGETHER = 0.25
"""Looks noted within less than this share of the planned time were written down together (no source)."""


@dataclass(frozen=True)
class Seen:
    """A look on record: at which set, when, and whether the set was taken up then."""

    set_name: str
    at: datetime
    taken_up: bool = False


@dataclass(frozen=True)
class Aim:
    """A planned look: at which set, when, by which limit; where it is known, from when somebody could go."""

    set_name: str
    at: datetime
    due: datetime | None = None
    since: datetime | None = None


@dataclass(frozen=True)
class Card:
    """A kept route card: the file it stands in, the planned start, the planned looks in order."""

    file: str
    leave: datetime
    aims: tuple[Aim, ...]


class NoRatio(StrEnum):
    """Why an outing is in no ratio of times."""

    AHEAD = "the day is not over"
    SKIPPED = "a set was skipped"
    SHORT = "fewer than two sets, or no time planned between them"
    TOGETHER = "looks were noted together, not when they were made"
    BROKEN = "looks lie too far apart for one outing"


@dataclass(frozen=True)
class CardDone:
    """What came of a route card.

    Parameters
    ----------
    card
        The plan.
    looked, skipped
        Names of its sets, in the order of the card; while the day is not over, those not looked at are in
        neither.
    over
        Whether nothing can change any more: every set was looked at, or the day is over.
    planned_s, taken_s
        From the first look to the last [s]; `taken_s` is None with fewer than two looks.
    late_s
        For each set looked at, how much later than planned [s]; negative for earlier.
    no_ratio
        Why its times are in no ratio; None when they are.
    """

    card: Card
    looked: tuple[str, ...]
    skipped: tuple[str, ...]
    over: bool
    planned_s: float
    taken_s: float | None
    late_s: tuple[float, ...]
    no_ratio: NoRatio | None

    @property
    def ratio(self) -> float | None:
        """Time taken over time planned; None when it cannot be told."""
        if self.no_ratio is not None or self.taken_s is None:
            return None
        return self.taken_s / self.planned_s


@dataclass(frozen=True)
class Pace:
    """Of all outings with a ratio: median and range of it, median lateness of their looks [s]."""

    outings: int
    looks: int
    ratio: float
    low: float
    high: float
    late_s: float


@dataclass(frozen=True)
class Days:
    """A kept plan of days: the file, its first and last instant, its looks."""

    file: str
    span: Span
    aims: tuple[Aim, ...]


@dataclass(frozen=True)
class DaysDone:
    """What came of a plan of days.

    Parameters
    ----------
    days
        The plan.
    planned
        How many looks it is answerable for by now: those ahead, and those of days that a later plan took
        over, are not among them.
    in_time, late, never
        Of these: made up to the limit, made after it, not made so far.
    no_limit
        Made, with no limit known.
    ahead, replaced, taken_up
        Looks not due yet; looks left to a later plan; looks at a set that was taken up since it was planned.
    """

    days: Days
    planned: int
    in_time: int
    late: tuple[Aim, ...]
    never: tuple[Aim, ...]
    no_limit: int
    ahead: int
    replaced: int
    taken_up: int


def card_done(card: Card, looks: Iterable[Seen], *, zone: ZoneInfo, now: datetime) -> CardDone:
    """Hold a route card against the record: looks by anybody from an hour before its start to the day's end.

    Parameters
    ----------
    card
        The plan.
    looks
        On record, in any order; the first at each set counts.
    zone, now
        Of the line, for the end of the day; the present.
    """
    end = day_end(local_day(card.leave, zone), zone)
    span, names = Span(card.leave - LEAD, end), {aim.set_name for aim in card.aims}
    first: dict[str, Seen] = {}
    for seen in sorted(looks, key=lambda one: one.at):
        if seen.set_name in names and seen.at <= now and span.holds(seen.at) and seen.at != end:
            first.setdefault(seen.set_name, seen)
    looked = tuple(aim.set_name for aim in card.aims if aim.set_name in first)
    missing = tuple(aim.set_name for aim in card.aims if aim.set_name not in first)
    over = end <= now or not missing
    times = sorted(first[name].at for name in looked)
    planned = sorted(aim.at for aim in card.aims)
    return CardDone(
        card,
        looked,
        missing if over else (),
        over,
        planned_s=_length(planned),
        taken_s=_length(times) if len(times) > 1 else None,
        late_s=tuple(
            (first[aim.set_name].at - aim.at).total_seconds() for aim in card.aims if aim.set_name in first
        ),
        no_ratio=_why_not(planned, times, over=over, skipped=bool(missing)),
    )


def _why_not(
    planned: Sequence[datetime], times: Sequence[datetime], *, over: bool, skipped: bool
) -> NoRatio | None:
    if not over:
        return NoRatio.AHEAD
    if skipped:
        return NoRatio.SKIPPED
    if len(times) < 2 or _length(planned) <= 0.0:
        return NoRatio.SHORT
    if _length(times) < TOGETHER * _length(planned):
        return NoRatio.TOGETHER
    longest = max(b - a for a, b in pairwise(planned))
    if any(b - a > BREAK + longest for a, b in pairwise(times)):
        return NoRatio.BROKEN
    return None


def _length(times: Sequence[datetime]) -> float:
    return (times[-1] - times[0]).total_seconds() if times else 0.0


def pace(cards: Iterable[CardDone]) -> Pace | None:
    """Give time taken over time planned, over all outings; None with fewer than three."""
    told = [(one, one.ratio) for one in cards]
    ratios = [ratio for _, ratio in told if ratio is not None]
    if len(ratios) < LEAST_OUTINGS:
        return None
    late = [seconds for one, ratio in told if ratio is not None for seconds in one.late_s]
    return Pace(len(ratios), len(late), median(ratios), min(ratios), max(ratios), median(late))


def days_done(plans: Iterable[Days], looks: Iterable[Seen], *, now: datetime) -> tuple[DaysDone, ...]:
    """Hold plans of days against the record.

    A planned look is answered by the first look at its set from an hour before its window (or, where that
    comes later, from half-way since the set's planned look before) until the set's next planned look takes
    over in the same way. It is in time up to the limit that stood beside it in the plan. A plan answers for
    what comes before the next plan's first instant.

    Parameters
    ----------
    plans, looks, now
        In any order; the present.
    """
    order = sorted(plans, key=lambda one: (one.span.start, one.file))
    times: dict[str, list[Seen]] = defaultdict(list)
    for seen in sorted(looks, key=lambda one: one.at):
        if seen.at <= now:
            times[seen.set_name].append(seen)
    ends = [*(later.span.start for later in order[1:]), None][: len(order)]
    return tuple(_days_done(one, times, until, now) for one, until in zip(order, ends, strict=True))


def _days_done(
    days: Days, times: Mapping[str, Sequence[Seen]], until: datetime | None, now: datetime
) -> DaysDone:
    by_set: dict[str, list[Aim]] = defaultdict(list)
    for aim in sorted(days.aims, key=lambda one: one.at):
        by_set[aim.set_name].append(aim)
    found: dict[_Came, list[Aim]] = {came: [] for came in _Came}
    for name, aims in by_set.items():
        seen = times.get(name, ())
        for aim, part in zip(aims, _parts(aims, days.span), strict=True):
            left = until is not None and aim.at >= until
            came = _Came.REPLACED if left else _came(aim, part, seen, days.span.start, now)
            found[came].append(aim)
    late, never = tuple(found[_Came.LATE]), tuple(found[_Came.NEVER])
    in_time, no_limit = len(found[_Came.IN_TIME]), len(found[_Came.NO_LIMIT])
    return DaysDone(
        days,
        planned=in_time + no_limit + len(late) + len(never),
        in_time=in_time,
        late=late,
        never=never,
        no_limit=no_limit,
        ahead=len(found[_Came.AHEAD]),
        replaced=len(found[_Came.REPLACED]),
        taken_up=len(found[_Came.TAKEN_UP]),
    )


class _Came(Enum):
    """What came of a planned look."""

    IN_TIME, LATE, NEVER, NO_LIMIT, AHEAD, REPLACED, TAKEN_UP = range(7)


def _came(aim: Aim, part: Span, seen: Sequence[Seen], since: datetime, now: datetime) -> _Came:
    made = next((one.at for one in seen if part.start <= one.at < part.end), None)
    if made is not None:
        if aim.due is None:
            return _Came.NO_LIMIT
        return _Came.IN_TIME if made <= aim.due else _Came.LATE
    if any(one.taken_up and since <= one.at < part.start for one in seen):
        return _Came.TAKEN_UP
    return _Came.AHEAD if now < max(aim.at, aim.due or part.end) else _Came.NEVER


def _parts(aims: Sequence[Aim], span: Span) -> list[Span]:
    """Cut the time of one set into a stretch for each of its planned looks."""
    starts = [(aims[0].since or aims[0].at) - LEAD]
    for before, aim in pairwise(aims):
        half = before.at + (aim.at - before.at) / 2
        starts.append(max(half, (aim.since or aim.at) - LEAD))
    last = max(span.end, aims[-1].due or span.end, starts[-1])
    return [Span(a, b) for a, b in pairwise([*starts, last + timedelta(seconds=1)])]
