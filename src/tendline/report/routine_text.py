"""Owns a week that can be repeated, as text for a terminal and as one document.

Does not own the week (`plan.weeks_cycle`).
"""

from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.units import Units, format_distance, format_minutes
from tendline.plan.weeks_cycle import WEEK, WEEKS, Cycle
from tendline.plan.weeks_nouns import PlannedOuting, SetLooks, WeeksPlan
from tendline.report.say import INVENTED, clock, plain
from tendline.report.table import Column, Row, draw_table, fold

_OUTINGS = (
    Column("day"),
    Column("who"),
    Column("leave", right=True),
    Column("back", right=True),
    Column("driven", right=True),
    Column("sets", right=True),
    Column("in this order", wrap=True),
)
_GAPS = (Column("looks a week", right=True), Column("largest gap", right=True), Column("sets", wrap=True))

CAUTION = (
    "Not legal advice: limits are those of the profile you confirmed. A week on paper is no look: plan the "
    "days ahead with tendline weeks, which starts from the last real looks, and note each check."
)


@dataclass(frozen=True)
class RoutineFacts:
    """What is told with the week: the line, its zone and units, notes, whether it is invented."""

    line: str
    zone: ZoneInfo
    units: Units
    said: tuple[str, ...] = ()
    invented: bool = False


def routine_text(found: Cycle, facts: RoutineFacts, *, width: int = 100) -> str:
    """Write the week for a terminal.

    Parameters
    ----------
    found, facts
        The week, and what is told with it.
    width
        Widest line [characters], 20 or more.

    Raises
    ------
    Refused
        REP-103 for a width under 20.
    """
    lines = [*([INVENTED, ""] if facts.invented else []), *fold(plain(_headline(found, facts)), width), ""]
    if found.plan is not None:
        lines += [_outings(found.plan, facts, width), "", _gaps(found.plan, width), ""]
    lines += [part for note in facts.said for part in fold(plain(f"Note: {note}."), width)]
    return "\n".join([*lines, *fold(CAUTION, width)])


def _headline(found: Cycle, facts: RoutineFacts) -> str:
    if found.plan is None:
        why = (
            "there is none among the rounds considered"
            if found.proved
            else "none was found in the time given"
        )
        return (
            f"{facts.line}: NO WEEK THAT CAN BE REPEATED in these windows: {why}. A plan for some days may "
            "still be found (tendline weeks), but it cannot be gone on with for ever."
        )
    plan = found.plan
    driven = format_distance(plan.metres, facts.units)
    words = (
        f"{facts.line}: a week that can be repeated, {len(plan.rounds)} outings, "
        f"{plan.seconds / 3600:.1f} h and {driven} a week; gone through {WEEKS} times, every limit is kept."
    )
    if found.bound_s is not None and found.bound_s > 0:
        words += f" No such week of the rounds considered takes less than {found.bound_s / 3600:.1f} h."
    return words


def _outings(plan: WeeksPlan, facts: RoutineFacts, width: int) -> str:
    return draw_table(_OUTINGS, [_outing(one, facts) for one in plan.rounds], width=width)


def _outing(one: PlannedOuting, facts: RoutineFacts) -> Row:
    stops = [f"{s.parking}: {' '.join(v.set_name for v in s.visits)}" for s in one.round.stops]
    return (
        f"{one.round.leave.astimezone(facts.zone):%a}",
        one.outing.who,
        clock(one.round.leave, facts.zone),
        clock(one.round.back, facts.zone),
        format_distance(one.metres, facts.units),
        str(len(one.round.visits)),
        "; ".join(stops),
    )


def gap_of(looks: SetLooks) -> timedelta | None:
    """Give the largest gap of a set when the week is repeated; None when it is never looked at."""
    if not looks.looks:
        return None
    ordered = sorted(looks.looks)
    return max(b - a for a, b in pairwise([*ordered, ordered[0] + WEEK]))


def _gaps(plan: WeeksPlan, width: int) -> str:
    alike: dict[tuple[int, str], list[str]] = {}
    for one in plan.looks:
        gap = gap_of(one)
        told = "never" if gap is None else format_minutes(gap.total_seconds())
        alike.setdefault((len(one.looks), told), []).append(one.set_name)
    rows: list[Row] = [(str(n), gap, " ".join(names)) for (n, gap), names in sorted(alike.items())]
    return draw_table(_GAPS, rows, width=width)


def routine_document(found: Cycle, facts: RoutineFacts) -> dict[str, Any]:
    """Give the week as one JSON document: instants RFC 3339 with offset, hours, metres."""
    plan = found.plan
    outings = [] if plan is None else [_told(one, facts.zone) for one in plan.rounds]
    sets = []
    for one in () if plan is None else plan.looks:
        gap = gap_of(one)
        sets.append(
            {
                "set": one.set_name,
                "rule": one.rule,
                "looks": len(one.looks),
                "largest_gap_h": None if gap is None else gap.total_seconds() / 3600,
            }
        )
    return {
        "invented": facts.invented,
        "found": plan is not None,
        "proved_none": found.proved,
        "times_checked": WEEKS if plan is not None else 0,
        "away_h": None if plan is None else plan.seconds / 3600,
        "driven_m": None if plan is None else plan.metres,
        "bound_h": None if found.bound_s is None else found.bound_s / 3600,
        "outings": outings,
        "sets": sets,
        "notes": list(facts.said),
    }


def _told(one: PlannedOuting, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "who": one.outing.who,
        "weekday": f"{one.round.leave.astimezone(zone):%A}",
        "leave": one.round.leave.astimezone(zone).isoformat(timespec="seconds"),
        "back": one.round.back.astimezone(zone).isoformat(timespec="seconds"),
        "driven_m": one.metres,
        "sets": [v.set_name for v in one.round.visits],
    }
