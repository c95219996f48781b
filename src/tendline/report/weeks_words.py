"""Owns the sentences about the days ahead as a whole: what they are held against, chances, what would help.

Does not own the plan nor its tables (`report.weeks_text`).
"""

from datetime import datetime
from zoneinfo import ZoneInfo

from tendline.core.units import format_distance
from tendline.plan.weeks_change import Change
from tendline.plan.weeks_nouns import WeeksRelief, WeeksStatus, WeeksVerdict
from tendline.plan.weeks_relief import EARLIER_MIN
from tendline.report.say import clock, count
from tendline.report.weeks_facts import WeeksFacts


def comparison_words(verdict: WeeksVerdict, facts: WeeksFacts) -> list[str]:
    """Hold the plan against every set every day, and against what was done of late."""
    if verdict.plan is None:
        return []
    plan, lines = verdict.plan, list[str]()
    if facts.every_day is not None and facts.every_day.seconds > 0:
        daily = facts.every_day
        lines.append(
            f"Against every set on each of {daily.days} days ({daily.seconds / 3600:.1f} h, "
            f"{format_distance(daily.metres, facts.units)} driven, whether or not that fits): "
            f"{plan.seconds / 3600:.1f} h, {format_distance(plan.metres, facts.units)} driven; "
            f"{_fewer(plan.seconds, daily.seconds)}."
        )
    if facts.as_before is not None:
        before = facts.as_before
        hours, miles = before.hours_in(facts.days), before.metres_in(facts.days)
        did = f"{count(before.rounds, 'round')}, {count(before.looks, 'look')}, drives as planned"
        lines.append(
            f"As in the last {before.days:.0f} days ({did}): {hours:.1f} h and "
            f"{format_distance(miles, facts.units)} driven in {count(facts.days, 'day')}; the plan has "
            f"{_fewer(plan.seconds, 3600 * hours)}."
        )
    return lines


def _fewer(seconds: float, than: float) -> str:
    less = 1.0 - seconds / than if than > 0 else 0.0
    return f"{abs(less):.0%} {'fewer' if less >= 0 else 'more'} hours"


def bound_words(verdict: WeeksVerdict) -> list[str]:
    """Say how near the plan is to the least possible."""
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


def chance_words(facts: WeeksFacts) -> list[str]:
    """Say how likely something is late, and what time in hand buys."""
    risk = facts.risk
    if risk is None:
        return []
    told = (
        f"Chance that some look is late: {risk.any_late:.1%}; that some outing is back too late: "
        f"{risk.over:.1%}; that either happens: {risk.any_bad:.1%} ({risk.runs} runs, travel and catches "
        "varied, nothing mended on the way)."
    )
    lines = [told]
    if risk.late:
        worst = [f"{name} {share:.1%}" for name, share in list(risk.late.items())[:6]]
        lines.append(f"Most often late: {', '.join(worst)}.")
    if facts.safe is not None:
        held = "is kept" if facts.safe_enough else "is NOT kept by any plan found"
        lines.append(f"Safe at {facts.safe:.0%} {held}, with {facts.in_hand_min} min in hand everywhere.")
    if len(facts.tried) > 1:
        steps = [f"{t.in_hand_min} min: {t.hours:.1f} h, {t.any_bad:.1%} late" for t in facts.tried]
        lines.append(f"What time in hand buys: {'; '.join(steps)}.")
    return lines


def own_words(facts: WeeksFacts) -> list[str]:
    """Say which rounds of one's own are kept, and what was changed of a plan already begun."""
    lines = [f"Kept: {told}." for told in facts.kept] if facts.risk is not None else []
    if facts.changes is None:
        return lines
    if not facts.changes:
        return [*lines, f"Nothing changed against {facts.was}."]
    total = sum(len(one.added) + len(one.dropped) for one in facts.changes)
    head = f"Changed against {facts.was}: {count(total, 'look')} in {count(len(facts.changes), 'window')}."
    return [*lines, head, *(f"- {_change(one, facts)}" for one in facts.changes)]


def _change(one: Change, facts: WeeksFacts) -> str:
    parts = [f"add {', '.join(one.added)}"] if one.added else []
    parts += [f"drop {', '.join(one.dropped)}"] if one.dropped else []
    return f"{one.who} {when(one.span.start, facts.zone)}: {'; '.join(parts)}"


def help_words(verdict: WeeksVerdict, facts: WeeksFacts) -> list[str]:
    """Say what would help when there is no plan."""
    if verdict.plan is not None:
        return []
    if not verdict.reliefs:
        return ["Nothing that would help was found in the time given: try more --seconds."]
    head = "What would help, what costs least first, each planned and checked:"
    found = {one.kind for one in verdict.reliefs}
    missing = [told for kind, told in _KINDS.items() if kind not in found]
    lines = [head, *(_help(one, facts) for one in verdict.reliefs)]
    return [*lines, f"Not found to help in the time given: {', '.join(missing)}."] if missing else lines


_KINDS = {
    "earlier start": f"an earlier start of up to {EARLIER_MIN[-1]} min",
    "one more window": "more windows at other hours",
    "another person": "another person at the same hours",
    "pull or close": "sets to pull or close",
}


def _help(relief: WeeksRelief, facts: WeeksFacts) -> str:
    what = [relief.what]
    if relief.sets:
        what.append(some(relief.sets))
    if relief.windows:
        zone = facts.zone
        what.append(
            ", ".join(
                f"{one.who} {when(one.span.start, zone)} to {clock(one.span.end, zone)}"
                for one in relief.windows
            )
        )
    if not relief.smallest:
        what.append("less may do")
    hours = "" if relief.plan is None else f" ({relief.plan.seconds / 3600:.1f} h in all)"
    return f"- {': '.join(what[:2])}{'; ' if what[2:] else ''}{'; '.join(what[2:])}{hours}"


def some(names: tuple[str, ...]) -> str:
    """Name sets, but no more than a line of them."""
    return ", ".join(names) if len(names) <= 12 else f"{', '.join(names[:10])} and {len(names) - 10} more"


def when(instant: datetime, zone: ZoneInfo) -> str:
    """Write a day and a time."""
    return f"{day_of(instant, zone)} {clock(instant, zone)}"


def day_of(instant: datetime, zone: ZoneInfo) -> str:
    """Write a local day."""
    local = instant.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b}"
