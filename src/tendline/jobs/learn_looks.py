"""Owns what the record of checks says of the time a look takes: as noted, or from one look to the next.

Does not own the ranges (`season.own_times`) or what is offered (`learn`).
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise

from tendline.core.line import LineState
from tendline.core.when import local_day
from tendline.core.words import Done, FoundAs
from tendline.jobs.learn_walks import Ground
from tendline.jobs.walks import Tell, walks_between
from tendline.jobs.workspace import Workspace
from tendline.logbook.corrected import Effective
from tendline.logbook.store import SourceFile

LONGEST_GAP_S = 2 * 3600.0
"""A longer gap between two looks holds something else: a drive, a meal [s]; common practice, no source."""

_PLAIN = (Done.LOOKED, Done.NONE)
_FIXED = (Done.ADJUSTED, Done.REHUNG, Done.DUG_OUT, Done.REMADE, Done.SWAPPED)


@dataclass(frozen=True)
class Gap:
    """From the end of one look to the end of the next: time by the clock, walk by the curve, ground, kind."""

    seconds: float
    walk_s: float
    snowy: bool | None
    kind: str


@dataclass
class Looks:
    """What the checks come to.

    Parameters
    ----------
    noted
        Times at the set as noted, by kind: ``look``, ``fix``, ``catch`` [s].
    gaps
        Gaps between looks of one person on one day, on ground that is walked.
    stays
        Times at the set as recorded walks show them, by kind [s].
    plain, fixed
        How many looks had nothing to do, and how many a repair.
    """

    noted: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    gaps: list[Gap] = field(default_factory=list)
    stays: dict[str, list[float]] = field(default_factory=dict)
    plain: int = 0
    fixed: int = 0


def looks_on_record(
    space: Workspace,
    line: LineState,
    standing: Sequence[Effective],
    sources: Sequence[SourceFile],
    *,
    grounds: Mapping[date, Ground],
    tell: Tell,
) -> Looks:
    """Go through all the checks.

    A check is taken to be noted when the work at the set is done, so that the time to the next is the walk
    and the next look. Looks from a distance, and sets that are not on one parcel, are passed over.
    """
    found = Looks()
    checks = [e for e in standing if e.event.kind == "check" and not e.body.get("from_distance")]
    for check in checks:
        kind = kind_of(check)
        found.plain += kind == "look"
        found.fixed += kind == "fix"
        if kind and check.body.get("minutes_s") is not None:
            found.noted[kind].append(float(check.body["minutes_s"]))
    pairs = list(_pairs(space, line, checks))
    if pairs:
        _add_gaps(space, line, pairs, found, sources, grounds=grounds, tell=tell)
    return found


def kind_of(check: Effective) -> str:
    """Say which sort of look it was: a plain one, a repair, a catch; empty for what is none of them."""
    if check.body["found_as"] == FoundAs.HOLDING:
        return "catch"
    if check.body["done"] in _FIXED:
        return "fix"
    return "look" if check.body["done"] in _PLAIN else ""


def _pairs(
    space: Workspace, line: LineState, checks: Sequence[Effective]
) -> list[tuple[Effective, Effective]]:
    rows: dict[tuple[str, date], list[Effective]] = defaultdict(list)
    for check in checks:
        rows[check.event.by, local_day(check.happened_at, space.settings.zone)].append(check)
    found = []
    for row in rows.values():
        for a, b in pairwise(sorted(row, key=lambda e: e.happened_at)):
            seconds = (b.happened_at - a.happened_at).total_seconds()
            one, other = (line.sets.get(str(e.body["set"])) for e in (a, b))
            together = one and other and one.parcel and one.parcel == other.parcel
            if together and 0 < seconds <= LONGEST_GAP_S and a.body["set"] != b.body["set"] and kind_of(b):
                found.append((a, b))
    return found


def _add_gaps(
    space: Workspace,
    line: LineState,
    pairs: Sequence[tuple[Effective, Effective]],
    found: Looks,
    sources: Sequence[SourceFile],
    *,
    grounds: Mapping[date, Ground],
    tell: Tell,
) -> None:
    names = sorted({str(e.body["set"]) for pair in pairs for e in pair})
    groups: dict[str, set[str]] = defaultdict(set)
    for name in names:
        groups[line.sets[name].parcel].add(name)
    places = {name: line.sets[name].fix.place for name in names}
    plain = space.with_walk(own=1.0, snow=1.0, sink_m=None, path_snow=None)
    walk = walks_between(plain, places, list(groups.values()), sources, dark=False, tell=tell).walk
    index = {name: n for n, name in enumerate(walk.names)}
    for a, b in pairs:
        walk_s = float(walk.seconds[index[str(a.body["set"])], index[str(b.body["set"])]])
        if walk_s < LONGEST_GAP_S:
            day = local_day(b.happened_at, space.settings.zone)
            seconds = (b.happened_at - a.happened_at).total_seconds()
            found.gaps.append(Gap(seconds, walk_s, grounds.get(day, Ground()).snowy, kind_of(b)))
