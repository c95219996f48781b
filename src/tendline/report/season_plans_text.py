"""Owns planned against done, in words and as one JSON document.

Does not own the comparison (`season.planned`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.settings import Settings
from tendline.core.when import clock_text, local_day, rfc3339
from tendline.report.say import INVENTED
from tendline.report.season_nouns import heading
from tendline.report.table import Column, draw_table, fold
from tendline.season.planned import LEAST_OUTINGS, Aim, CardDone, DaysDone, Pace

MOST_NAMED = 12
"""So many sets are named in a sentence."""

_NONE = (
    "No plan is kept for these days. tendline paper route-card keeps that of each card, and tendline weeks "
    "--record that of the days ahead."
)
_CARDS_SAID = (
    "Looks by anybody count, from an hour before the planned start to the end of that day, the first at each "
    "set. Times run from the first look to the last, without the drives out and home. One card is kept for a "
    "day: the last one made."
)
_DAYS_SAID = (
    "In time is up to the limit that stood beside the look in the plan. A plan answers for the looks before "
    "the next kept plan began."
)


@dataclass(frozen=True)
class AgainstPlans:
    """What is told: whose line, each card, all cards with a ratio (None when too few), each plan of days."""

    settings: Settings
    cards: tuple[CardDone, ...]
    pace: Pace | None
    days: tuple[DaysDone, ...]

    @property
    def said(self) -> str:
        """The answer in one sentence on times, or why there is none."""
        if self.pace is None:
            count = sum(one.ratio is not None for one in self.cards)
            return (
                f"Too few outings to tell a ratio of times: {count} of {len(self.cards)} can be compared, "
                f"and it takes {LEAST_OUTINGS}."
            )
        one = self.pace
        return (
            f"Over {one.outings} outings the looks took {one.ratio:.2f} times the planned minutes (median; "
            f"{one.low:.2f} to {one.high:.2f}), and a look came {_late(one.late_s)} (median of {one.looks} "
            "looks)."
        )


def plans_text(told: AgainstPlans, *, width: int = 100) -> str:
    """Write planned against done for a terminal."""
    lines = [INVENTED, ""] if told.settings.invented else []
    if not told.cards and not told.days:
        return "\n".join([*lines, *fold(_NONE, width)])
    lines.append("Planned against done.")
    lines += heading("Route cards")
    if told.cards:
        lines += fold(told.said, width)
        lines += _card_table(told.cards, told.settings.zone, width)
        for one in told.cards:
            lines += _card_said(one, told.settings.zone, width)
        lines += fold(_CARDS_SAID, width)
    else:
        lines.append("No card is kept for these days.")
    lines += heading("Plans of the days ahead")
    if told.days:
        lines += _days_table(told.days, told.settings.zone, width)
        for plan in told.days:
            lines += _days_said(plan, told.settings.zone, width)
        lines += fold(_DAYS_SAID, width)
    else:
        lines.append("None is kept for these days; tendline weeks --record keeps one.")
    return "\n".join(lines)


def _card_table(cards: Sequence[CardDone], zone: ZoneInfo, width: int) -> list[str]:
    names = ("planned", "looked at", "skipped", "min planned", "min taken", "ratio", "look came")
    columns = [Column("day"), *(Column(name, right=True) for name in names)]
    rows = [
        (
            local_day(one.card.leave, zone).isoformat(),
            str(len(one.card.aims)),
            str(len(one.looked)),
            str(len(one.skipped)) if one.over else "not over",
            f"{one.planned_s / 60:.0f}",
            "-" if one.taken_s is None else f"{one.taken_s / 60:.0f}",
            "-" if one.ratio is None else f"{one.ratio:.2f}",
            _late(median(one.late_s)) if one.late_s else "-",
        )
        for one in cards
    ]
    return draw_table(columns, rows, width=width).split("\n")


def _card_said(one: CardDone, zone: ZoneInfo, width: int) -> list[str]:
    day, said = local_day(one.card.leave, zone), []
    if one.skipped:
        said += fold(f"{day}: skipped {_some(one.skipped) if one.looked else 'the whole round'}.", width)
    if one.no_ratio is not None:
        said += fold(f"{day}: no ratio, {one.no_ratio.value}.", width)
    return said


def _days_table(plans: Sequence[DaysDone], zone: ZoneInfo, width: int) -> list[str]:
    names = (
        "looks planned",
        "in time",
        "late",
        "never",
        "no limit known",
        "ahead",
        "left to next plan",
        "taken up",
    )
    columns = [Column("plan from"), *(Column(name, right=True) for name in names)]
    rows = [
        (
            local_day(one.days.span.start, zone).isoformat(),
            *(str(n) for n in (one.planned, one.in_time, len(one.late), len(one.never))),
            *(str(n) for n in (one.no_limit, one.ahead, one.replaced, one.taken_up)),
        )
        for one in plans
    ]
    return draw_table(columns, rows, width=width).split("\n")


def _days_said(one: DaysDone, zone: ZoneInfo, width: int) -> list[str]:
    day, said = local_day(one.days.span.start, zone), []
    for word, aims in (("late", one.late), ("never", one.never)):
        if aims:
            named = _some([f"{aim.set_name} ({clock_text(aim.at, zone)})" for aim in aims])
            said += fold(f"{day}: {word}: {named}.", width)
    return said


def _some(names: Sequence[str]) -> str:
    """Name the first few; `--json` has them all."""
    more = f" and {len(names) - MOST_NAMED} more (--json names all)" if len(names) > MOST_NAMED else ""
    return ", ".join(names[:MOST_NAMED]) + more


def _late(seconds: float) -> str:
    minutes = round(seconds / 60)
    return "on time" if minutes == 0 else f"{abs(minutes)} min {'late' if minutes > 0 else 'early'}"


def plans_document(told: AgainstPlans) -> dict[str, Any]:
    """Give planned against done as JSON can hold it.

    Returns
    -------
    dict
        Its shape is ``jobs/schemas/season-plans.schema.json``.
    """
    zone, one = told.settings.zone, told.pace
    return {
        "line": told.settings.name,
        "invented": told.settings.invented,
        "plans": {
            "said": told.said if told.cards else _NONE if not told.days else "",
            "cards": [_card(card, zone) for card in told.cards],
            "pace": None
            if one is None
            else {
                "outings": one.outings,
                "looks": one.looks,
                "ratio": round(one.ratio, 4),
                "low": round(one.low, 4),
                "high": round(one.high, 4),
                "late_min": round(one.late_s / 60, 2),
            },
            "weeks": [_days(plan, zone) for plan in told.days],
        },
    }


def _card(one: CardDone, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "file": one.card.file,
        "leave": rfc3339(one.card.leave, zone),
        "over": one.over,
        "planned": len(one.card.aims),
        "looked": list(one.looked),
        "skipped": list(one.skipped),
        "planned_min": round(one.planned_s / 60, 2),
        "taken_min": None if one.taken_s is None else round(one.taken_s / 60, 2),
        "ratio": None if one.ratio is None else round(one.ratio, 4),
        "no_ratio": None if one.no_ratio is None else one.no_ratio.value,
        "late_min": round(median(one.late_s) / 60, 2) if one.late_s else None,
    }


def _days(one: DaysDone, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "file": one.days.file,
        "from": rfc3339(one.days.span.start, zone),
        "to": rfc3339(one.days.span.end, zone),
        "planned": one.planned,
        "in_time": one.in_time,
        "late": [_aim(aim, zone) for aim in one.late],
        "never": [_aim(aim, zone) for aim in one.never],
        "no_limit": one.no_limit,
        "ahead": one.ahead,
        "replaced": one.replaced,
        "taken_up": one.taken_up,
    }


def _aim(aim: Aim, zone: ZoneInfo) -> dict[str, Any]:
    due = None if aim.due is None else rfc3339(aim.due, zone)
    return {"set": aim.set_name, "at": rfc3339(aim.at, zone), "due_at": due}
