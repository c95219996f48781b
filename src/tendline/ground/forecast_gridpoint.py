"""Owns reading a gridpoint forecast of the United States National Weather Service, as a person saved it.

Does not own fetching it (nothing here goes out to the network) or the checks of any forecast.
"""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.errors import FaultList, refuse
from tendline.core.forecast import Between, Forecast, Step, in_blocks
from tendline.core.place import LonLat
from tendline.core.when import Span
from tendline.ground.encoding import decode
from tendline.ground.faults import FORECAST, FORECAST_LACKS, FORECAST_TIME, FORECAST_VALUE, JSON
from tendline.ground.forecast_checks import UNITS, check_follows, check_value, unit_fault
from tendline.ground.wording import short

_LAYERS = {
    "temperature": "temp",
    "quantitativePrecipitation": "precip",
    "snowfallAmount": "snow",
    "windSpeed": "wind",
}
"""Layers that are read, and the kind of value each holds."""

_UNITS = {
    "degC": "c",
    "degF": "f",
    "mm": "mm",
    "cm": "cm",
    "in": "in",
    "km_h-1": "kmh",
    "m_s-1": "ms",
    "mi_h-1": "mph",
    "kt": "kt",
}
"""Units as the document writes them, after ``wmoUnit:`` or ``unit:``."""

_DURATION = re.compile(r"P(?:(?P<d>\d+)D)?(?:T(?:(?P<h>\d+)H)?(?:(?P<m>\d+)M)?)?")


@dataclass(frozen=True)
class _Piece:
    """One value of a layer and the stretch it holds for."""

    span: Span
    value: float


def looks_like_gridpoint(head: str) -> bool:
    """Say whether text that starts like JSON is worth reading as a gridpoint forecast."""
    return head.lstrip().startswith("{")


def read_gridpoint(data: bytes, *, file_name: str, zone: ZoneInfo, faults: FaultList) -> Forecast | None:
    """Read a gridpoint document.

    Parameters
    ----------
    data
        The file: JSON with `properties.temperature`, `quantitativePrecipitation` and perhaps `snowfallAmount`
        and `windSpeed`, each with `uom` and `values` of `validTime` and `value`.
    file_name, zone
        For messages.
    faults
        Takes GND-702, GND-703, GND-705, GND-708 and GND-710.

    Returns
    -------
    Forecast or None
        None when faults were found.

    Raises
    ------
    Refused
        GND-004, GND-201 and GND-701: nothing more can be said about the file.

    References
    ----------
    National Weather Service API, gridpoints: values by ISO 8601 interval, units from the WMO code registry;
    amounts hold for the whole of their interval.
    """
    document = _parse(data, file_name)
    properties = document.get("properties")
    if not isinstance(properties, dict) or not any(name in properties for name in _LAYERS):
        do = "Save the forecast of a gridpoint as JSON, a table (CSV), or type it in with --words."
        raise refuse(FORECAST, "this JSON is no gridpoint forecast.", file_name, do)
    before = len(faults.found)
    layers = {
        name: _layer(name, kind, properties.get(name), file_name=file_name, zone=zone, faults=faults)
        for name, kind in _LAYERS.items()
    }
    for name in ("temperature", "quantitativePrecipitation"):
        if not layers[name] and len(faults.found) == before:
            do = "Save the whole gridpoint document."
            faults.add(FORECAST_LACKS, f"it holds no values of {name}.", file_name, do)
    if len(faults.found) > before:
        return None
    steps = _joined(layers)
    if not steps:
        what = "temperature and precipitation have no hour in common."
        faults.add(FORECAST_LACKS, what, file_name, "Save the whole document.")
        return None
    issued = _instant(properties.get("updateTime")) or _instant(properties.get("generatedAt"))
    return Forecast(
        f"National Weather Service gridpoint forecast, {file_name}",
        steps,
        issued_at=issued,
        place=_middle(document.get("geometry")),
        elevation_m=_elevation(properties.get("elevation")),
    )


def _parse(data: bytes, file_name: str) -> Mapping[str, Any]:
    try:
        document = json.loads(decode(data, file_name=file_name))
    except json.JSONDecodeError as error:
        where = f"{file_name}, line {error.lineno}, column {error.colno}"
        raise refuse(JSON, f"the JSON is broken here: {error.msg}.", where, "Save the file again.") from None
    except RecursionError:
        raise refuse(JSON, "the JSON is nested too deeply.", file_name, "Save the file again.") from None
    if not isinstance(document, dict):
        raise refuse(FORECAST, "the file is JSON, but not an object.", file_name, "Save the forecast again.")
    return document


