"""Owns finding out what kind of file one has been handed, and sending it to its reader.

Does not own the reading, nor copying the file into the line folder.
"""

import hashlib
import re
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from zoneinfo import ZoneInfo

from tendline.core.errors import Refused, refuse
from tendline.ground.brought import Brought, BroughtKind
from tendline.ground.faults import FILE, FORMAT, NOT_PLACES, TOO_LARGE
from tendline.ground.geojson import read_geojson
from tendline.ground.gpx import read_gpx
from tendline.ground.kml import read_kml
from tendline.ground.shapefile import pack_loose
from tendline.ground.sheet import columns_of
from tendline.ground.table import read_table

MOST_BYTES = 256 * 1024 * 1024
"""No file of places of one line is near this; it would only fill the memory."""

MOST_RASTER_BYTES = 2 * 1024 * 1024 * 1024
"""The same for an elevation model."""

READ = (
    "GPX (.gpx), GeoJSON (.geojson, .json), KML (.kml, .kmz), GeoPackage (.gpkg), shapefile (.shp or zipped),"
    " a table (.csv, .tsv) and an elevation model as GeoTIFF (.tif)"
)


class FileFormat(StrEnum):
    """What a file holds, as far as its first bytes tell."""

    GPX = "GPX"
    GEOJSON = "GeoJSON"
    KML = "KML"
    GEOPACKAGE = "a GeoPackage"
    ZIPPED = "a zipped shapefile or KMZ"
    TABLE = "a table of places"
    DRIVES = "a table of driving minutes"
    ELEVATION = "a GeoTIFF"


PLACES = frozenset({FileFormat.GPX, FileFormat.GEOJSON, FileFormat.KML, FileFormat.GEOPACKAGE})
PLACES |= {FileFormat.ZIPPED, FileFormat.TABLE}
"""What holds places, and is read again for its barriers and features."""

# The first bytes of files that people try, and what to do about them.
_OTHERS = (
    (b"SQLite format 3\0", "an SQLite database, and no GeoPackage"),
    (b"%PDF", "a PDF"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"\x89PNG", "a PNG picture"),
    (b"\x1f\x8b", "a gzip archive"),
)
_TIFF = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
_ZIP, _SQLITE, _SHAPES = b"PK\x03\x04", b"SQLite format 3\0", b"\x00\x00\x27\x0a"
_GEOPACKAGE = (b"GPKG", b"GP10", b"GP11")
"""At byte 68 of the file (OGC 12-128r18, requirement 2; the older two for versions 1.0 and 1.1)."""
_TABLE_ENDINGS = (".csv", ".tsv", ".txt")


def read_file(
    path: Path, *, zone: ZoneInfo, now: datetime, default_kind: BroughtKind | None = None
) -> Brought:
    """Read any file of places.

    Parameters
    ----------
    path
        GPX, GeoJSON, KML, KMZ, GeoPackage, shapefile or a table; told apart by content, not by name.
    zone
        The zone of times without an offset.
    now
        The present: nothing in the file may be later.
    default_kind
        What a thing is that does not say so.

    Returns
    -------
    Brought

    Raises
    ------
    Refused
        GND-001 to GND-003 for a file that cannot be read; GND-005 for an elevation model or a drive table,
        which have readers of their own; else as the reader of its format.
    """
    data = read_bytes(path)
    name = path.name
    match format_of(path, data):
        case FileFormat.GPX:
            return read_gpx(data, file_name=name, now=now, default_kind=default_kind)
        case FileFormat.GEOJSON:
            return read_geojson(data, file_name=name, zone=zone, now=now, default_kind=default_kind)
        case FileFormat.TABLE:
            return read_table(data, file_name=name, zone=zone, now=now, default_kind=default_kind)
        case FileFormat.KML:
            return read_kml(data, file_name=name, zone=zone, now=now, default_kind=default_kind)
        case FileFormat.GEOPACKAGE | FileFormat.ZIPPED:
            from tendline.ground.packed import read_packed  # noqa: PLC0415 - GDAL, and only with such files

            return read_packed(data, file_name=name, zone=zone, now=now, default_kind=default_kind)
        case other:
            do = "Bring a file of places: GPX, GeoJSON, KML, GeoPackage, shapefile or a table."
            raise refuse(NOT_PLACES, f"the file is {other.value}, and holds no places.", name, do)


