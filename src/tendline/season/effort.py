"""Owns effort: device-nights by a stated convention, and the sums of everything counted, group by group.

Does not own the stretches (`walk`) or the ranges (`intervals`).
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from enum import StrEnum

from tendline.core.words import FoundAs, Happened
from tendline.season.groups import BY
from tendline.season.stretches import Ending, Stretch


class Convention(StrEnum):
    """How a stretch counts whose device did not work to its end; every output names it."""

    NELSON_CLARK = "half-interval"
    FUNCTIONAL = "functional"
    BY_FINDING = "by-finding"
    RAW = "raw"


SAYS: Mapping[Convention, str] = {
    Convention.NELSON_CLARK: (
        "half-interval rule (Nelson & Clark 1973): a device found not working for any cause, a catch "
        "included, counts for half the nights since the look before"
    ),
    Convention.FUNCTIONAL: (
        "functional nights: half is taken off for devices found down, sprung, covered or holding a "
        "non-target; a target catch is not, and a broken device counts for nothing"
    ),
    Convention.BY_FINDING: (
        "by how it was found: down or sprung counts half, under snow or frozen nothing, a catch whole "
        "(common practice, no source)"
    ),
    Convention.RAW: "raw device-nights: every night a device was out and set, whatever state it was found in",
}
"""Each convention in words."""

_HALF, _ALL, _NONE = 0.5, 1.0, 0.0
_ALWAYS = {Ending.OPERATIVE: _ALL, Ending.UNTOLD: _ALL, Ending.GONE: _NONE, Ending.DOWN: _NONE}
WEIGHT: Mapping[Convention, Mapping[Ending, float]] = {
    Convention.NELSON_CLARK: {
        **_ALWAYS,
        Ending.TARGET: _HALF,
        Ending.OTHER: _HALF,
        Ending.SPRUNG: _HALF,
        Ending.COVERED: _HALF,
        Ending.BROKEN: _HALF,
    },
    Convention.FUNCTIONAL: {
        **_ALWAYS,
        Ending.TARGET: _ALL,
        Ending.OTHER: _HALF,
        Ending.SPRUNG: _HALF,
        Ending.COVERED: _HALF,
        Ending.BROKEN: _NONE,
    },
    Convention.BY_FINDING: {
        **_ALWAYS,
        Ending.TARGET: _ALL,
        Ending.OTHER: _ALL,
        Ending.SPRUNG: _HALF,
        Ending.COVERED: _NONE,
        Ending.BROKEN: _ALL,
    },
    Convention.RAW: {
        **_ALWAYS,
        Ending.TARGET: _ALL,
        Ending.OTHER: _ALL,
        Ending.SPRUNG: _ALL,
        Ending.COVERED: _ALL,
        Ending.BROKEN: _ALL,
    },
}
"""What share of its nights a stretch counts for, by how it ended."""

ESCAPED = frozenset(
    {
        Happened.FIRED_EMPTY,
        Happened.BROKE_AWAY,
        Happened.CHEWED_OUT,
        Happened.ANCHOR_PULLED,
        Happened.SLIPPED_OUT,
    }
)
"""The loop closed on an animal and did not hold it."""

REFUSED = frozenset({Happened.REFUSED, Happened.UNDER_OR_OVER})
NEAR = REFUSED | ESCAPED | {Happened.PASSED_BY}
"""Signs of traffic without a catch: near-misses, where the animal is not known to be another."""


@dataclass
class Tally:
    """Sums over stretches.

    Parameters
    ----------
    looks
        Stretches that a look ended.
    nights
        Nights that a device stood set, as they passed, inside the season.
    effort
        Device-nights by the convention.
    outside
        Nights outside the season: in no rate.
    target, other
        Animals held.
    species
        Animals held by species, every standing.
    escaped, refused, knocked_down, near
        As the words of the look say.
    lost
        Devices lost or stolen, their nights since the last look not counted.
    sets
        Names of the sets.
    """

    looks: int = 0
    nights: float = 0.0
    effort: float = 0.0
    outside: float = 0.0
    target: int = 0
    other: int = 0
    species: Counter[str] = field(default_factory=Counter)
    target_species: Counter[str] = field(default_factory=Counter)
    escaped: Counter[str] = field(default_factory=Counter)
    refused: int = 0
    knocked_down: int = 0
    near: int = 0
    lost: int = 0
    sets: set[str] = field(default_factory=set)

    @property
    def held(self) -> int:
        """Animals held, of every standing."""
        return self.target + self.other

    def add(self, one: Stretch, weight: float, share: float = 1.0) -> None:
        """Count one stretch; `share` of its nights where it is split between groups."""
        nights = one.nights * share
        self.effort += nights * weight
        self.outside += one.outside * share
        if one.ending is not Ending.GONE and one.ending is not Ending.DOWN:
            self.nights += nights
        self.sets.add(one.set_name)

    def count(self, one: Stretch) -> None:
        """Count what the look at the end of a stretch found, once, where some of it lies in the season."""
        self.looks += one.found_as is not None
        self.lost += one.ending is Ending.GONE and one.tag is not None
        self.knocked_down += one.found_as is FoundAs.KNOCKED_DOWN
        if one.catch is not None:
            self.target += one.catch.standing == "target"
            self.other += one.catch.standing != "target"
            self.species[one.catch.species] += 1
            if one.catch.standing == "target":
                self.target_species[one.catch.species] += 1
        elif one.happened in ESCAPED:
            self.escaped[one.species or "unknown"] += 1
        self.refused += one.happened in REFUSED
        self.near += one.happened in NEAR and one.catch is None


def total(stretches: Iterable[Stretch], convention: Convention) -> Tally:
    """Add up stretches.

    Parameters
    ----------
    stretches
        Any.
    convention
        How a device found not working counts.
    """
    weights = WEIGHT[convention]
    tally = Tally()
    nights = effort = outside = 0.0
    looks = 0
    for one in stretches:  # the inner loop of everything: plain looks are most of a record
        ending, passed = one.ending, one.nights
        effort += passed * weights[ending]
        outside += one.outside
        nights += passed if ending is not Ending.GONE and ending is not Ending.DOWN else 0.0
        tally.sets.add(one.set_name)
        if passed > 0 or one.outside == 0:
            if ending is Ending.OPERATIVE and one.happened is Happened.NOTHING:
                looks += 1
            else:
                tally.count(one)
    tally.nights, tally.effort, tally.outside = nights, effort, outside
    tally.looks += looks
    return tally


def by_group(stretches: Iterable[Stretch], convention: Convention, name: str) -> dict[str, Tally]:
    """Add up stretches by one of `groups.BY`, or by ``set``.

    A stretch over the end of a week is split between the weeks by its nights; what its last look found counts
    in the week of that look.

    Returns
    -------
    dict of str to Tally
        In order of name.
    """
    weights = WEIGHT[convention]
    out: dict[str, Tally] = {}
    if name != "week":
        together: dict[str, list[Stretch]] = {}
        for one in stretches:
            together.setdefault(group_of(one, name), []).append(one)
        return {key: total(some, convention) for key, some in sorted(together.items())}
    for one in stretches:
        weeks = _weeks(one)
        for key, share in weeks.items():
            out.setdefault(key, Tally()).add(one, weights[one.ending], share)
        if in_season(one):
            out[list(weeks)[-1]].count(one)
    return dict(sorted(out.items()))


def group_of(one: Stretch, name: str) -> str:
    """Give the group of a stretch; ``set`` and ``week`` are groups as well."""
    if name == "set":
        return one.set_name
    if name == "week":
        return list(_weeks(one))[-1]
    return one.groups[name]


def every_group(stretches: Sequence[Stretch], convention: Convention) -> dict[str, dict[str, Tally]]:
    """Add up stretches by everything that effort is told by."""
    return {name: by_group(stretches, convention, name) for name in BY}


def in_season(one: Stretch) -> bool:
    """Say whether the look at its end counts: some of its nights lie inside, or it has none at all."""
    return one.nights > 0 or one.outside == 0


def _weeks(one: Stretch) -> dict[str, float]:
    """Share a stretch out over the weeks, told by their Monday, to whose mornings its nights belong."""
    nights = round(one.nights + one.outside)
    if nights <= 1:
        return {_monday(one, 0): 1.0}
    out: dict[str, float] = {}
    for n in range(nights - 1, -1, -1):
        monday = _monday(one, n)
        out[monday] = out.get(monday, 0.0) + 1.0 / nights
    return out


def _monday(one: Stretch, back: int) -> str:
    day = one.day - timedelta(days=back)
    return (day - timedelta(days=day.weekday())).isoformat()
