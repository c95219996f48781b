"""Owns a scouting as one JSON document and as a map layer in GeoJSON.

Does not own its wording (`scout_text`) or the scouting itself.
"""

from collections.abc import Sequence
from typing import Any

from tendline.core.place import LonLat
from tendline.core.when import rfc3339
from tendline.report.scout_facts import A_REASON_TO_LOOK, Compared, CorridorTold, ScoutTold, Shared, SpotTold
from tendline.report.scout_text import law_words, why_words
from tendline.season.predicted import Calibration

Band = tuple[float, Sequence[Sequence[Sequence[LonLat]]]]
"""Top share of travel, and the polygons that hold it, each an outer ring and holes."""


def scouts_document(told: Sequence[ScoutTold], shared: Sequence[Shared]) -> dict[str, Any]:
    """Give everything that several scoutings came to: the first, the others in it under ``also``."""
    first, *others = (scout_document(one) for one in told)
    return {**first, "also": others, "shared": [_shared(one) for one in shared]}


def _shared(one: Shared) -> dict[str, Any]:
    named = [{"animal": animal, "weights": weights} for animal, weights in (one.one, one.other)]
    return {"line": one.line, "one": named[0], "other": named[1], "spots": one.spots, "of": one.of}


def scout_document(told: ScoutTold) -> dict[str, Any]:
    """Give everything a scouting came to."""
    return {
        "line": told.line,
        "at": rfc3339(told.now, told.settings.zone),
        "invented": told.settings.invented,
        "animal": told.animal,
        "means": A_REASON_TO_LOOK,
        "weights": told.weights,
        "cells": told.cells,
        "cell_m": round(told.cell_m, 3),
        "residual": told.residual,
        "islands_cells": told.islands,
        "spots": [_spot(one) for one in told.spots],
        "corridors": [_corridor(one) for one in told.corridors],
        "not_known": list(told.said),
        "written": list(told.written),
        "also": [],
        "shared": [],
    }


def _spot(one: SpotTold) -> dict[str, Any]:
    access, form = one.access, one.spot.form
    return {
        "spot": one.name,
        "lon": round(one.place.lon, 7),
        "lat": round(one.place.lat, 7),
        "travel": round(one.spot.density, 3),
        "worth": round(one.spot.worth, 3),
        "form": form.form.value if form is not None else None,
        "reasons": [
            {
                "word": reason.word,
                "distance_m": None if reason.metres is None else round(reason.metres, 1),
                "between": list(reason.between),
            }
            for reason in one.spot.reasons
        ],
        "lower_for": [
            {"what": each.what, "distance_m": round(each.metres, 1), "factor": each.factor}
            for each in one.spot.against
        ],
        "stability": {
            "kept_share": round(one.stability.kept, 3),
            "rank_low": one.stability.low,
            "rank_high": one.stability.high,
            "variations": one.stability.variations,
        },
        "parcel": one.parcel or None,
        "leave": one.leave,
        "access": None
        if access is None
        else {
            "parking": access.parking,
            "walk_min": round(access.seconds / 60.0, 1),
            "walk_m": round(access.metres),
        },
        "no_access": one.no_access or None,
        "law": {
            "profile": one.law.profile or None,
            "against": list(one.law.against),
            "not_verified": one.law.open,
            "said": law_words(one),
        },
    }


def _corridor(one: CorridorTold) -> dict[str, Any]:
    return {
        "start": one.start,
        "end": one.end,
        "length_m": round(one.length_m),
        "hardness": round(one.hardness, 3),
        "path": [_pair(place) for place in one.path],
    }


def scout_layer(told: ScoutTold, bands: Sequence[Band]) -> dict[str, Any]:
    """Give a map layer: spots, corridors, and where the densest travel lies; said in words in each."""
    units = told.settings.units
    features = [
        _feature(
            {
                "type": "MultiPolygon",
                "coordinates": [[[_pair(p) for p in ring] for ring in area] for area in areas],
            },
            {"what": "travel", "top_share": share, "animal": told.animal},
        )
        for share, areas in bands
    ]
    features += [
        _feature(
            {"type": "LineString", "coordinates": [_pair(place) for place in way.path]},
            {"what": "corridor", "start": way.start, "end": way.end, "animal": told.animal},
        )
        for way in told.corridors
        if len(way.path) > 1
    ]
    features += [
        _feature(
            {"type": "Point", "coordinates": _pair(one.place)},
            {
                "what": "pinch point",
                "name": one.name,
                "animal": told.animal,
                "travel": round(one.spot.density, 3),
                "why": why_words(one, units),
                "leave": one.leave,
                "law": "; ".join(law_words(one)),
                "note": A_REASON_TO_LOOK,
            },
        )
        for one in told.spots
    ]
    return {"type": "FeatureCollection", "features": features}


def _feature(geometry: dict[str, Any], properties: dict[str, Any]) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def _pair(place: LonLat) -> list[float]:
    return [round(place.lon, 7), round(place.lat, 7)]


def compared_document(compared: Sequence[Compared], told: ScoutTold) -> dict[str, Any]:
    """Give how predictions fared: the points of the calibration plots and the verdicts."""
    return {
        "at": rfc3339(told.now, told.settings.zone),
        "invented": told.settings.invented,
        "predictions": [
            {
                "file": one.file,
                "animal": one.animal,
                "made_at": rfc3339(one.made_at, told.settings.zone),
                "sign": _calibration(one.sign),
                "catches": _calibration(one.catches),
            }
            for one in compared
        ],
        "written": list(told.written),
    }


def _calibration(found: Calibration) -> dict[str, Any]:
    return {
        "seen": found.seen,
        "verdict": found.verdict,
        "better_share": found.better,
        "by_chance": found.by_chance,
        "bands": [
            {
                "travel_low": round(band.low, 4),
                "travel_high": round(band.high, 4),
                "expected_share": round(band.expected, 4),
                "seen": band.seen,
                "seen_share": round(band.share, 4),
                "seen_share_low": round(band.share_low, 4),
                "seen_share_high": round(band.share_high, 4),
            }
            for band in found.bands
        ],
    }
