"""Owns comparisons: builds, kinds of place, loops, classes and seasons side by side, by exact methods.

Does not own the sums (`effort`) or the ranges (`intervals`).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from tendline.season.effort import Tally
from tendline.season.intervals import Compared, Estimate, rate_ratio, ratio_by_score, share_difference
from tendline.season.stretches import NOT_TOLD

COMPARED = ("device class", "location type", "loop", "build", "property")
"""What is compared, group against group; weeks and weather are only told."""

MOST = 5
"""So many groups, those with most nights, are compared with the first."""


@dataclass(frozen=True)
class Versus:
    """Two groups side by side.

    Parameters
    ----------
    by
        By what they differ.
    one, other
        Their names; `other` is the one with most nights, or the season before.
    first, second
        Target catches and effort of each.
    compared
        Rate of `one` over rate of `other`.
    p
        Two-sided; within one `by` corrected for all that was compared (Holm).
    """

    by: str
    one: str
    other: str
    first: tuple[int, float]
    second: tuple[int, float]
    compared: Compared
    p: float

    @property
    def shown(self) -> bool:
        """Whether a difference is shown, all comparisons allowed for."""
        return self.compared.shown and self.p < 0.05

    @property
    def said(self) -> str:
        """What may be said of it."""
        if self.first[0] + self.second[0] == 0:
            return "nothing caught in either: nothing to compare"
        if self.shown:
            return "more" if self.compared.ratio is not None and self.compared.ratio > 1 else "fewer"
        if self.compared.shown:
            return "no difference shown, once all that is compared here is allowed for"
        return "no difference shown"


def between_groups(groups: Mapping[str, Mapping[str, Tally]], *, score: bool = False) -> tuple[Versus, ...]:
    """Compare groups with the one of most nights.

    Parameters
    ----------
    groups
        As `effort.every_group` gives them.
    score
        By the score method; else exact.

    Returns
    -------
    tuple of Versus
        Groups that nobody noted are left out.
    """
    out: list[Versus] = []
    for by in COMPARED:
        told = {name: t for name, t in groups.get(by, {}).items() if name != NOT_TOLD and t.effort > 0}
        order = sorted(told, key=lambda name: (-told[name].effort, name))[: MOST + 1]
        pairs = [
            _versus(by, (name, told[name]), (order[0], told[order[0]]), score=score) for name in order[1:]
        ]
        out += _corrected(pairs)
    return tuple(out)


def between_seasons(
    now: tuple[str, Tally], before: tuple[str, Tally], *, score: bool = False
) -> tuple[Versus, Estimate, Estimate] | None:
    """Compare a season with the one before it.

    Parameters
    ----------
    now, before
        Each a name and its sums.
    score
        By the score method; else exact.

    Returns
    -------
    tuple or None
        The rates side by side, and the differences of efficiency and of selectivity; None where the season
        before has no effort.
    """
    if before[1].effort <= 0 or now[1].effort <= 0:
        return None
    held = [(t.target, t.target + sum(t.escaped.values())) for _, t in (now, before)]
    right = [(t.target, t.held) for _, t in (now, before)]
    return (
        _versus("season", now, before, score=score),
        share_difference(held[0], held[1]),
        share_difference(right[0], right[1]),
    )


def _versus(by: str, one: tuple[str, Tally], other: tuple[str, Tally], *, score: bool) -> Versus:
    first, second = (one[1].target, one[1].effort), (other[1].target, other[1].effort)
    compared = ratio_by_score(first, second) if score else rate_ratio(first, second)
    return Versus(by, one[0], other[0], first, second, compared, compared.p)


def _corrected(pairs: list[Versus]) -> list[Versus]:
    """Allow for several comparisons at once (Holm 1979, *Scand. J. Statist.* 6:65-70)."""
    floor, by_name = 0.0, {}
    for i, one in enumerate(sorted(pairs, key=lambda v: v.p)):
        floor = max(floor, min(1.0, one.p * (len(pairs) - i)))
        by_name[one.one] = floor
    return [Versus(v.by, v.one, v.other, v.first, v.second, v.compared, by_name[v.one]) for v in pairs]
