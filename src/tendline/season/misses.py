"""Owns what the misses say: coded misses by cause, set against loop, height, snow and build.

Does not own the counting of nights (`effort`). It stays silent where too few events would show anything.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from tendline.core.words import FoundAs, Happened
from tendline.season.effort import WEIGHT, Convention, in_season
from tendline.season.intervals import Compared, rate_ratio
from tendline.season.stretches import NOT_TOLD, Ending, Stretch

LEAST_EVENTS = 6
"""Fewer events of a cause are told as a count and nothing is made of them.

Six in one of two equal halves is the fewest that the exact test can show at 0.05: 2 · 0.5⁶ = 0.031.
"""

ALPHA = 0.05


@dataclass(frozen=True)
class Cause:
    """One cause of misses, what counts for it, and the smallest change to try on either side."""

    name: str
    holds: Callable[[Stretch], bool]
    tries: Mapping[tuple[str, bool], str]
    otherwise: str


@dataclass(frozen=True)
class Finding:
    """One thing that the misses show.

    Parameters
    ----------
    factor
        ``loop``, ``height``, ``snow`` or ``build``.
    more, less
        The group with more of them per night, and the other, in words.
    compared
        Rate in `more` over rate in `less`.
    p
        Two-sided, corrected for all that was compared for this cause (Holm).
    counts
        Events in `more` and in `less`.
    try_
        The smallest change to try.
    """

    factor: str
    more: str
    less: str
    compared: Compared
    p: float
    counts: tuple[int, int]
    try_: str


@dataclass(frozen=True)
class Missed:
    """One cause: how often, and what is shown, if anything."""

    cause: str
    events: int
    findings: tuple[Finding, ...]
    said: str


def _happened(*words: Happened) -> Callable[[Stretch], bool]:
    return lambda one: one.happened in words and one.catch is None


CAUSES = (
    Cause(
        "knocked down by deer",
        lambda one: one.happened is Happened.DEER,
        {
            (
                "height",
                True,
            ): "hang the next ones at the lower height, inside the law, or move off the deer path",
            ("height", False): "hang the next ones at the higher height, inside the law",
            ("loop", True): "try the smaller loop there",
            ("snow", True): "expect deer on packed trails after snow; move those sets off them",
        },
        "move the sets that are hit again and again off the deer path",
    ),
    Cause(
        "refused",
        _happened(Happened.REFUSED),
        {
            ("loop", True): "try the smaller loop, or hide it better",
            ("loop", False): "try the larger loop",
            ("height", True): "hang it lower by one step, inside the law",
            ("height", False): "hang it higher by one step, inside the law",
            ("snow", True): "after snow leave no boot track up to the loop",
            ("build", True): "use the other build there",
        },
        "leave those sets alone for a week, then change one thing: glint, smell or approach",
    ),
    Cause(
        "went under or over",
        _happened(Happened.UNDER_OR_OVER),
        {
            ("height", True): "hang it lower by one step, inside the law, or block under it",
            ("height", False): "hang it higher by one step, inside the law, or block over it",
            ("snow", True): "measure again after each snow from what the animal walks on",
            ("loop", False): "try the larger loop",
        },
        "note under or over each time, and block that side",
    ),
    Cause(
        "closed empty",
        _happened(Happened.FIRED_EMPTY, Happened.SLIPPED_OUT),
        {
            ("loop", True): "try the smaller loop",
            ("loop", False): "try the larger loop",
            ("height", True): "hang it lower by one step, inside the law",
            ("height", False): "hang it higher by one step, inside the law",
            ("build", True): "look over locks and cables of that build: kinks, frost, old cable",
        },
        "look over locks and cables of those sets: kinks, frost, old cable",
    ),
    Cause(
        "broke away or pulled out",
        _happened(Happened.BROKE_AWAY, Happened.ANCHOR_PULLED, Happened.CHEWED_OUT),
        {("build", True): "test breakaway and swivel of that build before the next goes out"},
        "test the anchors by hand at the next look; note soil and frost",
    ),
    Cause(
        "turned or down by wind, thaw or snow",
        lambda one: (
            one.happened in (Happened.WIND, Happened.THAW, Happened.SNOW, Happened.FREEZE)
            and one.found_as is not FoundAs.WORKING
        ),
        {
            ("snow", True): "raise, move to the lee, or close before the next fall",
            ("height", False): "hang it higher by one step, inside the law, before snow",
        },
        "a stiffer support, or the other side of the bush",
    ),
)
"""Causes, with the smallest changes (common practice, no source)."""

_FACTORS = {"loop": "loop_m", "height": "bottom_m", "snow": "snow_m"}


def misses(
    stretches: Sequence[Stretch], lengths: Callable[[float], str], convention: Convention
) -> tuple[Missed, ...]:
    """Say what the misses show, cause by cause.

    Parameters
    ----------
    stretches
        Of the season.
    lengths
        Words a length [m].
    convention
        By which nights count.
    """
    stood = [one for one in stretches if one.ending is not Ending.DOWN and in_season(one)]
    return tuple(
        found for cause in CAUSES if (found := _missed(cause, stood, lengths, convention)) is not None
    )


def _missed(
    cause: Cause, stood: Sequence[Stretch], lengths: Callable[[float], str], convention: Convention
) -> Missed | None:
    events = sum(cause.holds(one) for one in stood)
    if events == 0:
        return None
    if events < LEAST_EVENTS:
        return Missed(
            cause.name, events, (), f"too few to show anything; from {LEAST_EVENTS} on it is looked at"
        )
    tried = [
        found
        for factor in _FACTORS
        if (found := _by_measure(cause, stood, factor, lengths, convention)) is not None
    ]
    build = _by_build(cause, stood, convention)
    kept = _holm([*tried, *([build] if build is not None else [])])
    said = "" if kept else f"nothing told apart by loop, height, snow or build; {cause.otherwise}"
    return Missed(cause.name, events, tuple(kept), said)


def _by_measure(
    cause: Cause,
    stood: Sequence[Stretch],
    factor: str,
    lengths: Callable[[float], str],
    convention: Convention,
) -> Finding | None:
    """Split at the middle of a measure and compare both halves."""
    column = _FACTORS[factor]
    told = [one for one in stood if column in one.measures]
    if not told:
        return None
    middle = median(one.measures[column] for one in told)
    high = [one for one in told if one.measures[column] > middle]
    low = [one for one in told if one.measures[column] <= middle]
    if not high:
        high = [one for one in told if one.measures[column] >= middle]
        low = [one for one in told if one.measures[column] < middle]
    names = f"{factor} over {lengths(middle)}", f"{factor} of {lengths(middle)} or less"
    return _compare(cause, factor, (high, names[0]), (low, names[1]), convention)


def _by_build(cause: Cause, stood: Sequence[Stretch], convention: Convention) -> Finding | None:
    """Compare the build with most nights with all the others."""
    told = [one for one in stood if one.groups["build"] != NOT_TOLD]
    names = {one.groups["build"] for one in told}
    if len(names) < 2:
        return None
    usual = max(sorted(names), key=lambda n: sum(one.nights for one in told if one.groups["build"] == n))
    first = [one for one in told if one.groups["build"] == usual]
    rest = [one for one in told if one.groups["build"] != usual]
    return _compare(cause, "build", (first, usual), (rest, "the other builds"), convention)


def _compare(
    cause: Cause,
    factor: str,
    one: tuple[Sequence[Stretch], str],
    two: tuple[Sequence[Stretch], str],
    convention: Convention,
) -> Finding | None:
    a, b = _counted(cause, one[0], convention), _counted(cause, two[0], convention)
    if a[1] <= 0 or b[1] <= 0 or a[0] + b[0] == 0:
        return None
    first_more = a[0] / a[1] >= b[0] / b[1]
    more, less = (one[1], two[1]) if first_more else (two[1], one[1])
    top, bottom = (a, b) if first_more else (b, a)
    compared = rate_ratio(top, bottom)
    try_ = cause.tries.get((factor, first_more or factor == "build"), cause.otherwise)
    return Finding(factor, more, less, compared, compared.p, (top[0], bottom[0]), try_)


def _counted(cause: Cause, some: Sequence[Stretch], convention: Convention) -> tuple[int, float]:
    weights = WEIGHT[convention]
    return sum(cause.holds(one) for one in some), sum(one.nights * weights[one.ending] for one in some)


def _holm(findings: Sequence[Finding]) -> list[Finding]:
    """Keep what is still shown once all comparisons are allowed for.

    References
    ----------
    Holm 1979, *Scandinavian Journal of Statistics* 6:65-70.
    """
    kept: list[Finding] = []
    floor = 0.0
    for i, one in enumerate(sorted(findings, key=lambda f: f.p)):
        floor = max(floor, min(1.0, one.p * (len(findings) - i)))
        if floor < ALPHA:
            kept.append(Finding(one.factor, one.more, one.less, one.compared, floor, one.counts, one.try_))
    return kept
