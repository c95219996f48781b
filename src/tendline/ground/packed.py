"""Owns reading files of places that hold several: a GeoPackage, a zipped shapefile, a KMZ.

Does not own their layers (`vectors`), their parts (`shapefile`) or KML.
"""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from tendline.core.errors import FaultList, Refused
from tendline.ground.brought import Brought, BroughtKind, BroughtThing, keyed, sha256_of
from tendline.ground.kml import read_kml
from tendline.ground.shapefile import whole_shapefiles
from tendline.ground.vectors import read_layers
from tendline.ground.zipped import members_of


def read_packed(
    data: bytes, *, file_name: str, zone: ZoneInfo, now: datetime, default_kind: BroughtKind | None = None
) -> Brought:
    """Read a GeoPackage, or an archive of shapefiles or KML.

    Parameters
    ----------
    data, file_name, zone, now, default_kind
        As in `read_geojson`.

    Returns
    -------
    Brought
        Everything in it, one file after the other.

    Raises
    ------
    Refused
        GND-901 to GND-905, and every fault of what is inside.
    """
    if not data.startswith(b"PK"):
        return read_layers(data, file_name=file_name, zone=zone, now=now, default_kind=default_kind)
    plans = {
        name: (content, True)
        for name, content in members_of(data, file_name=file_name, endings=(".kml",)).items()
    }
    if not plans:
        plans = {
            name: (content, False) for name, content in whole_shapefiles(data, file_name=file_name).items()
        }
    faults, things, warnings = FaultList(), list[BroughtThing](), list[str]()
    for name, (content, is_kml) in plans.items():
        read = read_kml if is_kml else read_layers
        inner = file_name if len(plans) == 1 else f"{file_name}, {name}"
        try:
            brought = read(content, file_name=inner, zone=zone, now=now, default_kind=default_kind)
        except Refused as problem:
            faults.extend(problem.faults)
            continue
        things += [replace(thing, key=thing.key.partition(":")[2]) for thing in brought.things]
        warnings += brought.warnings
    faults.refuse()
    return Brought(file_name, sha256_of(data), keyed(things), tuple(warnings))
