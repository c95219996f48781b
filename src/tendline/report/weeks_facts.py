"""Owns what a reader of the days ahead is told besides the plan.

Does not own the plan (`plan.weeks`) or its wording (`report.weeks_text`, `report.weeks_words`).
"""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from tendline.core.units import Units
from tendline.core.when import Span
from tendline.plan.weeks_change import Change
from tendline.plan.weeks_compare import AsBefore, EveryDay
from tendline.plan.weeks_risk import Risk


@dataclass(frozen=True)
class Tried:
    """One step of time in hand [min]: the hours of its plan [h], and the chance that something is late."""

    in_hand_min: int
    hours: float
    any_bad: float


@dataclass(frozen=True)
class WeeksFacts:
    """What a reader of the days ahead is told besides the plan.

    Parameters
    ----------
    line, zone, units, span
        The line, how times and lengths are written, and the days.
    every_day
        What looking at everything every day would take; None when not worked out.
    as_before, days
        What was done of late, by the record; None for nothing. How many days are planned.
    risk
        Chances of the plan; None when there is none.
    in_hand_min, safe, tried
        Time in hand the plan was made with [min]; the chance of nothing late that was asked for; every step
        of time in hand that was tried for it.
    own_hours
        The person's own limit [h]; None when there is none.
    kept
        Rounds of the person's own that the plan keeps, in words.
    was, changes
        The earlier plan's file, and how this one differs from it; None when none was repaired.
    said
        What must be told with it.
    """

    line: str
    zone: ZoneInfo
    units: Units
    span: Span
    every_day: EveryDay | None = None
    as_before: AsBefore | None = None
    days: int = 14
    risk: Risk | None = None
    in_hand_min: int = 0
    safe: float | None = None
    tried: tuple[Tried, ...] = ()
    own_hours: float | None = None
    kept: tuple[str, ...] = ()
    was: str = ""
    changes: tuple[Change, ...] | None = None
    said: tuple[str, ...] = ()
    invented: bool = False
    seed: int = 1

    @property
    def safe_enough(self) -> bool:
        """Whether the plan is as safe as was asked."""
        return self.safe is None or (self.risk is not None and self.risk.any_bad <= 1.0 - self.safe)
