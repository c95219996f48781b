"""Owns the days ahead as text for a terminal: the answer first, then outings, sets, chances, what would help.

Does not own the plan (`plan.weeks`) nor the same for programs (`report.weeks_json`).
"""

from datetime import date

from tendline.core.units import format_distance, format_minutes
from tendline.plan.weeks_nouns import (
    PlannedOuting,
    SetLooks,
    WeeksPlan,
    WeeksStatus,
    WeeksVerdict,
)
from tendline.report.say import INVENTED, clock, count, plain, stretch
from tendline.report.table import Across, Column, Row, draw_table, fold
from tendline.report.weeks_facts import WeeksFacts
from tendline.report.weeks_words import (
    bound_words,
    chance_words,
    comparison_words,
    day_of,
    help_words,
    own_words,
    some,
    when,
)

CAUTION = (
    "Not legal advice: limits are those of the profile you confirmed. A plan is no look: note each check."
)


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
    foot = [*own_words(facts), *comparison_words(verdict, facts), *bound_words(verdict)]
    foot += [*chance_words(facts), *help_words(verdict, facts)]
    foot += [f"Note: {sentence}." for sentence in facts.said]
    foot.append(CAUTION)
    return "\n".join([*lines, *(part for line in foot for part in fold(plain(line), width))])


def _headline(verdict: WeeksVerdict, facts: WeeksFacts) -> list[str]:
    first, last = day_of(facts.span.start, facts.zone), day_of(facts.span.end, facts.zone)
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
            f"Why: up to {when(why.until, facts.zone)} these sets alone cannot all "
            f"be looked at in time: {some(why.sets)}; at least {format_minutes(why.lacking_s)} is lacking."
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
    rules = {one.rule for one in plan.looks}
    columns = [
        Column("set"),
        Column("looks", right=True),
        Column("largest gap"),
        Column("least slack"),
        Column("at the look of"),
        *([Column("rule", wrap=True)] if len(rules) > 1 else []),
    ]
    tightest = sorted(plan.looks, key=lambda s: (s.least_slack is None, s.least_slack, s.set_name))
    rows = [[*_set(one, facts), *([one.rule] if len(rules) > 1 else [])] for one in tightest]
    foot = [f"The rule of all of them: {rule}." for rule in rules if len(rules) == 1]
    if any(_over_own(one, facts) for one in plan.looks):
        foot.append(f"* over your own {facts.own_hours:g} h")
    return "\n".join([draw_table(columns, rows, width=width), *foot])


def _set(one: SetLooks, facts: WeeksFacts) -> list[str]:
    gap = "no record" if one.largest_gap is None else stretch(one.largest_gap.total_seconds())
    slack = "" if one.least_slack is None else stretch(max(0.0, one.least_slack.total_seconds()))
    tightest = "" if one.tightest is None else when(one.tightest, facts.zone)
    mark = " *" if _over_own(one, facts) else ""
    return [one.set_name, str(len(one.looks)), gap + mark, slack, tightest]


def _over_own(one: SetLooks, facts: WeeksFacts) -> bool:
    """Say whether the person's own limit is passed somewhere."""
    if one.largest_gap is None or facts.own_hours is None:
        return False
    return one.largest_gap.total_seconds() > 3600 * facts.own_hours
