"""Owns rounds of the person's own that a plan must keep: these sets on this day, in these hours.

Does not own the search: a kept round is put as a limit of its sets, so that every plan found keeps it.

A look before the hours of a kept round falls due again at their end, whatever the law allows. So the last
look before them is followed by one inside them, and by nothing less.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from tendline.core.when import Span
from tendline.plan.weeks_clocks import GRID_MS
from tendline.plan.weeks_nouns import WeekClock, WeekSet, WeeksPlan, WeeksProblem

_GRID = GRID_MS / 1000.0


@dataclass(frozen=True)
class Kept:
    """One round to be kept: its hours, its sets, who makes it (empty for anybody), and how it was written."""

    span: Span
    sets: tuple[str, ...]
    who: str = ""
    told: str = ""


@dataclass(frozen=True)
class _Next:
    """From a look to the limit of the next: the law's, or the end of the next kept round."""

    clock: WeekClock
    spans: tuple[Span, ...]

    def __call__(self, look: datetime) -> datetime | None:
        limit = self.clock.next_due(look)
        # Clocks are read off a grid, and of a jump the side before it is taken: so it jumps a step early.
        ahead = next((s.end for s in self.spans if (s.start - look).total_seconds() > _GRID), None)
        return limit if ahead is None else ahead if limit is None else min(limit, ahead)


def keeping(problem: WeeksProblem, kept: Sequence[Kept]) -> WeeksProblem:
    """Give the days ahead with rounds of one's own put as limits of their sets."""
    spans = {
        one.name: tuple(sorted(each.span for each in kept if one.name in each.sets)) for one in problem.sets
    }
    clocks: dict[str, WeekClock] = {}
    return replace(
        problem, sets=tuple(_kept(problem, one, spans[one.name], clocks, kept) for one in problem.sets)
    )


def _kept(
    problem: WeeksProblem,
    one: WeekSet,
    spans: tuple[Span, ...],
    clocks: dict[str, WeekClock],
    kept: Sequence[Kept],
) -> WeekSet:
    if not spans:
        return one
    key = f"{one.clock.key}|kept {';'.join(f'{s.start.isoformat()}/{s.end.isoformat()}' for s in spans)}"
    clock = clocks.setdefault(key, WeekClock(key, _Next(one.clock, spans), one.clock.words))
    first = next((s.end for s in spans if s.start >= problem.span.start), None)
    limits = [at for at in (one.due, first) if at is not None]
    left = tuple((each.span, each.who) for each in kept if each.who and one.name in each.sets)
    # A set that wants seeing first is left to that; its kept rounds hold from its first look on.
    due = one.due if one.go_now else min(limits, default=None)
    return replace(one, clock=clock, due=due, left_to=(*one.left_to, *left))


def not_kept(plan: WeeksPlan, kept: Sequence[Kept]) -> list[tuple[Kept, tuple[str, ...]]]:
    """Name the kept rounds that a plan does not keep, with the sets it does not look at in their hours."""
    looks = [(one.outing.who, v.set_name, v.look) for one in plan.rounds for v in one.round.visits]
    found = []
    for one in kept:
        seen = {name for who, name, at in looks if one.span.holds(at) and who == (one.who or who)}
        missing = tuple(name for name in one.sets if name not in seen)
        if missing:
            found.append((one, missing))
    return found
