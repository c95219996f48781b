"""Owns what must be done while somebody cannot go, as one JSON document.

Does not own the same for a person (`report.without_text`).
"""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.when import rfc3339
from tendline.plan.weeks_nouns import PlannedOuting
from tendline.report.without_facts import Act, WithoutFacts


def without_document(facts: WithoutFacts) -> dict[str, Any]:
    """Give the same as JSON can hold it; instants in the person's zone.

    Returns
    -------
    dict
        Its shape is ``jobs/schemas/weeks-without.schema.json``.
    """
    zone = facts.zone
    return {
        "line": facts.line,
        "invented": facts.invented,
        "without": list(facts.without),
        "first_day": facts.first.isoformat(),
        "last_day": facts.last.isoformat(),
        "kept_until": rfc3339(facts.kept_until, zone),
        "sets_in_field": facts.in_field,
        "phone": [
            {
                "who": who,
                "by": rfc3339(by, zone),
                "now": by <= facts.now,
                "leave_by": _maybe(facts.leave_by.get(who), zone),
            }
            for who, by in facts.phone_by.items()
        ],
        "who": [
            {
                "who": one.who,
                "may": one.may_word,
                "why": list(one.why),
                "sources": list(one.cites),
                "phone": one.phone,
                "planned_with": one.planned_with,
            }
            for one in facts.who
        ],
        "closing": [
            {"profile": one.profile, "stops_clock": one.stops, "sources": list(one.cites)}
            for one in facts.closing
        ],
        "sets": [_act(act, zone) for act in facts.acts],
        "outings": [_outing(one, zone) for one in facts.outings],
        "cannot_keep": [
            {
                "set": one.set_name,
                "due_at": _maybe(one.due, zone),
                "leave_by": _maybe(one.leave_by, zone),
                "phone_by": _maybe(one.phone_by, zone),
            }
            for one in facts.cannot
        ],
        "own_limit_passed": list(facts.own_over),
        "sheet": facts.sheet,
        "said": list(facts.said),
    }


def _act(act: Act, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "set": act.set_name,
        "parcel": act.parcel,
        "due_at": _maybe(act.due, zone),
        "do": act.do,
        "look_at": _maybe(act.look, zone),
        "by": act.who,
        "look_lasts_from": _maybe(act.lasts_from, zone),
    }


def _outing(one: PlannedOuting, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "who": one.outing.who,
        "leave": rfc3339(one.round.leave, zone),
        "back": rfc3339(one.round.back, zone),
        "stops": [
            {"parking": stop.parking, "sets": [v.set_name for v in stop.visits]} for stop in one.round.stops
        ],
    }


def _maybe(instant: datetime | None, zone: ZoneInfo) -> str | None:
    return None if instant is None else rfc3339(instant, zone)
