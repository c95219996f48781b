"""Owns the days ahead as one JSON document.

Does not own the plan, nor the same for a person (`report.weeks_text`).
"""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.when import Span, rfc3339
from tendline.plan.weeks_nouns import PlannedOuting, SetLooks, WeekOuting, WeeksRelief, WeeksVerdict
from tendline.report.weeks_facts import WeeksFacts


def weeks_document(verdict: WeeksVerdict, facts: WeeksFacts) -> dict[str, Any]:
    """Give the days ahead as JSON can hold them; instants in the person's zone.

    Returns
    -------
    dict
        Its shape is ``jobs/schemas/weeks.schema.json``.
    """
    zone, plan, risk, daily = facts.zone, verdict.plan, facts.risk, facts.every_day
    return {
        "line": facts.line,
        "invented": facts.invented,
        "from": rfc3339(facts.span.start, zone),
        "to": rfc3339(facts.span.end, zone),
        "status": verdict.status.value,
        "overdue": list(verdict.overdue),
        "hours": None if plan is None else round(plan.seconds / 3600, 3),
        "drive_m": None if plan is None else round(plan.metres),
        "bound_h": None if verdict.bound_s is None else round(verdict.bound_s / 3600, 3),
        "floor_h": None if verdict.floor_s is None else round(verdict.floor_s / 3600, 3),
        "rounds_considered": verdict.considered,
        "outings": [] if plan is None else [_outing(one, zone) for one in plan.rounds],
        "sets": [] if plan is None else [_set(one, zone) for one in plan.looks],
        "every_day": None
        if daily is None
        else {"days": daily.days, "hours": round(daily.seconds / 3600, 3), "drive_m": round(daily.metres)},
        "as_before": None
        if facts.as_before is None
        else {
            "days": round(facts.as_before.days, 2),
            "rounds": facts.as_before.rounds,
            "looks": facts.as_before.looks,
            "hours": round(facts.as_before.seconds / 3600, 3),
            "hours_in_these_days": round(facts.as_before.hours_in(facts.days), 3),
            "drive_m_in_these_days": round(facts.as_before.metres_in(facts.days)),
        },
        "kept": list(facts.kept),
        "changes": None
        if facts.changes is None
        else [
            {"who": one.who, **_span(one.span, zone), "added": list(one.added), "dropped": list(one.dropped)}
            for one in facts.changes
        ],
        "risk": None
        if risk is None
        else {
            "runs": risk.runs,
            "seed": risk.seed,
            "any_late": risk.any_late,
            "back_late": risk.over,
            "either": risk.any_bad,
            "late": dict(risk.late),
        },
        "safe": None if facts.safe is None else {"asked": facts.safe, "kept": facts.safe_enough},
        "in_hand_min": facts.in_hand_min,
        "tried": [
            {"in_hand_min": t.in_hand_min, "hours": round(t.hours, 3), "either": t.any_bad}
            for t in facts.tried
        ],
        "why": None
        if verdict.why is None
        else {
            "until": rfc3339(verdict.why.until, zone),
            "sets": list(verdict.why.sets),
            "lacking_min": round(verdict.why.lacking_s / 60, 1),
        },
        "reliefs": [_relief(one, zone) for one in verdict.reliefs],
        "said": list(facts.said),
        "seed": facts.seed,
    }


def _outing(one: PlannedOuting, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "who": one.outing.who,
        "window": _window(one.outing, zone),
        "leave": rfc3339(one.round.leave, zone),
        "back": rfc3339(one.round.back, zone),
        "drive_m": round(one.metres),
        "walk_m": round(one.walked_m),
        "stops": [
            {
                "parking": stop.parking,
                "arrive": rfc3339(stop.arrive, zone),
                "depart": rfc3339(stop.depart, zone),
                "looks": [
                    {"set": v.set_name, "at": rfc3339(v.look, zone), "due_at": _maybe(v.due, zone)}
                    for v in stop.visits
                ],
            }
            for stop in one.round.stops
        ],
    }


def _set(one: SetLooks, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "set": one.set_name,
        "rule": one.rule,
        "looks": [rfc3339(look, zone) for look in one.looks],
        "largest_gap_h": None
        if one.largest_gap is None
        else round(one.largest_gap.total_seconds() / 3600, 3),
        "least_slack_h": None
        if one.least_slack is None
        else round(one.least_slack.total_seconds() / 3600, 3),
        "tightest_at": _maybe(one.tightest, zone),
        "overdue": one.overdue,
    }


def _relief(one: WeeksRelief, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "kind": one.kind,
        "what": one.what,
        "size": one.size,
        "sets": list(one.sets),
        "windows": [{"who": w.who, **_window(w, zone)} for w in one.windows],
        "smallest": one.smallest,
        "hours": None if one.plan is None else round(one.plan.seconds / 3600, 3),
    }


def _window(one: WeekOuting, zone: ZoneInfo) -> dict[str, str]:
    return _span(one.span, zone)


def _span(span: Span, zone: ZoneInfo) -> dict[str, str]:
    return {"from": rfc3339(span.start, zone), "to": rfc3339(span.end, zone)}


def _maybe(instant: datetime | None, zone: ZoneInfo) -> str | None:
    return None if instant is None else rfc3339(instant, zone)
