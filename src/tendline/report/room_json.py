"""Owns room as one JSON document.

Does not own the counting, nor the same for a person (`report.room_text`).
"""

from typing import Any

from tendline.core.when import rfc3339
from tendline.plan.itinerary import RoundPlan
from tendline.plan.room_nouns import DayRoom, Prices, Room
from tendline.plan.weeks_nouns import WeeksPlan
from tendline.report.room_nouns import RoomFacts, SpotsTold


def room_document(facts: RoomFacts) -> dict[str, Any]:
    """Give room as JSON can hold it; instants in the person's zone.

    Returns
    -------
    dict
        Its shape is ``jobs/schemas/room.schema.json``.
    """
    zone = facts.zone
    return {
        "line": facts.line,
        "invented": facts.invented,
        "mode": "outing" if facts.outing else "weeks",
        "from": rfc3339(facts.span.start, zone),
        "to": rfc3339(facts.span.end, zone),
        "windows": 1 if facts.outing else facts.windows,
        "stands": facts.stands,
        "days": [_day(day) for day in facts.days],
        "spots": None if facts.spots is None else _spots(facts.spots, facts),
        "aside_m": facts.aside_m,
        "catches": facts.catches,
        "own_h": facts.own_hours,
        "said": list(facts.said),
        "seed": facts.seed,
    }


def _day(day: DayRoom) -> dict[str, Any]:
    return {
        "day": day.day,
        "fits": day.fits,
        "proved": day.proved,
        "lacking_min": _min(day.lacking_s),
        "too_many": day.too_many,
        "spare_min": None if day.spare_s is None else _min(day.spare_s),
        "own_fits": day.own_fits,
        "own_first": day.own_first or None,
        "prices": _prices(day.prices),
        "places": [_room(room) for room in day.rooms],
    }


def _min(seconds: float) -> float:
    return round(seconds / 60.0, 2)


def _prices(prices: Prices) -> dict[str, float]:
    return {
        "each_min": _min(prices.each_s),
        "ten_more_min": _min(prices.ten_s),
        "new_property_min": _min(prices.ground_s),
        "drive_min": _min(prices.drive_s),
        "park_min": _min(prices.park_s),
        "walk_min": _min(prices.walk_s),
    }


def _room(room: Room) -> dict[str, Any]:
    return {
        "place": room.site.name,
        "title": room.site.title,
        "new_ground": room.site.is_new,
        "stand": len(room.site.sets),
        "more": room.more,
        "more_proved_at_most": room.most,
        "own_more": room.own_more,
        "gives_first": None if room.gives is None else room.gives.value,
        "gives_set": room.first or None,
    }


def _spots(told: SpotsTold, facts: RoomFacts) -> dict[str, Any]:
    choice, zone = told.choice, facts.zone
    chosen = []
    for one in choice.chosen:
        spot = told.spots[one.name]
        chosen.append(
            {
                "spot": one.name,
                "lon": spot.place.lon,
                "lat": spot.place.lat,
                "parcel": spot.parcel or None,
                "species": spot.species,
                "per_100_nights": round(100 * spot.per_night, 4),
                "adds": round(one.adds, 4),
                "from": spot.where,
                "note": spot.note or None,
            }
        )
    return {
        "nights": told.nights,
        "making_min": _min(told.making_s),
        "expected_catches": round(choice.value, 4),
        "at_most": round(choice.bound, 4),
        "proved_best": choice.best,
        "chosen": chosen,
        "left_out": [
            {
                "spot": one.name,
                "why": one.why,
                "would_add": None if one.adds is None else round(one.adds, 4),
                "same_animals_as": list(one.shares),
            }
            for one in choice.left
        ],
        "after_snow": None
        if told.snow is None
        else {
            "chosen": [one.name for one in told.snow.chosen],
            "expected_catches": round(told.snow.value, 4),
            "proved_best": told.snow.best,
        },
        "back": rfc3339(choice.plan.back, zone) if isinstance(choice.plan, RoundPlan) else None,
        "hours": round(choice.plan.seconds / 3600, 3) if isinstance(choice.plan, WeeksPlan) else None,
        "order": [
            {"parking": stop.parking, "looks": [v.set_name for v in stop.visits]}
            for stop in (choice.plan.stops if isinstance(choice.plan, RoundPlan) else ())
        ],
        "ranges": [
            {"species": name, "km2": roams.km2, "animals": roams.animals, "source": roams.source}
            for name, roams in told.roams
        ],
    }
