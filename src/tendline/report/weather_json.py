"""Owns the outlook on the weather as one JSON document.

Does not own the outlook (`plan.spoil`) or its wording (`weather_text`).
"""

from typing import Any

from tendline.core.forecast import Between
from tendline.core.when import rfc3339
from tendline.plan.spoil_nouns import BandDay, DayOutlook, SetDay, SetOutlook
from tendline.report.weather_text import NOT_MEASURED, Told


def weather_document(told: Told) -> dict[str, Any]:
    """Give the outlook as JSON can hold it; metres, chances from 0 to 1, times in the line's zone."""
    forecast, zone = told.forecast, told.settings.zone
    return {
        "line": told.settings.name,
        "invented": told.settings.invented,
        "now": rfc3339(told.now, zone),
        "forecast": {
            "source": forecast.source,
            "issued_at": None if forecast.issued_at is None else rfc3339(forecast.issued_at, zone),
            "start": rfc3339(forecast.span.start, zone),
            "end": rfc3339(forecast.span.end, zone),
            "notes": list(forecast.notes),
            "measured": False,
            "said": NOT_MEASURED,
        },
        "members": told.found.members,
        "seed": told.found.seed,
        "waters": list(told.waters),
        "days": [_line_day(day) for day in told.found.days],
        "sets": [_set(one) for one in told.found.sets],
    }


def _line_day(day: DayOutlook) -> dict[str, Any]:
    band = day.band
    return {
        "day": day.day.isoformat(),
        "air_c": _range(day.air_c, 1),
        "chill_c": round(day.chill_c, 1),
        "wind_told": day.wind_told,
        "skin": None if band is None else {"risk": band.risk, "says": band.says},
        "to_fix": _range(day.to_fix, 1),
        "fix_min": _range(day.fix_s.times(1 / 60.0), 1),
        "thaw": round(day.thaw, 3),
        "rain": round(day.rain, 3),
    }


def _set(one: SetOutlook) -> dict[str, Any]:
    at, advice = one.at_stake, one.advice
    return {
        "set": at.name,
        "parcel": at.parcel,
        "landmark": at.landmark,
        "working": at.working,
        "do": advice.act.value,
        "by_m": None if advice.by_m is None else _range(advice.by_m),
        "tonight": advice.tonight,
        "when": None if advice.when is None else advice.when.isoformat(),
        "why": list(advice.why),
        "also": list(one.also),
        "unsure": list(one.unsure),
        "days": [_set_day(day) for day in one.days],
    }


def _set_day(day: SetDay) -> dict[str, Any]:
    return {
        "day": day.day.isoformat(),
        "fallen_m": _range(day.fallen_m),
        "loose_m": _range(day.loose_m),
        "packed_m": _range(day.packed_m),
        "depth_m": _range(day.depth_m),
        "laws": [_band(law) for law in day.laws],
        "animal": None if day.animal is None else _band(day.animal, above="walked-on"),
        "bottom_buried": _chance(day.bottom_buried),
        "top_covered": _chance(day.top_covered),
        "landmark_covered": _chance(day.landmark_covered),
        "frozen": _chance(day.frozen),
        "thawed": _chance(day.thawed),
    }


def _band(day: BandDay, *, above: str = "") -> dict[str, Any]:
    band = day.band
    return {
        "who": band.who,
        "point": band.point.value,
        "above": above or band.base.value,
        "least_m": band.least_m,
        "most_m": band.most_m,
        "height_m": [round(day.low_m, 4), round(day.high_m, 4)],
        "wrong_low": round(day.wrong_low, 3),
        "wrong_high": round(day.wrong_high, 3),
        "words": band.words,
        "verified": band.verified,
    }


def _range(value: Between, digits: int = 4) -> list[float]:
    return [round(value.low, digits), round(value.high, digits)]


def _chance(value: float | None) -> float | None:
    return None if value is None else round(value, 3)
