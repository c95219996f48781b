"""Owns the parts of a shapefile, loose or zipped: all that belong together, or what is missing.

Does not own reading the layer (`vectors`).
"""

from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath

from tendline.core.errors import FaultList, refuse
from tendline.ground.faults import FILE, SHAPE_PART, TOO_LARGE, ZIP_EMPTY
from tendline.ground.zipped import members_of, packed

NEEDED = {
    ".shp": "the shapes",
    ".shx": "the index of the shapes",
    ".dbf": "the table of their fields",
    ".prj": "the coordinate system",
}
MAY = (".cpg",)
ENDINGS = (*NEEDED, *MAY)


def pack_loose(path: Path, *, most_bytes: int) -> bytes:
    """Put a shapefile and its parts beside it into one archive, so that it is kept as one file.

    Raises
    ------
    Refused
        GND-003 when they are too large together; GND-001 when a part cannot be read. Missing parts are told
        when the archive is read.
    """
    files, size = {}, 0
    try:
        for part in sorted(path.parent.iterdir()):
            if part.stem == path.stem and part.suffix.lower() in ENDINGS:
                size += part.stat().st_size
                if size > most_bytes:
                    what = f"the shapefile has over {most_bytes / 1e6:.0f} MB."
                    raise refuse(TOO_LARGE, what, path.name, "Export only what belongs to the line.")
                files[f"{path.stem}{part.suffix.lower()}"] = part.read_bytes()
    except OSError as error:
        what = f"a part of the shapefile cannot be read ({error.strerror})."
        raise refuse(FILE, what, path.name, "Check its folder and permissions.") from None
    return packed(files)


def whole_shapefiles(data: bytes, *, file_name: str) -> Mapping[str, bytes]:
    """Give every shapefile in an archive as an archive of its own, by name.

    Raises
    ------
    Refused
        GND-903 for each part that is missing, all together; GND-904 for a bad archive; GND-905 when there is
        no shapefile in it.
    """
    members = members_of(data, file_name=file_name, endings=ENDINGS)
    faults, found = FaultList(), {}
    shapes = [name for name in members if name.lower().endswith(".shp")]
    if not shapes:
        do = (
            "Zip the .shp, .shx, .dbf and .prj together, or the .kml as KMZ; a spreadsheet: export it as CSV."
        )
        raise refuse(ZIP_EMPTY, "there is no shapefile and no KML in the archive.", file_name, do)
    for name in shapes:
        parts = dict(_parts(members, name))
        for ending, what in NEEDED.items():
            if ending not in parts:
                do = f"Bring {PurePosixPath(name).stem}{ending} with it, or export it as a GeoPackage."
                faults.add(SHAPE_PART, f"the {ending} file is missing: {what}.", f"{file_name}, {name}", do)
        stem = PurePosixPath(name).stem
        found[stem] = packed({f"{stem}{ending}": content for ending, content in parts.items()})
    faults.refuse()
    return found


def _parts(members: Mapping[str, bytes], shape: str) -> Iterator[tuple[str, bytes]]:
    stem = PurePosixPath(shape).with_suffix("")
    for name, content in members.items():
        path = PurePosixPath(name)
        if path.with_suffix("") == stem:
            yield path.suffix.lower(), content
