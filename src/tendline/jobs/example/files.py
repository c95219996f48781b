"""Owns the invented example as files of every sort that `bring` reads, as a person might hold them.

Does not own what is in them (`hills`, `farms`).
"""

import csv
import io
import json
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from tendline.almanac.geodesy import Projector
from tendline.core.place import LonLat
from tendline.core.when import rfc3339
from tendline.ground.raster_out import geotiff
from tendline.jobs.example.farms import BRIDGES, DRIVES, FARMS, HOME, LOCATIONS, QUARRY, Point, Spot, spots
from tendline.jobs.example.hills import CRS, creek, hills

SAYS = "Invented example in an invented place."
FIRST_TAG = 201


def home() -> LonLat:
    """Give the place where the invented outings start."""
    return Projector(CRS).to_lonlat(*HOME)


def example_files(made_at: datetime) -> dict[str, bytes]:
    """Give the files by name: heights, parcels with barriers, parkings, sets, drives.

    Parameters
    ----------
    made_at
        When the first set was hung; the others follow every nine minutes.
    """
    ground = hills()
    turn = Projector(CRS)
    found = spots(ground)
    return {
        "corran-hills.tif": geotiff(ground),
        "corran-farms.geojson": json.dumps(_farms(turn), indent=1).encode(),
        "corran-parkings.gpx": _parkings(turn).encode(),
        "corran-sets.csv": _sets(turn, found, made_at).encode(),
        "corran-drives.csv": _drives().encode(),
    }


def _pair(turn: Projector, point: Point) -> list[float]:
    place = turn.to_lonlat(*point)
    return [round(place.lon, 7), round(place.lat, 7)]


def _farms(turn: Projector) -> dict[str, Any]:
    features = [
        _feature(
            {"type": "Polygon", "coordinates": [[_pair(turn, p) for p in (*farm.corners, farm.corners[0])]]},
            {
                "kind": "parcel",
                "name": farm.name,
                "title": farm.title,
                "owner": farm.owner,
                "land_class": "private",
                "own_land": "no",
            },
        )
        for farm in FARMS
    ]
    features.append(
        _feature(
            {"type": "Polygon", "coordinates": [[_pair(turn, p) for p in (*QUARRY, QUARRY[0])]]},
            {"kind": "barrier", "name": "quarry"},
        )
    )
    features.append(
        _feature(
            {"type": "LineString", "coordinates": [_pair(turn, p) for p in creek()]},
            {"kind": "barrier", "name": "creek"},
        )
    )
    features += [
        _feature(
            {"type": "Point", "coordinates": _pair(turn, p)},
            {"kind": "crossing", "barrier": "creek", "name": f"bridge-{i}"},
        )
        for i, p in enumerate(BRIDGES, start=1)
    ]
    return {"type": "FeatureCollection", "features": features}


def _feature(geometry: dict[str, Any], properties: dict[str, Any]) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": {**properties, "note": SAYS}}


def _parkings(turn: Projector) -> str:
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<gpx version="1.1" creator="tendline example" xmlns="http://www.topografix.com/GPX/1/1">',
    ]
    for farm in FARMS:
        for name, point in farm.parkings:
            place = turn.to_lonlat(*point)
            lines.append(f"  <wpt lat={quoteattr(f'{place.lat:.7f}')} lon={quoteattr(f'{place.lon:.7f}')}>")
            lines.append(f"    <name>{escape(name)}</name><type>parking</type></wpt>")
    return "\n".join([*lines, "</gpx>", ""])


def _sets(turn: Projector, found: Sequence[Spot], made_at: datetime) -> str:
    out = io.StringIO()
    writer: csv.DictWriter[str] | None = None
    for number, spot in enumerate(found):
        place = turn.to_lonlat(*spot.place)
        row = {
            "kind": "set",
            "name": spot.name,
            "lon": f"{place.lon:.7f}",
            "lat": f"{place.lat:.7f}",
            "accuracy_m": "4",
            "set_at": rfc3339(made_at + timedelta(minutes=9 * number)),
            "tag": str(FIRST_TAG + number),
            "parcel": spot.farm,
            "device_class": "live-restraint",
            "loop_in": f"{spot.loop_in:g}",
            "bottom_in": f"{spot.bottom_in:g}",
            "surface": "ground",
            "target": spot.target,
            "landmark": spot.landmark,
            "location_type": LOCATIONS[spot.landmark],
            "note": SAYS,
        }
        if writer is None:
            writer = csv.DictWriter(out, list(row))
            writer.writeheader()
        writer.writerow(row)
    return out.getvalue()


def _drives() -> str:
    return "\n".join(["from,to,minutes", *(f"{a},{b},{minutes}" for a, b, minutes in DRIVES), ""])
