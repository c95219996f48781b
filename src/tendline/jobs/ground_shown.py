"""Owns the ground of the line as one document for a map and the tables beside it.

Does not own drawing it, the relief under it (`relief`), or what is asked apart: walks, isochrones, scouting.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from tendline.almanac.geodesy import area_m2, path_m
from tendline.almanac.position import UNSAID_ACCURACY_M
from tendline.core.errors import refuse
from tendline.core.feature import Feature
from tendline.core.line import LineState, Parcel, SetState
from tendline.core.place import LonLat, Outline, Polygon
from tendline.core.when import local_day, rfc3339
from tendline.core.words import FeatureClass
from tendline.ground.barriers import barriers_of
from tendline.ground.brought import BroughtKind, BroughtThing
from tendline.ground.features import features_of
from tendline.jobs.answer import Answer
from tendline.jobs.draw import drawn_key
from tendline.jobs.faults import WORD
from tendline.jobs.ground_setbacks import distances_kept, setbacks
from tendline.jobs.heights import has_heights
from tendline.jobs.law_near import on_parcel
from tendline.jobs.law_people import leave_on_record
from tendline.jobs.law_set import reach_of
from tendline.jobs.lawful import case_judged
from tendline.jobs.lawful_facts import parcel_cases
from tendline.jobs.layers import read_things
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.words_in import place_value
from tendline.jobs.workspace import Workspace
from tendline.logbook.corrected import Effective, effective
from tendline.plan.due import due_board
from tendline.report.due_text import due_document
from tendline.rules.finding import OPEN, WRONG
from tendline.rules.rule import Topic
from tendline.rules.shape import Profile

_CLOCK = ("verdict", "verified", "since", "due_at", "working")


def ground_shown(space: Workspace) -> Answer:
    """Give everything that stands on the ground, with what the record and the law say of it.

    Raises
    ------
    Refused
        RULE-1xx, GND-xxx.
    """
    line, standing = space.line(), effective(space.events())
    with space.store() as store:
        sources = store.sources()
    things = read_things(space, sources)
    features = features_of(things)
    profiles = profiles_in_use(space, line)
    events = _events_of(standing)
    law = _law_of_parcels(space, line, features, profiles)
    kept = distances_kept(profiles, local_day(space.now, space.settings.zone))
    home = space.settings.home
    data = {
        "now": rfc3339(space.now, space.settings.zone),
        "invented": space.settings.invented,
        "heights": has_heights(sources),
        "classes": [one.value for one in FeatureClass if one is not FeatureClass.OTHER_SET],
        "home": None if home is None else _pair(home),
        "sets": _sets(space, line, profiles, events),
        "parcels": [
            _parcel(space, one, law.get(one.name, []), events) for _, one in sorted(line.parcels.items())
        ],
        "parkings": [
            {
                "parking": one.name,
                "place": _pair(one.place),
                "parcels": list(one.parcels),
                "note": one.note,
                "event": events.get(("parking", one.name)),
            }
            for _, one in sorted(line.parkings.items())
        ],
        "landmarks": [
            {"landmark": one.name, "place": _pair(one.place), "event": events.get(("landmark", one.name))}
            for _, one in sorted(line.landmarks.items())
        ],
        "features": list(_features(things)),
        "setbacks": [
            {
                "feature": feature.name or feature.feature_class.value,
                "rule": f"{each.profile}: {each.rule.id}",
                "words": each.words,
                "distance_m": round(each.metres, 3),
                "law": each.text,
                "area": _areas(polygons),
            }
            for feature, each, polygons in setbacks(features, kept)
        ],
        "barriers": [
            {"name": one.name, "lines": [_path(path) for path in one.lines], "area": _areas_of(one.areas)}
            for one in barriers_of(things)
        ],
        "signs": list(_signs(space, standing)),
    }
    return Answer("", data, warnings=line.warnings)


def measured(space: Workspace, places: Sequence[str]) -> Answer:
    """Measure a way over places, and the area it goes round, along the ellipsoid.

    Raises
    ------
    Refused
        JOB-301.
    """
    del space  # the same on every line
    found = [place_value(text, where="place").place for text in places]
    if len(found) < 2:
        raise refuse(WORD, "one place has no distance.", "place", "Give two places or more.")
    area = None
    if len(found) > 2:
        area = round(area_m2(Outline((((*found, found[0]),),))), 1)
    return Answer("", {"distance_m": round(path_m(found), 2), "area_m2": area})


def _events_of(standing: Sequence[Effective]) -> Mapping[tuple[str, str], str]:
    """Give the newest event that made each thing: what a correction of its place points at."""
    named = {"set-made": "set", "parcel": "name", "parking": "name", "landmark": "name"}
    return {
        (one.event.kind, str(one.body[named[one.event.kind]])): one.event.id
        for one in standing
        if one.event.kind in named
    }


def _sets(
    space: Workspace,
    line: LineState,
    profiles: Mapping[str, Profile],
    events: Mapping[tuple[str, str], str],
) -> list[dict[str, Any]]:
    rows = due_board(line, profiles=profiles, settings=space.settings, now=space.now)
    since = {row.set_name: row.answer.since for row in rows}
    board = due_document(rows, settings=space.settings, now=space.now)["sets"]
    found = []
    for row in board:
        one = line.sets[row["set"]]
        begun = since[one.name]
        clock = {**row, "since": None if begun is None else rfc3339(begun, space.settings.zone)}
        found.append(
            {
                "set": one.name,
                "place": _pair(one.fix.place),
                "accuracy_m": one.fix.accuracy_m,
                "taken_m": UNSAID_ACCURACY_M if one.fix.accuracy_m is None else one.fix.accuracy_m,
                "parcel": one.parcel,
                "landmark": one.landmark,
                "tag": one.tag,
                "target": one.target,
                "event": events.get(("set-made", one.name)),
                "clock": {key: clock[key] for key in _CLOCK},
                "reach": _reach(one, line),
                "stands": _stands(space, one, line),
            }
        )
    return found


def _reach(one: SetState, line: LineState) -> dict[str, Any] | None:
    circle = reach_of(one, line.devices.get(one.tag or ""))
    if circle is None:
        return None
    return {"low_m": round(circle.low_m, 3), "high_m": round(circle.high_m, 3), "said": list(circle.said)}


def _stands(space: Workspace, one: SetState, line: LineState) -> dict[str, Any] | None:
    """Say whether it stands on its parcel, as far as its position tells."""
    parcel = line.parcels.get(one.parcel)
    if parcel is None:
        return None
    found = on_parcel(one, parcel, sure=space.settings.law.sure)
    return {"side": found.side.value, "inside_m": round(found.inside_m, 1), "chance": round(found.chance, 3)}


def _law_of_parcels(
    space: Workspace, line: LineState, features: Sequence[Feature], profiles: Mapping[str, Profile]
) -> Mapping[str, list[dict[str, str]]]:
    """Give what the law finds wrong or open about the leave of each parcel."""
    found: dict[str, list[dict[str, str]]] = {}
    for case in parcel_cases(line, features, settings=space.settings):
        name = case.facts.place.name if case.facts.place is not None else ""
        wrong = [
            {"holds": one.finding.holds.value, "words": one.finding.words}
            for one in case_judged(space, case, profiles)
            if one.finding.topic == Topic.PAPER.value and one.finding.holds in (*WRONG, *OPEN)
        ]
        found[name] = [*found.get(name, []), *(one for one in wrong if one not in found.get(name, []))]
    return found


def _parcel(
    space: Workspace, one: Parcel, law: list[dict[str, str]], events: Mapping[tuple[str, str], str]
) -> dict[str, Any]:
    today = local_day(space.now, space.settings.zone)
    own = one.told.get("own_land") is True
    stands, words = (True, "your own land") if own else leave_on_record(one, today)
    return {
        "parcel": one.name,
        "title": one.title,
        "owner": one.owner,
        "phone": one.phone,
        "area": _areas_of(one.outline),
        "area_m2": round(area_m2(one.outline), 1),
        "leave": {"stands": stands, "words": words},
        "law": law,
        "event": events.get(("parcel", one.name)),
    }


def _features(things: Sequence[BroughtThing]) -> Iterator[dict[str, Any]]:
    for thing in things:
        if thing.kind is BroughtKind.FEATURE:
            (one,) = features_of([thing])
            yield {
                "name": one.name,
                "feature": one.feature_class.value,
                "shape": _shape(one),
                "where": one.where,
                "drawn": drawn_key(thing),
            }


def _shape(one: Feature) -> dict[str, Any]:
    """Give a feature as a geometry of GeoJSON (RFC 7946, section 3.1)."""
    if one.outline is not None:
        return {"type": "MultiPolygon", "coordinates": _areas_of(one.outline)}
    if one.path:
        return {"type": "LineString", "coordinates": _path(one.path)}
    assert one.place is not None
    return {"type": "Point", "coordinates": _pair(one.place)}


def _signs(space: Workspace, standing: Sequence[Effective]) -> Iterator[dict[str, Any]]:
    for one in standing:
        if one.event.kind == "sign-seen" and one.fix is not None and one.happened_at <= space.now:
            yield {
                "species": one.body["species"],
                "how_sure": one.body.get("how_sure"),
                "note": one.body.get("note", ""),
                "place": _pair(one.fix.place),
                "at": rfc3339(one.happened_at, space.settings.zone),
                "event": one.event.id,
            }


def _areas_of(outline: Outline | None) -> list[Any]:
    return [] if outline is None else _areas(outline.polygons)


def _areas(polygons: Sequence[Polygon]) -> list[Any]:
    return [[_path(ring) for ring in polygon] for polygon in polygons]


def _path(places: Sequence[LonLat]) -> list[list[float]]:
    return [_pair(place) for place in places]


def _pair(place: LonLat) -> list[float]:
    return [round(place.lon, 7), round(place.lat, 7)]
