"""Owns when a person may look at a set: lawful hours, people barred from it, rounds left to one person.

Does not own the law: lawful hours are handed in with the set.
"""

from collections.abc import Iterator
from datetime import timedelta

from tendline.core.when import Span
from tendline.plan.weeks_nouns import WeekOuting, WeekSet

_SECOND = timedelta(seconds=1)


def open_to(one: WeekSet, outing: WeekOuting) -> tuple[Span, ...]:
    """Give the parts of an outing in which its person may look at a set, in order."""
    if outing.who in one.barred_to:
        return ()
    parts = one.lawful(outing.span)
    for span, who in one.left_to:
        if who != outing.who:
            parts = tuple(rest for part in parts for rest in _without(part, span))
    return parts


def _without(part: Span, out: Span) -> Iterator[Span]:
    """Give what is left of a stretch without another, to the second."""
    if part.start <= out.start - _SECOND:
        yield Span(part.start, min(part.end, out.start - _SECOND))
    if out.end + _SECOND <= part.end:
        yield Span(max(part.start, out.end + _SECOND), part.end)
