"""Owns reading a weather forecast of any kind that is read, and checking it against the present and the line.

Does not own the reading of each kind (`forecast_gridpoint`, `forecast_table`, `forecast_words`).
"""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from tendline.core.errors import FaultList
from tendline.core.forecast import Forecast
from tendline.core.place import LonLat
from tendline.ground.forecast_checks import check_forecast
from tendline.ground.forecast_gridpoint import looks_like_gridpoint, read_gridpoint
from tendline.ground.forecast_table import read_weather_table
from tendline.ground.forecast_words import WHERE, read_words


def read_forecast(
    data: bytes, *, file_name: str, zone: ZoneInfo, now: datetime, near: LonLat | None
) -> Forecast:
    """Read a forecast out of a file: a gridpoint document (JSON) or a table (CSV), told apart by content.

    Parameters
    ----------
    data
        The file.
    file_name
        Its name, for messages.
    zone
        The zone of the line.
    now
        The present.
    near
        The middle of the line; None when it has no place yet.

    Returns
    -------
    Forecast

    Raises
    ------
    Refused
        With every fault of the file: GND-004, GND-201, GND-301 to GND-305, GND-701 to GND-710, CORE-203,
        CORE-204.
    """
    faults = FaultList()
    head = data[:4096].decode("utf-8-sig", errors="replace")
    if looks_like_gridpoint(head) or head.lstrip().startswith("["):
        found = read_gridpoint(data, file_name=file_name, zone=zone, faults=faults)
    else:
        found = read_weather_table(data, file_name=file_name, zone=zone, now=now, faults=faults)
    return _checked(found, file_name=file_name, zone=zone, now=now, near=near, faults=faults)


def forecast_in_words(text: str, *, zone: ZoneInfo, now: datetime) -> Forecast:
    """Read a forecast that was typed in.

    Raises
    ------
    Refused
        With every fault of the words: GND-703, GND-705, GND-708, GND-709.
    """
    faults = FaultList()
    found = read_words(text, zone=zone, now=now, faults=faults)
    return _checked(found, file_name=WHERE, zone=zone, now=now, near=None, faults=faults)


def _checked(
    found: Forecast | None,
    *,
    file_name: str,
    zone: ZoneInfo,
    now: datetime,
    near: LonLat | None,
    faults: FaultList,
) -> Forecast:
    notes: tuple[str, ...] = ()
    if found is not None:
        notes = check_forecast(found, file_name=file_name, near=near, zone=zone, now=now, faults=faults)
    faults.refuse()
    assert found is not None
    return replace(found, notes=(*found.notes, *notes))
