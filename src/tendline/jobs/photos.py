"""Owns the photographs of sets in the line folder: which there are, and that nothing in them tells a place.

Does not own opening and cleaning a picture (`ground.photo`).
"""

from collections.abc import Collection, Mapping, Sequence
from pathlib import Path

from tendline.core.errors import FaultList, Refused
from tendline.core.line import LineState
from tendline.ground.photo import clean_photo
from tendline.jobs.faults import PHOTO_NAME
from tendline.jobs.workspace import Workspace
from tendline.report.page import photo_svg

PHOTOS = "photos"
"""Folder inside the line folder; each picture is called as its set: `M4.jpg`, further ones `M4_2.jpg`."""

ENDINGS = (".jpg", ".jpeg", ".png", ".webp")


def photos_of(
    space: Workspace, line: LineState, names: Collection[str], *, longest_px: int = 700
) -> Mapping[str, tuple[str, bytes]]:
    """Give the first photograph of each set that has one.

    Parameters
    ----------
    space, line
        The opened line, and how it stands.
    names
        Sets to look for.
    longest_px
        Pictures are made at most so long [px].

    Returns
    -------
    mapping
        By set: a name for the picture, and the picture as a page takes it, without anything written into it.

    Raises
    ------
    Refused
        JOB-612 for a picture of no set on record; GND-801, GND-802 for one that cannot be opened. All
        together.
    """
    faults, found = FaultList(), {}
    known = {name.lower(): name for name in line.sets}
    wanted = set(names)
    for path in photo_files(space):
        name = known.get(path.stem.partition("_")[0].lower())
        if name is None:
            what = f"there is no set '{path.stem.partition('_')[0]}' on record."
            do = f"Call the picture as its set, such as M4.jpg or M4_2.jpg, or take it out of {PHOTOS}/."
            faults.add(PHOTO_NAME, what, f"{PHOTOS}/{path.name}", do)
        elif name in wanted and name not in found:
            try:
                cleaned = clean_photo(path.read_bytes(), where=f"{PHOTOS}/{path.name}", longest_px=longest_px)
                found[name] = (f"photo-{name}.svg", photo_svg(cleaned.data, cleaned.wide, cleaned.tall))
            except Refused as problem:
                faults.extend(problem.faults)
    faults.refuse()
    return found


def photo_files(space: Workspace) -> Sequence[Path]:
    """List the pictures of the line folder, by name."""
    folder = space.folder / PHOTOS
    if not folder.is_dir():
        return []
    return sorted(p for p in folder.iterdir() if p.is_file() and p.suffix.lower() in ENDINGS)


def photo_copies(space: Workspace, line: LineState, *, only: Collection[str]) -> Mapping[str, bytes]:
    """Give every photograph of some sets as a JPEG without anything written into it, by its name.

    Parameters
    ----------
    space, line
        The opened line, and the whole of it.
    only
        Names of the sets.

    Raises
    ------
    Refused
        As `photos_of`.
    """
    faults, found = FaultList(), {}
    photos_of(space, line, ())
    wanted = {name.lower() for name in only}
    for path in photo_files(space):
        if path.stem.partition("_")[0].lower() not in wanted:
            continue
        try:
            cleaned = clean_photo(path.read_bytes(), where=f"{PHOTOS}/{path.name}")
            found[f"{path.stem}.jpg"] = cleaned.data
        except Refused as problem:
            faults.extend(problem.faults)
    faults.refuse()
    return found
