"""Owns looking into a ZIP archive without ever filling the memory: KMZ and zipped shapefiles.

Does not own what is inside (`kml`, `vectors`). Nothing is unpacked to the disk.
"""

import io
import lzma
import zipfile
import zlib
from collections.abc import Iterable, Mapping
from pathlib import PurePosixPath

from tendline.core.errors import Refused, refuse
from tendline.ground.faults import ZIP

MOST_MEMBERS = 500
MOST_UNPACKED = 256 * 1024 * 1024
"""No archive of places of one line is near this once unpacked [bytes]."""

_PIECE = 1 << 20
_BROKEN = (
    *(zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, OSError, ValueError),
    *(NotImplementedError, RuntimeError),
)
"""What the reader of archives raises for a broken one, for an unknown way of packing, for a password."""
_FIXED = (1980, 1, 1, 0, 0, 0)


def members_of(data: bytes, *, file_name: str, endings: Iterable[str]) -> Mapping[str, bytes]:
    """Read the members of an archive that end in one of some endings.

    Parameters
    ----------
    data
        The archive.
    file_name
        Its name, for messages.
    endings
        In lower case, with the dot.

    Returns
    -------
    mapping
        Content by name, in the order of the archive; folders and hidden files are passed over.

    Raises
    ------
    Refused
        GND-904 when it is broken, locked with a password, has too many members, or unpacks to too much: what
        a member claims is never believed, the bytes are counted as they come.
    """
    wanted = tuple(endings)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = [i for i in archive.infolist() if _is_wanted(i.filename, wanted)]
            if len(archive.infolist()) > MOST_MEMBERS:
                raise _refused(f"the archive has {len(archive.infolist())} members.", file_name)
            room, found = MOST_UNPACKED, dict[str, bytes]()
            for info in infos:
                found[info.filename] = _unpack(archive, info, room, file_name)
                room -= len(found[info.filename])
            return found
    except Refused:
        raise
    except _BROKEN as problem:
        raise _refused(f"the archive cannot be opened ({problem}).", file_name) from None


def packed(files: Mapping[str, bytes]) -> bytes:
    """Put files into one archive that is the same whenever it is made, nothing squeezed."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(files):
            archive.writestr(zipfile.ZipInfo(name, _FIXED), files[name])
    return out.getvalue()


def _is_wanted(name: str, wanted: tuple[str, ...]) -> bool:
    path = PurePosixPath(name)
    hidden = any(part.startswith((".", "__MACOSX")) for part in path.parts)
    return not hidden and path.suffix.lower() in wanted


def _unpack(archive: zipfile.ZipFile, info: zipfile.ZipInfo, room: int, file_name: str) -> bytes:
    pieces, size = [], 0
    with archive.open(info) as source:
        while piece := source.read(_PIECE):
            size += len(piece)
            if size > room:
                what = f"the archive unpacks to more than {MOST_UNPACKED // (1024 * 1024)} MB."
                raise _refused(what, file_name)
            pieces.append(piece)
    return b"".join(pieces)


def _refused(what: str, file_name: str) -> Refused:
    do = "Export it again, without a password, with only what belongs to the line."
    return refuse(ZIP, what, file_name, do)