def raster_hash(path: Path) -> str | None:
    """Give the hash of a GeoTIFF, read piece by piece: it may be larger than memory. None for other files.

    Raises
    ------
    Refused
        GND-001 and GND-003 as of `read_bytes`.
    """
    try:
        with path.open("rb") as source:
            if source.read(4) not in _TIFF:
                return None
            _check_size(path, MOST_RASTER_BYTES)
            source.seek(0)
            return hashlib.file_digest(source, "sha256").hexdigest()
    except OSError as error:
        raise _unreadable(path, error) from None


def _check_size(path: Path, most: int) -> None:
    size = path.stat().st_size
    if size > most:
        what = f"the file has {size / 1e6:.0f} MB; at most {most / 1e6:.0f} are read."
        raise refuse(TOO_LARGE, what, path.name, "Export only what belongs to the line.")


def _unreadable(path: Path, error: OSError) -> Refused:
    what = f"the file cannot be read ({error.strerror})."
    return refuse(FILE, what, path.name, "Check its name, folder and permissions.")


def read_bytes(path: Path) -> bytes:
    """Read a whole file; a shapefile with its parts, as one archive.

    Raises
    ------
    Refused
        GND-001 when it is missing, a folder, empty or closed to us; GND-003 when it is larger than
        `MOST_BYTES`, or a GeoTIFF larger than `MOST_RASTER_BYTES`.
    """
    try:
        with path.open("rb") as source:
            _check_size(path, MOST_RASTER_BYTES if source.read(4) in _TIFF else MOST_BYTES)
            source.seek(0)
            data = source.read()
        if data.startswith(_SHAPES):
            return pack_loose(path, most_bytes=MOST_BYTES)
    except OSError as error:
        raise _unreadable(path, error) from None
    if not data.strip():
        raise refuse(FILE, "the file is empty.", path.name, "Export it again.")
    return data


def format_of(path: Path, data: bytes) -> FileFormat:
    """Tell what a file holds from its first bytes; only for a table does its ending count.

    Parameters
    ----------
    path
        For its ending and for messages.
    data
        The file, or at least its first 64 KB.

    Returns
    -------
    FileFormat

    Raises
    ------
    Refused
        GND-002 when it is of a kind that is not read; the message names the kinds that are.
    """
    if data.startswith(_TIFF):
        return FileFormat.ELEVATION
    if data.startswith(_ZIP):
        return FileFormat.ZIPPED
    if data.startswith(_SQLITE) and data[68:72] in _GEOPACKAGE:
        return FileFormat.GEOPACKAGE
    for start, what in _OTHERS:
        if data.startswith(start):
            raise refuse(FORMAT, f"the file is {what}.", path.name, f"Export it as one of these: {READ}.")
    return _text_format(path, data)


def _text_format(path: Path, data: bytes) -> FileFormat:
    head = _head(data)
    if head.startswith("<"):
        return FileFormat.KML if re.search(r"<(\w+:)?kml\b", head) else FileFormat.GPX
    if head.startswith(("{", "[")):
        return FileFormat.GEOJSON
    columns = columns_of(data)
    if {"from", "to"} <= set(columns):
        return FileFormat.DRIVES
    if path.suffix.lower() in _TABLE_ENDINGS or {"lon", "lat"} <= set(columns) or "kind" in columns:
        return FileFormat.TABLE
    raise refuse(
        FORMAT, "the file is of no kind that is known here.", path.name, f"Files that are read: {READ}."
    )


def _head(data: bytes) -> str:
    """Give the start as text, whatever the encoding: enough to see a bracket or an element."""
    utf16 = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    return data[:4096].decode("utf-16" if utf16 else "utf-8-sig", errors="replace").lstrip()
