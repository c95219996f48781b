"""Owns what a reader of a round is told besides the plan: landmarks, last looks, sun, rule and its standing.

Does not own the plan (`plan.itinerary`) nor how these facts are found: a job gathers them from lower rooms.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from tendline.almanac.sun import NoEvent, SunTimes
from tendline.core.errors import FaultList
from tendline.core.settings import TimeCosts
from tendline.core.units import Units
from tendline.plan.itinerary import RoundPlan
from tendline.report.faults import NO_FACTS


@dataclass(frozen=True)
class SetFacts:
    """One set as the reader must know it.

    Parameters
    ----------
    name
        Short name.
    landmark
        How to find it under snow, in words.
    tag
        The number on the device; None when there is none on record.
    last_look
        The last time somebody was there and saw it, UTC; None when no record says.
    clock_from
        When the running interval began, UTC; None to take `last_look`.
    rule
        The rule in a word or two: ``24 h``, ``each day``. May be empty.
    verified
        Whether the person has confirmed the rule for this season. If not, its limit is marked so.
    personal_due
        The person's own stricter limit, UTC; None when they set none.
    overdue_since
        The limit that had passed before the outing began, UTC; None when none had.
    bring
        What this set needs beyond the usual.
    note
        Anything else to know before walking up: a dog, a bull, a locked gate.
    """

    name: str
    landmark: str = ""
    tag: str | None = None
    last_look: datetime | None = None
    clock_from: datetime | None = None
    rule: str = ""
    verified: bool = False
    personal_due: datetime | None = None
    overdue_since: datetime | None = None
    bring: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class RuleNote:
    """One rule profile the round was planned under.

    Parameters
    ----------
    profile
        Its name.
    says
        The check rule in one plain sentence.
    citation
        Where that was read, with how surely.
    confirmed, until
        The person's own confirmation and the last day it holds; None when there is none.
    """

    profile: str
    says: str
    citation: str
    confirmed: date | None = None
    until: date | None = None

    def holds(self, day: date) -> bool:
        """Say whether the person's confirmation holds on `day`."""
        return self.confirmed is not None and self.until is not None and self.confirmed <= day <= self.until

    def standing(self, day: date) -> str:
        """Say the same in words."""
        if self.confirmed is None or self.until is None:
            return "NOT VERIFIED: nobody has confirmed it for this season."
        if not self.holds(day):
            return f"NOT VERIFIED: confirmed {self.confirmed}, good until {self.until} only."
        return f"Confirmed {self.confirmed}, good until {self.until}."


CAUTIONS = (
    "Not legal advice: the law and the officer decide.",
    "A held animal comes before the clock.",
    "Dog or protected animal: call owner or officer first.",
    "Ice, steep, dark: turn back.",
    "Tell somebody when you will be back.",
)
"""The usual cautions, on every card and every round; common practice, no source."""


@dataclass(frozen=True)
class RoundFacts:
    """Everything a round is printed with, besides its plan.

    Parameters
    ----------
    line
        What the line is called.
    who
        Who goes.
    zone, units
        What times and lengths are written in.
    sets
        By short name; every set on the round must be there.
    sun
        None when it was not worked out.
    rules
        Profiles in use.
    time
        What the work costs, for odds and what to carry.
    parking_notes
        By name of the parking: gates, keys, where the truck may stand.
    carry
        What the person always wants on the carry list besides the usual.
    cautions
        Beyond the standing ones: weather, ice, a hunt on the ground.
    snow
        Snow lies, so shovel and probe are carried.
    invented
        The line is an example: everything says so.
    made_from
        What the plan was made from, in words: ``logbook of 412 events, last 14 Jan 19:30``.
    """

    line: str
    who: str
    zone: ZoneInfo
    units: Units
    sets: Mapping[str, SetFacts]
    sun: SunTimes | None = None
    rules: tuple[RuleNote, ...] = ()
    time: TimeCosts = field(default_factory=TimeCosts)
    parking_notes: Mapping[str, str] = field(default_factory=dict)
    carry: tuple[str, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS
    snow: bool = False
    invented: bool = False
    made_from: str = ""


def check_facts(plan: RoundPlan, facts: RoundFacts) -> None:
    """Make sure that every set on the round has its facts.

    Raises
    ------
    Refused
        REP-101, once for each set without.
    """
    faults = FaultList()
    for name in [v.set_name for v in plan.visits] + [left.set_name for left in plan.left_out]:
        if name not in facts.sets:
            faults.add(
                NO_FACTS,
                "it is on the round, but nothing about it was handed on.",
                f"set {name}",
                "Look whether the set was pulled or renamed since the round was planned, and plan again.",
            )
    faults.refuse()


def dark_looks(plan: RoundPlan, sun: SunTimes | None) -> int | None:
    """Count the looks before first light or after last light; None when the sun was not worked out."""
    return None if sun is None else sum(is_dark(v.look, sun) for v in plan.visits)


def is_dark(instant: datetime, sun: SunTimes) -> bool:
    """Say whether `instant`, on the day of `sun`, lies outside civil twilight."""
    before = sun.dawn is not None and instant < sun.dawn
    after = sun.dusk is not None and instant > sun.dusk
    return before or after or NoEvent.NEVER_RISES in (sun.why.get("dawn"), sun.why.get("dusk"))
