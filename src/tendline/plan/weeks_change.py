"""Owns repairing a plan with as few changes as possible: what each change costs, and which were made.

Does not own the search (`plan.weeks`), nor the file the earlier plan stands in.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from tendline.core.when import Span
from tendline.plan.weeks_nouns import WeekOuting, WeeksPlan

CHANGE_S = 3600.0
"""Each look added or dropped counts as an hour: no plan saves so much by it that changes come first [s]."""


@dataclass(frozen=True)
class Was:
    """One outing of the earlier plan: who, its window, the sets it looks at."""

    who: str
    span: Span
    sets: frozenset[str]


@dataclass(frozen=True)
class Change:
    """One outing that differs: its window, and the sets whose look was added to it or dropped from it."""

    who: str
    span: Span
    added: tuple[str, ...]
    dropped: tuple[str, ...]


def before(earlier: Sequence[Was], outings: Sequence[WeekOuting]) -> dict[WeekOuting, frozenset[str]]:
    """Give for every window what the earlier plan did in it: the outings of its person in it."""
    found: dict[WeekOuting, frozenset[str]] = {}
    for one in outings:
        same = [was for was in earlier if was.who == one.who and _common(was.span, one.span) > 0.0]
        found[one] = frozenset().union(*(was.sets for was in same))
    return found


def _common(a: Span, b: Span) -> float:
    both = a.meet(b)
    return 0.0 if both is None else both.seconds


def price_of_change(
    was: Mapping[WeekOuting, frozenset[str]],
) -> Callable[[WeekOuting, frozenset[str]], float]:
    """Give the price of a round against the earlier plan [s].

    An outing that is not gone on at all drops all its looks; that is counted by giving the rounds that keep
    them a price below zero, as only the difference matters to the choice.
    """

    def price(outing: WeekOuting, sets: frozenset[str]) -> float:
        old = was.get(outing, frozenset())
        return CHANGE_S * (len(sets ^ old) - len(old))

    return price


def changes(plan: WeeksPlan, was: Mapping[WeekOuting, frozenset[str]]) -> tuple[Change, ...]:
    """Name every look that was added or dropped, window by window."""
    now: dict[WeekOuting, frozenset[str]] = {one: frozenset() for one in was}
    for planned in plan.rounds:
        looked = frozenset(v.set_name for v in planned.round.visits)
        now[planned.outing] = now.get(planned.outing, frozenset()) | looked
    found = []
    for one in sorted(now, key=lambda o: (o.span.start, o.who)):
        added, dropped = now[one] - was.get(one, frozenset()), was.get(one, frozenset()) - now[one]
        if added or dropped:
            found.append(Change(one.who, one.span, tuple(sorted(added)), tuple(sorted(dropped))))
    return tuple(found)