def _layer(
    name: str, kind: str, layer: Any, *, file_name: str, zone: ZoneInfo, faults: FaultList
) -> tuple[_Piece, ...]:
    if not isinstance(layer, dict) or not isinstance(layer.get("values"), list) or not layer["values"]:
        return ()
    where = f"{file_name}, {name}"
    told = str(layer.get("uom", ""))
    convert = UNITS[kind].get(_UNITS.get(told.rsplit(":", maxsplit=1)[-1], ""))
    if convert is None:
        unit_fault(kind, told, where=where, faults=faults)
        return ()
    pieces = []
    for number, entry in enumerate(layer["values"], start=1):
        at = f"{where}, value {number}"
        span = _interval(entry, where=at, faults=faults)
        value = entry.get("value") if isinstance(entry, dict) else None
        if isinstance(value, bool) or not isinstance(value, int | float):
            what = f"'{short(str(value))}' is not a number."
            faults.add(FORECAST_VALUE, what, at, "Save the forecast again.")
            continue
        checked = check_value(kind, convert(float(value)), told=f"{value} {told}", where=at, faults=faults)
        if span is not None and checked is not None:
            pieces.append(_Piece(span, checked))
    check_follows([p.span for p in pieces], what=name, where=where, zone=zone, faults=faults)
    return tuple(pieces)


def _interval(entry: Any, *, where: str, faults: FaultList) -> Span | None:
    text = str(entry.get("validTime", "")) if isinstance(entry, dict) else ""
    first, _, last = text.partition("/")
    start, found = _instant(first), _DURATION.fullmatch(last)
    if start is not None and found is not None and len(last) > 2:
        days, hours, minutes = (int(found[part] or 0) for part in ("d", "h", "m"))
        length = timedelta(days=days, hours=hours, minutes=minutes)
        if timedelta(0) < length <= timedelta(days=14):
            return Span(start, start + length)
    do = "It should read like 2026-01-15T06:00:00+00:00/PT6H."
    faults.add(FORECAST_TIME, f"'{short(text)}' is no stretch of time.", where, do)
    return None


def _instant(text: Any) -> datetime | None:
    """Read an instant with its offset; None for anything else."""
    try:
        stamp = datetime.fromisoformat(str(text))
    except ValueError:
        return None
    return stamp.astimezone(_UTC) if stamp.tzinfo is not None else None


_UTC = ZoneInfo("UTC")


def _joined(layers: Mapping[str, Sequence[_Piece]]) -> tuple[Step, ...]:
    """Cut all layers at each other's edges, over the hours that temperature and precipitation both tell."""
    air, water = layers["temperature"], layers["quantitativePrecipitation"]
    start = max(air[0].span.start, water[0].span.start)
    end = min(air[-1].span.end, water[-1].span.end)
    if start >= end:
        return ()
    edges = sorted({start, end, *(e for piece in air for e in (piece.span.start, piece.span.end))})
    edges = [edge for edge in edges if start <= edge <= end]
    bare = [Step(piece.span, Between(piece.value, piece.value)) for piece in air]
    blocks = in_blocks(bare, edges)
    return tuple(
        Step(
            block.span,
            block.air_c,
            _amount(water, block.span),
            _scaled(_amount(layers["snowfallAmount"], block.span), 0.001),
            _mean(layers["windSpeed"], block.span),
        )
        for block in blocks
    )


def _amount(pieces: Sequence[_Piece], span: Span) -> Between | None:
    """Give what falls in a span out of amounts over other spans; None where nothing is told of it."""
    shares = [(p, s.seconds) for p in pieces if (s := p.span.meet(span)) is not None and s.seconds > 0]
    if sum(seconds for _, seconds in shares) < span.seconds:
        return None
    total = sum(piece.value * seconds / piece.span.seconds for piece, seconds in shares)
    return Between(total, total)


def _mean(pieces: Sequence[_Piece], span: Span) -> Between | None:
    shares = [(p, s.seconds) for p in pieces if (s := p.span.meet(span)) is not None and s.seconds > 0]
    covered = sum(seconds for _, seconds in shares)
    if covered <= 0:
        return None
    mean = sum(piece.value * seconds for piece, seconds in shares) / covered
    return Between(mean, mean)


def _scaled(value: Between | None, factor: float) -> Between | None:
    return None if value is None else value.times(factor)


def _middle(geometry: Any) -> LonLat | None:
    """Give the middle of a point or of the outer ring of a polygon; None when there is none."""
    try:
        kind, coordinates = geometry["type"], geometry["coordinates"]
        corners = [coordinates] if kind == "Point" else coordinates[0][:-1]
        return LonLat(
            sum(float(c[0]) for c in corners) / len(corners), sum(float(c[1]) for c in corners) / len(corners)
        )
    except (KeyError, TypeError, IndexError, ValueError, ZeroDivisionError):
        return None


def _elevation(told: Any) -> float | None:
    if not isinstance(told, dict) or not isinstance(told.get("value"), int | float):
        return None
    unit = str(told.get("unitCode", "")).split(":")[-1]
    return float(told["value"]) if unit == "m" else None
