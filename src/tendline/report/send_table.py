"""Owns writing a table (CSV): one place a row, the columns that are read back.

Does not own which things (`outgoing`).
"""

import csv
import io

from tendline.ground.brought import BroughtKind, BroughtThing
from tendline.ground.table import COLUMNS
from tendline.report.outgoing import Lost, Outgoing, counted, field_text, fields_of

_ROWS = (
    BroughtKind.SET,
    BroughtKind.PARKING,
    BroughtKind.LANDMARK,
    BroughtKind.CROSSING,
    BroughtKind.DEVICE,
    BroughtKind.PARCEL,
    BroughtKind.FEATURE,
)
_NEEDS_NO_PLACE = (BroughtKind.DEVICE, BroughtKind.PARCEL)


def write_table(sent: Outgoing) -> tuple[bytes, tuple[Lost, ...]]:
    """Write a table.

    Returns
    -------
    bytes, lost
        UTF-8, lines end in CR LF. Lines and areas do not fit into a row: barriers, tracks, and features that
        are no points are lost; of a parcel the outline is.

    References
    ----------
    RFC 4180, section 2.
    """
    held = [thing for thing in sent.things if _fits(thing)]
    lost = counted((t for t in sent.things if not _fits(t)), "a row of a table holds no line and no area")
    outlines = [thing for thing in held if thing.outline is not None]
    if outlines:
        lost += (Lost("outline of a parcel", len(outlines), "a row of a table holds no area"),)
    rows = [_row(thing) for thing in held]
    columns = [name for name in COLUMNS if name in {key for row in rows for key in row}] or ["kind", "name"]
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, columns, lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode(), lost


def _fits(thing: BroughtThing) -> bool:
    return thing.kind in _ROWS and (thing.place is not None or thing.kind in _NEEDS_NO_PLACE)


def _row(thing: BroughtThing) -> dict[str, str]:
    row = {key: field_text(value) for key, value in fields_of(thing).items()}
    if thing.place is not None:
        row |= {"lon": repr(thing.place.lon), "lat": repr(thing.place.lat)}
    return row
