"""Owns putting outings together that are alike, so that a search need not tell their people apart.

Does not own the search.

Two people with the same window who may look at the same sets could change places in any plan. As outings of
their own they give every plan many times over, and a search for whole numbers loses itself among them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from tendline.plan.weeks_nouns import WeekOuting, WeeksProblem
from tendline.plan.weeks_rounds import Round

Alike = Mapping[int, tuple[int, ...]]
"""From the first of outings that are alike to all of them."""


def alike(problem: WeeksProblem, outings: Sequence[WeekOuting]) -> Alike:
    """Put outings together that have the same times and sets, and nothing else to tell them apart."""
    barred = {
        who: frozenset(one.name for one in problem.sets if who in one.barred_to)
        for who in {outing.who for outing in outings}
    }
    own = [(one.name, span, who) for one in problem.sets for span, who in one.left_to]
    groups: dict[tuple[object, ...], list[int]] = {}
    for k, outing in enumerate(outings):
        apart = _apart(groups, outing, outings) if problem.price_s is None else (k,)
        left = frozenset(name for name, span, who in own if who != outing.who and span.meet(outing.span))
        key = (outing.span.start, outing.span.end, barred[outing.who], left, *apart)
        groups.setdefault(key, []).append(k)
    return {members[0]: tuple(members) for members in groups.values()}


def _apart(
    groups: Mapping[tuple[object, ...], Sequence[int]], outing: WeekOuting, outings: Sequence[WeekOuting]
) -> tuple[object, ...]:
    """Keep one person's outings apart from each other, should two of them be given the same times."""
    again = [m for m in groups.values() if any(outings[k] == outing for k in m)]
    return (outing.who, len(again)) if again else ()


def shared_out(rounds: Sequence[Round], groups: Alike, outings: Sequence[WeekOuting]) -> tuple[Round, ...]:
    """Give every round to one of the people who could drive it: to the one with least time away so far."""
    away: dict[str, int] = {}
    found: list[Round] = []
    taken: set[int] = set()
    for one in sorted(rounds, key=lambda r: (r.leave, r.outing, -r.length, r.order)):
        free = [k for k in groups.get(one.outing, (one.outing,)) if k not in taken]
        chosen = min(free, key=lambda k: (away.get(outings[k].who, 0), k))
        taken.add(chosen)
        away[outings[chosen].who] = away.get(outings[chosen].who, 0) + one.length
        found.append(replace(one, outing=chosen))
    return tuple(found)
