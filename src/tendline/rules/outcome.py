"""Owns whether something asked is met, and how several answers are put together into one.

Does not own the asking (`rules.meet`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from tendline.rules.finding import Shown


class Met(StrEnum):
    """Whether something asked is met."""

    NO = "no"
    OVERDUE = "overdue"
    UNKNOWN = "unknown"
    CLOSE = "close"
    DUE = "due"
    YES = "yes"
    IDLE = "idle"


_GRAVE = tuple(Met)
"""The gravest first; of all that is asked together, the gravest answers."""

_EASY = (Met.YES, Met.CLOSE, Met.UNKNOWN, Met.DUE, Met.OVERDUE, Met.NO, Met.IDLE)
"""The easiest first; of several ways to comply, the easiest answers."""


@dataclass(frozen=True)
class Outcome:
    """Whether it is met, with what must be said, what the person can do, and what was measured."""

    met: Met
    said: tuple[str, ...] = ()
    ask: tuple[str, ...] = ()
    shown: Shown | None = None
    probability: float | None = None
    due_at: datetime | None = None


def yes(*said: str) -> Outcome:
    """Say that it is met."""
    return Outcome(Met.YES, said)


def no(*said: str) -> Outcome:
    """Say that it is not met."""
    return Outcome(Met.NO, said)


def idle(*said: str) -> Outcome:
    """Say that it asks nothing here."""
    return Outcome(Met.IDLE, said)


def unknown(ask: str, *said: str) -> Outcome:
    """Say that it cannot be told, and what would help."""
    return Outcome(Met.UNKNOWN, said, (ask,))


def all_of(outcomes: Sequence[Outcome]) -> Outcome:
    """Put together what is asked at once: the gravest answers, and what supports it is said."""
    if not outcomes:
        return idle()
    met = min((o.met for o in outcomes), key=_GRAVE.index)
    telling = [o for o in outcomes if o.met is met]
    if met is Met.YES:
        telling = [o for o in outcomes if o.met in (Met.YES, Met.IDLE)]
    return _joined(met, telling)


def any_of(outcomes: Sequence[Outcome]) -> Outcome:
    """Put together several ways to comply: the easiest answers; where none is met, all are told."""
    met = min((o.met for o in outcomes), key=_EASY.index)
    if met in (Met.YES, Met.CLOSE):
        return next(o for o in outcomes if o.met is met)
    return _joined(met, [o for o in outcomes if met is Met.NO or o.met in (met, Met.NO)])


def shifted(outcome: Outcome, met: Met, *said: str, ask: tuple[str, ...] = ()) -> Outcome:
    """Give the outcome with another answer and more said."""
    return replace(outcome, met=met, said=(*outcome.said, *said), ask=(*outcome.ask, *ask))


def _joined(met: Met, outcomes: Sequence[Outcome]) -> Outcome:
    shown = [o.shown for o in outcomes if o.shown is not None and o.met is met]
    chances = [o.probability for o in outcomes if o.probability is not None]
    times = [o.due_at for o in outcomes if o.due_at is not None]
    return Outcome(
        met,
        tuple(dict.fromkeys(line for o in outcomes for line in o.said)),
        tuple(dict.fromkeys(line for o in outcomes for line in o.ask)),
        shown[0] if len(shown) == 1 or (shown and met is not Met.YES) else None,
        min(chances) if chances else None,
        min(times) if times else None,
    )
