"""Owns the files of a scouting: map layer, waypoints, and predictions kept to be held against what is seen.

Does not own what is in the map layer and the waypoints (`report.scout_json`, `report.scout_gpx`).
"""

import io
import json
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np

from tendline.core.errors import refuse
from tendline.core.grid import Grid
from tendline.core.ids import slug
from tendline.core.when import rfc3339
from tendline.jobs.faults import CANNOT_WRITE, PREDICTION
from tendline.jobs.files import write_whole
from tendline.jobs.scout_ground import ScoutGround
from tendline.jobs.workspace import Workspace
from tendline.report.scout_facts import ScoutTold
from tendline.report.scout_gpx import scout_gpx
from tendline.report.scout_json import scout_layer
from tendline.terrain.scouting import Scouted
from tendline.terrain.top_share import top_shares

SCOUTED = "scouted"
"""Folder inside the line folder where predictions are kept."""


@dataclass(frozen=True, eq=False)
class Prediction:
    """A prediction as it was kept.

    Parameters
    ----------
    file, animal, made_at
        Its name, whose travel, when it was made.
    travel
        The prediction as a grid: `z` holds the travel, NaN outside the area.
    """

    file: str
    animal: str
    made_at: datetime
    travel: Grid


def file_names(cases: Sequence[tuple[str, str, str]]) -> list[str]:
    """Name files after the animal of each case, and after its weights and line where there are several.

    Parameters
    ----------
    cases
        Line, animal and weights of each.

    Returns
    -------
    list
        As many names, no two alike.
    """
    lines, _, weights = (len(set(column)) for column in zip(*cases, strict=True))
    names: list[str] = []
    for line, animal, weight in cases:
        parts = (animal, *((Path(weight).stem,) if weights > 1 else ()), *((line,) if lines > 1 else ()))
        name = "-".join(slug(part) or "x" for part in parts)
        taken = sum(other == name or other.startswith(f"{name}~") for other in names)
        names.append(f"{name}~{taken + 1}" if taken else name)
    return names


def write_out(
    told: ScoutTold, ground: ScoutGround, found: Scouted, folder: Path | None, *, name: str
) -> ScoutTold:
    """Write map layer and waypoints into a folder, if one was named; give what is told with their names.

    Raises
    ------
    Refused
        JOB-104 when it cannot be written.
    """
    if folder is None:
        return told
    layer = scout_layer(told, top_shares(ground.grid, found.density, ground.within))
    files: Mapping[str, bytes] = {
        f"scout-{name}.geojson": json.dumps(layer, ensure_ascii=False).encode(),
        f"scout-{name}.gpx": scout_gpx(told).encode(),
    }
    return replace(told, written=(*told.written, *write_files(folder, files)))


def write_files(folder: Path, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Write files into a folder, made when it is not there; give their paths.

    Raises
    ------
    Refused
        JOB-104 when it cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for file, content in files.items():
            write_whole(folder / file, content)
    except OSError as problem:
        raise refuse(
            CANNOT_WRITE, f"the folder cannot be written: {problem.strerror}.", str(folder), "Name another."
        ) from None
    return tuple(str(folder / file) for file in files)


def keep(space: Workspace, told: ScoutTold, ground: ScoutGround, found: Scouted, *, name: str) -> ScoutTold:
    """Keep a prediction in the line folder.

    Raises
    ------
    Refused
        JOB-104 when it cannot be written.
    """
    grid = ground.grid
    travel = np.where(ground.within, found.density, np.float32(np.nan)).astype(np.float32)
    about = {
        "animal": told.animal,
        "made_at": rfc3339(told.now),
        "crs": grid.crs,
        "west": grid.west,
        "north": grid.north,
        "dx": grid.dx,
        "dy": grid.dy,
    }
    content = io.BytesIO()
    np.savez_compressed(content, travel=travel, about=np.frombuffer(json.dumps(about).encode(), np.uint8))
    file = f"{name}-{told.now:%Y%m%d-%H%M%S}.npz"
    try:
        (space.folder / SCOUTED).mkdir(exist_ok=True)
        write_whole(space.folder / SCOUTED / file, content.getvalue())
    except OSError as problem:
        where = str(space.folder / SCOUTED)
        raise refuse(
            CANNOT_WRITE, f"it cannot be written: {problem.strerror}.", where, "Make room."
        ) from None
    return replace(told, written=(*told.written, f"{SCOUTED}/{file}"))


def kept_predictions(space: Workspace) -> list[Prediction]:
    """Read every prediction kept, oldest first.

    Raises
    ------
    Refused
        JOB-414 for one that cannot be read.
    """
    found = [read_prediction(path) for path in sorted((space.folder / SCOUTED).glob("*.npz"))]
    return sorted(found, key=lambda one: (one.made_at, one.file))


def read_prediction(path: Path) -> Prediction:
    """Read one prediction.

    Raises
    ------
    Refused
        JOB-414 when it cannot be read.
    """
    try:
        with np.load(path, allow_pickle=False) as held:
            about: dict[str, Any] = json.loads(held["about"].tobytes())
            travel = np.ascontiguousarray(held["travel"], np.float32)
        grid = Grid(travel, about["crs"], about["west"], about["north"], about["dx"], about["dy"])
        return Prediction(path.name, about["animal"], datetime.fromisoformat(about["made_at"]), grid)
    except (OSError, ValueError, KeyError, zipfile.BadZipFile) as problem:
        raise refuse(
            PREDICTION,
            f"it is no prediction that was kept: {type(problem).__name__}.",
            path.name,
            "Take it out of the folder, and scout again with --keep.",
        ) from None
