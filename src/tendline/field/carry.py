"""Owns the round as a phone takes it along: one JSON document that is enough for days without the machine.

Does not own the plan's own document (`report.itinerary_json`, handed in), what a phone sends back (`wire`).

The document names its version; a phone of an older page ignores keys it does not know, and says so when the
version is one it does not know. Unknown is null, never left out. Instants are RFC 3339, lengths `_m`.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.line import DeviceState, LineState, Parcel, SetState
from tendline.core.place import LonLat
from tendline.core.settings import Settings
from tendline.core.when import Span, rfc3339
from tendline.plan.due import DueRow

MARK = "carried-round"
"""What the key ``tendline`` of the document says."""
VERSION = 1
"""Of the shape; a change that an older page would misread raises it."""
_PLACES = 6
"""Decimals of a degree: about a hand's breadth."""


def carried_round(
    line: LineState,
    rows: Sequence[DueRow],
    *,
    settings: Settings,
    who: str,
    seq: int,
    plan: Mapping[str, Any] | None,
    why_no_plan: str,
    walks: Sequence[Sequence[LonLat]],
    home_min: Mapping[str, float],
    following: Span | None,
    duties: Sequence[Mapping[str, Any]],
    guidance: Sequence[Mapping[str, Any]],
    cautions: Sequence[str],
    relief: Mapping[str, Any] | None,
    why_no_relief: str,
    now: datetime,
) -> dict[str, Any]:
    """Put together what a phone takes along.

    Parameters
    ----------
    line
        The line as it stands.
    rows
        The due board.
    settings
        For the zone, units and name.
    who
        Who goes.
    seq
        The newest row of the record this was made from.
    plan
        The round's own document; None when none was planned.
    why_no_plan
        In words, when there is none.
    walks
        The ways on foot, leg by leg.
    home_min
        Drive from each parking of the round to where it must end [min].
    following
        The outing after this one; None when it is not known.
    duties
        What the law asks of a catch, see `jobs.duties`.
    guidance
        Steps of release and whom to call, as the agency names them, see `jobs.guidance`.
    cautions
        The usual ones.
    relief
        The ground, see `carry_relief`; None when there is none.
    why_no_relief
        In words, when there is none.
    now
        The present.
    """
    zone = settings.zone
    by_name = {row.set_name: row for row in rows}
    return {
        "tendline": MARK,
        "version": VERSION,
        "made_at": rfc3339(now, zone),
        "line": settings.name,
        "invented": settings.invented,
        "zone": zone.key,
        "units": settings.units.value,
        "who": who,
        "seq": seq,
        "home": _place(settings.home),
        "plan": plan,
        "why_no_plan": why_no_plan,
        "following": None if following is None else _span(following, zone),
        "sets": [_set(one, by_name[one.name], zone) for one in line.in_field],
        "parkings": [
            {"name": p.name, "place": _place(p.place), "note": p.note, "home_min": home_min.get(p.name)}
            for p in line.parkings.values()
        ],
        "landmarks": [
            {"name": m.name, "place": _place(m.place), "note": m.note} for m in line.landmarks.values()
        ],
        "parcels": [_parcel(parcel) for parcel in line.parcels.values()],
        "tags": sorted(tag for tag, d in line.devices.items() if d.state is DeviceState.STOCK),
        "walks": [[_place(place) for place in walk] for walk in walks if len(walk) > 1],
        "duties": list(duties),
        "guidance": list(guidance),
        "cautions": list(cautions),
        "relief": relief,
        "why_no_relief": why_no_relief,
    }


def _set(one: SetState, row: DueRow, zone: ZoneInfo) -> dict[str, Any]:
    answer = row.answer
    return {
        "name": one.name,
        "tag": one.tag,
        "place": _place(one.fix.place),
        "accuracy_m": one.fix.accuracy_m,
        "parcel": one.parcel,
        "landmark": one.landmark,
        "target": one.target,
        "loop_m": one.loop_m,
        "bottom_m": one.bottom.metres if one.bottom is not None else None,
        "working": row.working,
        "verdict": answer.verdict.value,
        "verified": answer.verified,
        "since": _instant(answer.since, zone),
        "due": _instant(answer.due_at, zone),
        "act_by": _instant(answer.act_by, zone),
        "rule": answer.words,
        "profile": answer.profile,
        "citation": str(answer.citation) if answer.citation else "",
        "own_due": _instant(row.own_due, zone),
        "last_seen": _instant(row.last_seen, zone),
        "marks": list(row.marks),
        "note": one.note,
    }


def _parcel(parcel: Parcel) -> dict[str, Any]:
    return {
        "name": parcel.name,
        "title": parcel.title,
        "owner": parcel.owner,
        "phone": parcel.phone,
        "note": parcel.note,
        "outline": [
            [[_place(corner) for corner in ring] for ring in polygon] for polygon in parcel.outline.polygons
        ],
    }


def _place(place: LonLat | None) -> list[float] | None:
    return None if place is None else [round(place.lon, _PLACES), round(place.lat, _PLACES)]


def _span(span: Span, zone: ZoneInfo) -> dict[str, str]:
    return {"start": rfc3339(span.start, zone), "end": rfc3339(span.end, zone)}


def _instant(when: datetime | None, zone: ZoneInfo) -> str | None:
    return None if when is None else rfc3339(when, zone)
