"""Owns a round as a document for programs, in the shape of `schemas/round.schema.json`.

Does not own the round; instants are RFC 3339 with the offset of the line's zone, `_m` metres, `_min` minutes.
"""

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.when import rfc3339
from tendline.plan.itinerary import ParkStop, RoundPlan, Verdict, Visit
from tendline.report.carry import carry_list
from tendline.report.facts import RoundFacts, check_facts, dark_looks, is_dark
from tendline.report.odds import morning
from tendline.report.round_words import limit_of, set_clock

VERSION = 1
"""Of the shape; a change that breaks a reader raises it."""


def round_document(verdict: Verdict, facts: RoundFacts) -> dict[str, Any]:
    """Write a round as a document.

    Parameters
    ----------
    verdict
        The plan and what does not fit.
    facts
        Every set of the plan must be in it.

    Returns
    -------
    dict
        Ready for `json.dumps`; unknown is null, never left out.

    Raises
    ------
    Refused
        REP-101 for each set without facts.
    """
    check_facts(verdict.plan, facts)
    plan, zone = verdict.plan, facts.zone
    return {
        "kind": "round",
        "version": VERSION,
        "invented": facts.invented,
        "line": facts.line,
        "who": facts.who,
        "zone": zone.key,
        "day": plan.leave.astimezone(zone).date().isoformat(),
        "fits": verdict.fits,
        "proven": verdict.proven,
        **_outing(plan, zone),
        "sun": _sun(facts),
        "dark_looks": dark_looks(plan, facts.sun),
        "stops": _stops(plan, facts),
        "home": {
            "drive_min": _minutes(plan.home_s),
            "drive_m": round(plan.home_m, 1),
            "drive_estimated": plan.home_estimated,
        },
        **_left_out(verdict, facts),
        **_outlook(plan, facts),
        "carry": list(carry_list(plan, facts)),
        "rules": _rules(facts, plan.leave.astimezone(zone).date()),
        "cautions": list(facts.cautions),
        "notes": list(plan.notes),
        "made_from": facts.made_from,
        "seed": plan.seed,
        "iterations": plan.iterations,
    }


def _outing(plan: RoundPlan, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "start": plan.start,
        "end": plan.end,
        "leave": rfc3339(plan.leave, zone),
        "back": rfc3339(plan.back, zone),
        "earliest_start": rfc3339(plan.outing.start, zone),
        "latest_return": rfc3339(plan.outing.end, zone),
        "total_min": _minutes(plan.seconds),
        "spare_min": _minutes(plan.spare_s),
    }


def _sun(facts: RoundFacts) -> dict[str, Any] | None:
    sun = facts.sun
    if sun is None:
        return None
    named = {
        "civil_dawn": sun.dawn,
        "sunrise": sun.sunrise,
        "sunset": sun.sunset,
        "civil_dusk": sun.dusk,
    }
    return {name: _instant(when, facts.zone) for name, when in named.items()}


def _stops(plan: RoundPlan, facts: RoundFacts) -> list[dict[str, Any]]:
    stops, order = [], 0
    for number, stop in enumerate(plan.stops, 1):
        visits = [_visit(order + i, visit, plan, facts) for i, visit in enumerate(stop.visits, 1)]
        order += len(visits)
        stops.append(_stop(number, stop, visits, facts))
    return stops


def _stop(number: int, stop: ParkStop, visits: list[dict[str, Any]], facts: RoundFacts) -> dict[str, Any]:
    return {
        "number": number,
        "parking": stop.parking,
        "note": facts.parking_notes.get(stop.parking, ""),
        "drive_min": _minutes(stop.drive_s),
        "drive_m": round(stop.drive_m, 1),
        "drive_estimated": stop.drive_estimated,
        "arrive": rfc3339(stop.arrive, facts.zone),
        "visits": visits,
        "back_min": _minutes(stop.back_s),
        "back_m": round(stop.back_m, 1),
        "depart": rfc3339(stop.depart, facts.zone),
    }


def _visit(order: int, visit: Visit, plan: RoundPlan, facts: RoundFacts) -> dict[str, Any]:
    known, zone = facts.sets[visit.set_name], facts.zone
    sign = set_clock(visit, known, tight_s=facts.time.catch_s)
    due = limit_of(visit, known)
    return {
        "order": order,
        "set": visit.set_name,
        "tag": known.tag,
        "landmark": known.landmark,
        "walk_min": _minutes(visit.walk_s),
        "walk_m": round(visit.walk_m, 1),
        "wait_min": _minutes(visit.wait_s),
        "look": rfc3339(visit.look, zone),
        "leave": rfc3339(visit.leave, zone),
        "so_far_min": _minutes((visit.leave - plan.leave).total_seconds()),
        "last_look": _instant(known.last_look, zone),
        "due": _instant(due, zone),
        "due_verified": known.verified,
        "rule": known.rule,
        "personal_due": _instant(known.personal_due, zone),
        "slack_min": None if due is None else _minutes((due - visit.look).total_seconds()),
        "share_left": None if sign.share is None else round(sign.share, 4),
        "reading": sign.reading.value,
        "dark": None if facts.sun is None else is_dark(visit.look, facts.sun),
        "bring": list(known.bring),
        "note": known.note,
    }


def _left_out(verdict: Verdict, facts: RoundFacts) -> dict[str, Any]:
    return {
        "left_out": [
            {"set": left.set_name, "must": left.must, "due": _instant(left.due, facts.zone), "why": left.why}
            for left in verdict.plan.left_out
        ],
        "reliefs": [
            {
                "kind": relief.kind,
                "what": relief.what,
                "sets": list(relief.sets),
                "by_min": relief.minutes,
                "proven_smallest": relief.proven_smallest,
                "breaks": {name: rfc3339(due, facts.zone) for name, due in relief.breaks.items()},
            }
            for relief in verdict.reliefs
        ],
    }


def _outlook(plan: RoundPlan, facts: RoundFacts) -> dict[str, Any]:
    odds, zone = morning(plan, facts), facts.zone
    return {
        "expected": {
            "extra_min": _minutes(odds.extra_s),
            "chance_of_a_catch": round(odds.chance_of_a_catch, 4),
            "spare_devices": odds.devices,
        },
        "bad_mornings": [
            {
                "catches": bad.catches,
                "end": rfc3339(bad.end, zone),
                "late": list(bad.late),
                "over_min": _minutes(bad.over_s),
            }
            for bad in plan.bad_mornings
        ],
        "ratchets": [
            {
                "set": ratchet.set_name,
                "last_look": rfc3339(ratchet.last_look, zone),
                "this_look": rfc3339(ratchet.this_look, zone),
                "earlier_min": _minutes(ratchet.earlier_s),
            }
            for ratchet in plan.ratchets
        ],
    }


def _rules(facts: RoundFacts, day: date) -> list[dict[str, Any]]:
    return [
        {
            "profile": rule.profile,
            "says": rule.says,
            "citation": rule.citation,
            "confirmed": rule.confirmed.isoformat() if rule.confirmed else None,
            "until": rule.until.isoformat() if rule.until else None,
            "verified": rule.holds(day),
        }
        for rule in facts.rules
    ]


def _instant(when: datetime | None, zone: ZoneInfo) -> str | None:
    return None if when is None else rfc3339(when, zone)


def _minutes(seconds: float) -> float:
    return round(seconds / 60.0, 2)
