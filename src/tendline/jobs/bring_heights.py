"""Owns holding elevation models against the heights in recorded GPX, when either is brought.

Does not own the comparison (`ground.gps_heights`) or reading the files.
"""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from tendline.core.errors import Refused
from tendline.ground.read_any import FileFormat
from tendline.jobs.bring_read import Received
from tendline.jobs.layers import latest_of_each
from tendline.jobs.workspace import GROUND, Workspace
from tendline.logbook.store import SourceFile

_Kept = tuple[str, Path, str | None]
"""Name, path and the unit that was told."""


def heights_in_doubt(
    space: Workspace, received: Sequence[Received], sources: Sequence[SourceFile]
) -> list[str]:
    """Say which models look like feet called metres, or the other way, by what GPS recorders wrote.

    Parameters
    ----------
    space
        The opened line.
    received
        What is brought now: at least one file of each pair that is compared.
    sources
        What was brought before.
    """
    fresh = {one.path.name for one in received}
    kept = [one for one in latest_of_each(sources) if one.file_name not in fresh]
    models, tracks = (_of(space, received, kept, sort) for sort in (FileFormat.ELEVATION, FileFormat.GPX))
    said = []
    for name, path, unit in models:
        for track, gpx, _ in tracks:
            if name in fresh or track in fresh:
                said += _compared(name, path, unit, track, gpx)
    return said


def _of(
    space: Workspace, received: Sequence[Received], kept: Sequence[SourceFile], sort: FileFormat
) -> list[_Kept]:
    now = [(one.path.name, one.path, one.options.get("unit")) for one in received if one.format is sort]
    before = [
        (one.file_name, space.folder / GROUND / one.kept_as, one.options.get("unit"))
        for one in kept
        if one.format == sort.value
    ]
    return [*now, *before]


def _compared(name: str, path: Path, unit: str | None, track: str, gpx: Path) -> list[str]:
    from tendline.ground.elevation import sample_heights  # noqa: PLC0415 - heavy, and only with heights
    from tendline.ground.gps_heights import gps_heights, times_as_high  # noqa: PLC0415

    try:
        points = gps_heights(gpx.read_bytes(), file_name=track)
        model = sample_heights(path, points[:, :2], unit=unit)
    except (OSError, Refused):
        return []  # a file kept before that cannot be read any more is told of where it is used
    factor = times_as_high(model, points[:, 2])
    if factor is None:
        return []
    known = np.isfinite(model)
    low, high = (float(np.median(heights[known])) for heights in (points[:, 2], model))
    wrong = "feet called metres" if factor > 1.0 else "metres called feet"
    right = "ft" if factor > 1.0 else "m"
    what = f"{name}: at {int(known.sum())} places of {track} it says {high:.0f} m where GPS wrote {low:.0f} m"
    do = f"put the unit right in the file (or say --elevation-unit {right} where the file says none)"
    return [
        f"{what}: its heights look like {wrong}. Look up a hill you know; if so, {do} and bring it again."
    ]
