"""Owns reading GeoJSON: points, lines and areas with properties, as plain things.

Does not own the geometry itself (`geojson_shapes`), how a property is read (`fields`), or which barrier a
crossing belongs to (`barriers`).
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, NoReturn
from zoneinfo import ZoneInfo

from tendline.core.errors import FaultList, refuse
from tendline.core.place import LonLat, Outline
from tendline.ground.brought import Brought, BroughtKind, BroughtThing, keyed, sha256_of
from tendline.ground.checks import check_twice, checked_kind, refuse_without_kind
from tendline.ground.encoding import decode
from tendline.ground.faults import JSON, JSON_CRS, NOT_GEOJSON, SHAPE
from tendline.ground.field_names import FACT_NAMES, MEASURES, TIMES
from tendline.ground.fields import check_names, read_facts, read_time
from tendline.ground.geojson_shapes import GEOMETRIES, Part, parts_of
from tendline.ground.wording import short

_FITS: dict[BroughtKind, tuple[str, ...]] = {
    BroughtKind.SET: ("point",),
    BroughtKind.PARKING: ("point",),
    BroughtKind.LANDMARK: ("point",),
    BroughtKind.PARCEL: ("area",),
    BroughtKind.BARRIER: ("line", "area"),
    BroughtKind.CROSSING: ("point", "line"),
    BroughtKind.DEVICE: ("point",),
    BroughtKind.TRACK: ("line",),
    BroughtKind.FEATURE: ("point", "line", "area"),
    BroughtKind.SPOT: ("point",),
}
_WGS84 = ("crs84", "epsg::4326", "epsg:4326")
_OWN = ("kind", "name", *TIMES, *FACT_NAMES, *MEASURES)


@dataclass
class _Reading:
    """What is at hand everywhere while one file is read."""

    file_name: str
    zone: ZoneInfo
    now: datetime
    default: BroughtKind | None
    noun: str = "feature"
    faults: FaultList = field(default_factory=FaultList)
    warnings: list[str] = field(default_factory=list)
    kindless: list[int] = field(default_factory=list)
    unknown: dict[str, None] = field(default_factory=dict)


def read_geojson(
    data: bytes, *, file_name: str, zone: ZoneInfo, now: datetime, default_kind: BroughtKind | None = None
) -> Brought:
    """Read a GeoJSON file: a feature collection, one feature, or a bare geometry.

    Parameters
    ----------
    data
        The file, UTF-8.
    file_name
        Its name, for messages.
    zone
        The zone of times without an offset.
    now
        The present: nothing in the file may be later.
    default_kind
        What a feature is that has no property `kind`.

    Returns
    -------
    Brought
        Several points or lines in one feature become several things; several areas stay one. Properties that
        mean nothing here are left out with one warning.

    Raises
    ------
    Refused
        With every fault of the file: GND-004, GND-011 to GND-022, GND-201 to GND-204, GND-501 to GND-503,
        CORE-201 to CORE-204.

    References
    ----------
    RFC 7946, sections 3.1.1 (longitude before latitude), 3.1.6 (rings; either winding is read), 4 (WGS84
    only).
    """
    document = _parse(decode(data, file_name=file_name), file_name)
    faults = FaultList()
    _check_crs(document, file_name, faults)
    return read_features(
        _features(document, file_name),
        file_name=file_name,
        sha256=sha256_of(data),
        zone=zone,
        now=now,
        default_kind=default_kind,
        faults=faults,
    )


def read_features(
    features: Sequence[Any],
    *,
    file_name: str,
    sha256: str,
    zone: ZoneInfo,
    now: datetime,
    default_kind: BroughtKind | None,
    faults: FaultList | None = None,
    warnings: Sequence[str] = (),
    noun: str = "feature",
) -> Brought:
    """Read features as GeoJSON builds them, whatever file they come from.

    Parameters
    ----------
    features
        In order; WGS84.
    file_name, sha256, zone, now, default_kind
        As in `read_geojson`, and the hash of the file.
    faults, warnings
        What the reader of the file has noted before.
    noun
        What one of them is called in messages: ``feature``, ``placemark``.

    Returns
    -------
    Brought
        As `read_geojson`.

    Raises
    ------
    Refused
        With every fault, those noted before included.
    """
    reading = _Reading(file_name, zone, now, default_kind, noun, faults or FaultList(), list(warnings))
    things: list[BroughtThing] = []
    for number, feature in enumerate(features, start=1):
        things += _things(feature, number, reading)
    refuse_without_kind(reading.kindless, file_name=file_name, noun=noun, faults=reading.faults)
    reading.warnings += check_twice(things, file_name=file_name, faults=reading.faults)
    reading.faults.refuse()
    if reading.unknown:
        names = ", ".join(short(name) for name in reading.unknown)
        reading.warnings.append(f"{file_name}: properties left out, because they mean nothing here: {names}.")
    if not things:
        reading.warnings.append(f"{file_name}: there is no {noun} in it.")
    return Brought(file_name, sha256, keyed(things), tuple(reading.warnings))


def _parse(text: str, file_name: str) -> Mapping[str, Any]:
    def no_constant(word: str) -> NoReturn:
        raise ValueError(f"{word} is no number in JSON")

    try:
        document = json.loads(text, parse_constant=no_constant)
    except json.JSONDecodeError as error:
        where = f"{file_name}, line {error.lineno}, column {error.colno}"
        raise refuse(
            JSON, f"the JSON is broken here: {error.msg}.", where, "Export the file again."
        ) from None
    except (ValueError, RecursionError) as error:
        what = f"the JSON cannot be read: {short(str(error), 90)}."
        raise refuse(JSON, what, file_name, "Export the file again.") from None
    if not isinstance(document, dict):
        what = "the file is JSON, but not an object."
        raise refuse(NOT_GEOJSON, what, file_name, "Export it as GeoJSON (RFC 7946).")
    return document


def _features(document: Mapping[str, Any], file_name: str) -> list[Any]:
    kind, features = document.get("type"), document.get("features")
    if kind == "FeatureCollection" and isinstance(features, list):
        return features
    if kind == "Feature":
        return [document]
    if kind in GEOMETRIES:
        return [{"type": "Feature", "geometry": document, "properties": {}}]
    what = f"'{short(str(kind))}' with these members is not a GeoJSON object."
    do = "It must be a FeatureCollection with features, a Feature, or a geometry (RFC 7946)."
    raise refuse(NOT_GEOJSON, what, file_name, do)


def _check_crs(document: Mapping[str, Any], file_name: str, faults: FaultList) -> None:
    """Refuse any coordinate system but longitude and latitude on WGS84 (RFC 7946, section 4)."""
    if "crs" not in document:
        return
    named = json.dumps(document["crs"])
    if not any(word in named.lower() for word in _WGS84):
        what = f"the file says it is in {short(named)}."
        do = "Export it in WGS84 (EPSG:4326), the only system that GeoJSON has."
        faults.add(JSON_CRS, what, file_name, do)


def _things(feature: Any, number: int, reading: _Reading) -> list[BroughtThing]:
    where = f"{reading.file_name}, {reading.noun} {number}"
    if not isinstance(feature, dict) or feature.get("type") != "Feature":
        do = "Each member of features must be an object of type Feature."
        reading.faults.add(NOT_GEOJSON, "this is not a feature.", where, do)
        return []
    properties = feature.get("properties")
    texts = _texts(properties if isinstance(properties, dict) else {}, reading)
    name = " ".join(texts.get("name", "").split())
    where += f" ({short(name)})" if name else ""
    kind = checked_kind(
        texts.get("kind", ""), default=reading.default, where=f"{where}, property kind", faults=reading.faults
    )
    if kind is None:
        reading.kindless += [] if texts.get("kind") else [number]
        parts_of(feature.get("geometry"), where=where, faults=reading.faults)
        return []
    return _things_of_kind(kind, feature, texts, where, reading)


def _things_of_kind(
    kind: BroughtKind,
    feature: Mapping[str, Any],
    texts: Mapping[str, str],
    where: str,
    reading: _Reading,
) -> list[BroughtThing]:
    def property_where(property_name: str) -> str:
        return f"{where}, property {property_name}"

    faults, warnings = reading.faults, reading.warnings
    check_names(texts, where=where, faults=faults)
    facts = read_facts(kind, texts, where=property_where, faults=faults, warnings=warnings)
    at = read_time(
        kind,
        texts,
        zone=reading.zone,
        now=reading.now,
        where=property_where,
        faults=faults,
        warnings=warnings,
    )
    parts = _fitting(kind, feature.get("geometry"), where, faults)
    own_id = feature.get("id")
    key = f"id {own_id}" if isinstance(own_id, str | int | float) and not isinstance(own_id, bool) else ""
    return [
        BroughtThing(
            kind=kind,
            wanted_name=" ".join(texts.get("name", "").split()),
            place=part if isinstance(part, LonLat) else None,
            outline=part if isinstance(part, Outline) else None,
            path=part if isinstance(part, tuple) else (),
            at=at,
            facts=facts,
            where=where if len(parts) == 1 else f"{where}, part {index}",
            key=key,
        )
        for index, part in enumerate(parts, start=1)
    ]


def _fitting(kind: BroughtKind, geometry: Any, where: str, faults: FaultList) -> list[Part | None]:
    """Read the geometry, and note parts that the kind cannot be; a device may have none."""
    if geometry is None:
        if kind is BroughtKind.DEVICE:
            return [None]
        faults.add(SHAPE, f"the {kind} has no geometry.", where, f"Draw it as {' or '.join(_FITS[kind])}.")
        return []
    parts = parts_of(geometry, where=where, faults=faults)
    wrong = {_word(part) for part in parts} - set(_FITS[kind])
    for word in sorted(wrong):
        do = f"Draw it as {' or '.join(_FITS[kind])}, or correct its kind."
        faults.add(SHAPE, f"a {kind} cannot be of the form {word}.", where, do)
    return list(parts)


def _word(part: Part) -> str:
    return "point" if isinstance(part, LonLat) else "area" if isinstance(part, Outline) else "line"


def _texts(properties: Mapping[str, Any], reading: _Reading) -> dict[str, str]:
    """Give the properties known here as texts, by name in lower case; note the names of the others."""
    texts = {}
    for key, value in properties.items():
        name = key.strip().lower()
        if name not in _OWN:
            reading.unknown.setdefault(key)
        elif (text := _text(value)) != "":
            texts[name] = text
    return texts


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ";".join(_text(each) for each in value)
    return str(value).strip()
