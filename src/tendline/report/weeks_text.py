"""Owns the days ahead as text for a terminal: the answer first, then outings, sets, chances, what would help.

Does not own the plan (`plan.weeks`) nor the same for programs (`report.weeks_json`).
"""

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from tendline.core.units import Units, format_distance, format_minutes
from tendline.core.when import Span
from tendline.plan.weeks_compare import EveryDay
from tendline.plan.weeks_nouns import (
    PlannedOuting,
    SetLooks,
    WeeksPlan,
    WeeksRelief,
    WeeksStatus,
    WeeksVerdict,
)
from tendline.plan.weeks_risk import Risk
from tendline.report.say import INVENTED, clock, count, plain, stretch
from tendline.report.table import Across, Column, Row, draw_table, fold

CAUTION = (
    "Not legal advice: limits are those of the profile you confirmed. A plan is no look: note each check."
)


@dataclass(frozen=True)
class WeeksFacts:
    """What a reader of the days ahead is told besides the plan.

    Parameters
    ----------
    line, zone, units, span
        The line, how times and lengths are written, and the days.
    every_day
        What looking at everything every day would take; None when not worked out.
    risk
        Chances of the plan; None when there is none.
    in_hand_min, safe
        Time in hand the plan was made with [min]; the chance of no late look that was asked for.
    own_hours
        The person's own limit [h]; None when there is none.
    said
        What must be told with it.
    """

    line: str
    zone: ZoneInfo
    units: Units
    span: Span
    every_day: EveryDay | None = None
    risk: Risk | None = None
    in_hand_min: int = 0
    safe: float | None = None
    own_hours: float | None = None
    said: tuple[str, ...] = ()
    invented: bool = False
    seed: int = 1

    @property
    def safe_enough(self) -> bool:
        """Whether the plan is as safe as was asked."""
        return self.safe is None or (self.risk is not None and self.risk.any_late <= 1.0 - self.safe)


def weeks_text(verdict: WeeksVerdict, facts: WeeksFacts, *, width: int = 100) -> str:
    """Write the days ahead for a terminal.

    Parameters
    ----------
    verdict, facts
        The plan, and what is told with it.
    width
        Widest line [characters], 20 or more.

    Raises
    ------
    Refused
        REP-103 for a width under 20.
    """
    head = [*([INVENTED, ""] if facts.invented else []), *_headline(verdict, facts), ""]
    lines = [part for line in head for part in (fold(plain(line), width) if line else [""])]
    if verdict.plan is not None:
        lines += [_outings(verdict.plan, facts, width), "", _sets(verdict.plan, facts, width), ""]
    foot = [*_comparison(verdict, facts), *_bounds(verdict), *_chances(facts), *_helps(verdict, facts)]
    foot += [f"Note: {sentence}." for sentence in facts.said]
    foot.append(CAUTION)
    return "\n".join([*lines, *(part for line in foot for part in fold(plain(line), width))])


def _headline(verdict: WeeksVerdict, facts: WeeksFacts) -> list[str]:
    first, last = _day(facts.span.start, facts.zone), _day(facts.span.end, facts.zone)
    days = f"{facts.line}, {first} to {last}"
    lines = [f"{days}: {_answer(verdict)}"]
    if verdict.overdue:
        named = ", ".join(verdict.overdue)
        lines.append(
            f"OVERDUE, UNKNOWN, OR DUE BEFORE THE FIRST WINDOW: {named}. They are planned first; go at once."
        )
    if verdict.why is not None:
        why = verdict.why
        lines.append(
            f"Why: up to {_when(why.until, facts.zone)} these sets alone cannot all "
            f"be looked at in time: {_some(why.sets)}; at least {format_minutes(why.lacking_s)} is lacking."
        )
    return lines


def _answer(verdict: WeeksVerdict) -> str:
    if verdict.plan is not None:
        plan = verdict.plan
        late = " from the first look on" if verdict.overdue else ""
        return (
            f"every limit is kept{late}, in {count(len(plan.rounds), 'outing')} of "
            f"{plan.seconds / 3600:.1f} h in all; every look was checked with its own time."
        )
    if verdict.status is WeeksStatus.IMPOSSIBLE:
        return "IMPOSSIBLE: it is proved that no plan keeps every limit with these windows."
    return "NO PLAN FOUND in the time given; it was not proved that there is none."


def _outings(plan: WeeksPlan, facts: WeeksFacts, width: int) -> str:
    rows: list[Row] = []
    day: date | None = None
    for one in plan.rounds:
        local = one.round.leave.astimezone(facts.zone).date()
        if local != day:
            day = local
            rows.append(Across(f"{local:%A} {local.day} {local:%B}"))
        rows.append(_outing(one, facts))
    columns = [
        Column("who"),
        Column("leave"),
        Column("back"),
        Column("driven", right=True),
        Column("walked", right=True),
        Column("sets", right=True),
        Column("in this order", wrap=True),
    ]
    return draw_table(columns, rows, width=width)


