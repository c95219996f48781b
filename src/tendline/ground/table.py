"""Owns reading a table (CSV) of sets, parkings, landmarks, crossings, features, devices and parcels.

Does not own text and separators (`sheet`), nor how a value is read (`fields`).
"""

import re
from collections.abc import Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

from tendline.core.errors import FaultList
from tendline.core.place import LonLat
from tendline.ground.brought import Brought, BroughtKind, BroughtThing, keyed, sha256_of
from tendline.ground.checks import check_twice, checked_kind, checked_place, refuse_without_kind
from tendline.ground.faults import PLACE, SHAPE
from tendline.ground.field_names import FACT_NAMES, MEASURES, TIMES
from tendline.ground.fields import Where, check_names, read_facts, read_time
from tendline.ground.sheet import Row, read_sheet
from tendline.ground.wording import short

COLUMNS = ("kind", "name", "lon", "lat", *TIMES, *FACT_NAMES)
"""Every column that a table of places may have."""

ALIASES = {"longitude": "lon", "long": "lon", "lng": "lon", "latitude": "lat"}

_NO_PLACE_NEEDED = (BroughtKind.PARCEL, BroughtKind.DEVICE)
_NEEDS_A_LINE = (BroughtKind.BARRIER, BroughtKind.TRACK)
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")


def read_table(
    data: bytes, *, file_name: str, zone: ZoneInfo, now: datetime, default_kind: BroughtKind | None = None
) -> Brought:
    """Read a table of places.

    Parameters
    ----------
    data
        The file: UTF-8, a header row with names from `COLUMNS`, separated by comma, semicolon or tab.
    file_name
        Its name, for messages.
    zone
        The zone of times without an offset.
    now
        The present: nothing in the file may be later.
    default_kind
        What a row is that does not say so.

    Returns
    -------
    Brought

    Raises
    ------
    Refused
        With every fault of the file: GND-004, GND-011 to GND-022, GND-301 to GND-305, CORE-201 to CORE-204.
    """
    faults, warnings = FaultList(), list[str]()
    sheet = read_sheet(
        data, file_name=file_name, known=COLUMNS, aliases=ALIASES, let_pass=tuple(MEASURES), faults=faults
    )
    check_names(sheet.columns, where=f"{file_name}, row 1", faults=faults)
    things: list[BroughtThing] = []
    kindless: list[int] = []
    for row in sheet.rows:
        row_name = f"{file_name}, row {row.number}"
        kind = checked_kind(
            row.cells.get("kind", ""), default=default_kind, where=f"{row_name}, column kind", faults=faults
        )
        if kind is None:
            if not row.cells.get("kind"):
                kindless.append(row.number)
            continue
        things.append(
            _thing(kind, row, row_name, zone=zone, now=now, faults=faults, warnings=warnings),
        )
    refuse_without_kind(kindless, file_name=file_name, noun="row", faults=faults)
    warnings += check_twice(things, file_name=file_name, faults=faults)
    faults.refuse()
    if not things:
        warnings.append(f"{file_name}: the table has a header and no rows.")
    return Brought(file_name, sha256_of(data), keyed(things), tuple(warnings))


def _thing(
    kind: BroughtKind,
    row: Row,
    row_name: str,
    *,
    zone: ZoneInfo,
    now: datetime,
    faults: FaultList,
    warnings: list[str],
) -> BroughtThing:
    def where(column: str) -> str:
        return f"{row_name}, column {column}"

    texts = row.cells
    if kind in _NEEDS_A_LINE:
        do = "Bring it as GeoJSON (a line or an area), or as a GPX track."
        faults.add(SHAPE, f"a {kind} cannot stand in a table: it is a line or an area.", row_name, do)
    return BroughtThing(
        kind=kind,
        wanted_name=" ".join(texts.get("name", "").split()),
        place=_place(kind, texts, where, row_name, faults),
        at=read_time(kind, texts, zone=zone, now=now, where=where, faults=faults, warnings=warnings),
        facts=read_facts(kind, texts, where=where, faults=faults, warnings=warnings),
        where=row_name,
    )


def _place(
    kind: BroughtKind, texts: Mapping[str, str], where: Where, row_name: str, faults: FaultList
) -> LonLat | None:
    lon, lat = texts.get("lon", ""), texts.get("lat", "")
    if not lon and not lat:
        if kind not in (*_NO_PLACE_NEEDED, *_NEEDS_A_LINE):
            do = "Fill in the columns lon and lat, in degrees with a decimal point."
            faults.add(PLACE, f"the {kind} has no place.", row_name, do)
        return None
    numbers = []
    for column, text in (("lon", lon), ("lat", lat)):
        if _NUMBER.fullmatch(text):
            numbers.append(float(text))
        else:
            do = "Give degrees with a decimal point, such as -78.12345; west and south are negative."
            faults.add(PLACE, f"'{short(text)}' is not a number of degrees.", where(column), do)
    return checked_place(numbers[0], numbers[1], row_name, faults) if len(numbers) == 2 else None