def _outing(one: PlannedOuting, facts: WeeksFacts) -> list[str]:
    stops = "; ".join(f"{s.parking}: {' '.join(v.set_name for v in s.visits)}" for s in one.round.stops)
    return [
        one.outing.who,
        clock(one.round.leave, facts.zone),
        clock(one.round.back, facts.zone),
        format_distance(one.metres, facts.units),
        format_distance(one.walked_m, facts.units),
        str(len(one.round.visits)),
        stops,
    ]


def _sets(plan: WeeksPlan, facts: WeeksFacts, width: int) -> str:
    columns = [
        Column("set"),
        Column("looks", right=True),
        Column("largest gap"),
        Column("least slack"),
        Column("at the look of"),
        Column("rule", wrap=True),
    ]
    tightest = sorted(plan.looks, key=lambda s: (s.least_slack is None, s.least_slack, s.set_name))
    return draw_table(columns, [_set(one, facts) for one in tightest], width=width)


def _set(one: SetLooks, facts: WeeksFacts) -> list[str]:
    gap = "no record" if one.largest_gap is None else stretch(one.largest_gap.total_seconds())
    over = one.largest_gap is not None and facts.own_hours is not None
    if (
        over
        and one.largest_gap is not None
        and one.largest_gap.total_seconds() > 3600 * (facts.own_hours or 0)
    ):
        gap += " (over your own)"
    slack = "" if one.least_slack is None else stretch(max(0.0, one.least_slack.total_seconds()))
    when = "" if one.tightest is None else _when(one.tightest, facts.zone)
    return [one.set_name, str(len(one.looks)), gap, slack, when, one.rule]


def _when(instant: datetime, zone: ZoneInfo) -> str:
    return f"{_day(instant, zone)} {clock(instant, zone)}"


def _day(instant: datetime, zone: ZoneInfo) -> str:
    local = instant.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b}"


def _comparison(verdict: WeeksVerdict, facts: WeeksFacts) -> list[str]:
    if verdict.plan is None or facts.every_day is None or facts.every_day.seconds <= 0:
        return []
    plan, daily = verdict.plan, facts.every_day
    less = 1.0 - plan.seconds / daily.seconds
    word = f"{abs(less):.0%} {'fewer' if less >= 0 else 'more'} hours"
    told = (
        f"Against every set on each of {daily.days} days ({daily.seconds / 3600:.1f} h, "
        f"{format_distance(daily.metres, facts.units)} driven, whether or not that fits): "
        f"{plan.seconds / 3600:.1f} h, {format_distance(plan.metres, facts.units)} driven; {word}."
    )
    return [told]


def _bounds(verdict: WeeksVerdict) -> list[str]:
    if verdict.plan is None:
        return []
    lines = []
    if verdict.status is WeeksStatus.OPTIMAL:
        lines.append(f"Of the {verdict.considered} rounds considered no other choice is better.")
    elif verdict.bound_s is not None and verdict.bound_s > 0:
        gap = verdict.plan.seconds / verdict.bound_s - 1.0
        lines.append(
            f"Of the {verdict.considered} rounds considered no choice takes less than "
            f"{verdict.bound_s / 3600:.1f} h: the plan is within {gap:.1%} of that."
        )
    if verdict.floor_s is not None:
        lines.append(f"No plan whatever takes less than {verdict.floor_s / 3600:.1f} h (a rough floor).")
    return lines


def _chances(facts: WeeksFacts) -> list[str]:
    risk = facts.risk
    if risk is None:
        return []
    told = (
        f"Chance that some look is late: {risk.any_late:.1%}; that some outing is back too late: "
        f"{risk.over:.1%} ({risk.runs} runs, travel and catches varied, nothing mended on the way)."
    )
    lines = [told]
    if risk.late:
        worst = [f"{name} {share:.1%}" for name, share in list(risk.late.items())[:6]]
        lines.append(f"Most often late: {', '.join(worst)}.")
    if facts.safe is not None:
        held = "is kept" if facts.safe_enough else "is NOT kept by any plan found"
        lines.append(f"Safe at {facts.safe:.0%} {held}, with {facts.in_hand_min} min in hand everywhere.")
    return lines


def _helps(verdict: WeeksVerdict, facts: WeeksFacts) -> list[str]:
    if verdict.plan is not None:
        return []
    if not verdict.reliefs:
        return ["Nothing that would help was found in the time given: try more --seconds."]
    return ["What would help, each planned and checked:", *(_help(one, facts) for one in verdict.reliefs)]


def _help(relief: WeeksRelief, facts: WeeksFacts) -> str:
    what = [relief.what]
    if relief.sets:
        what.append(_some(relief.sets))
    if relief.windows:
        zone = facts.zone
        what.append(
            ", ".join(
                f"{one.who} {_when(one.span.start, zone)} to {clock(one.span.end, zone)}"
                for one in relief.windows
            )
        )
    if not relief.smallest:
        what.append("less may do")
    hours = "" if relief.plan is None else f" ({relief.plan.seconds / 3600:.1f} h in all)"
    return f"- {': '.join(what[:2])}{'; ' if what[2:] else ''}{'; '.join(what[2:])}{hours}"


def _some(names: tuple[str, ...]) -> str:
    return ", ".join(names) if len(names) <= 12 else f"{', '.join(names[:10])} and {len(names) - 10} more"
