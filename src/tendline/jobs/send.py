"""Owns the job `tendline send`: the line, or its due board, as a file for another program.

Does not own any format (`report.send_*`, `ground.layers_out`). Places are blurred unless asked exactly.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tendline.core.errors import FaultList, refuse
from tendline.core.ids import slug
from tendline.core.line import LineState
from tendline.core.units import format_distance, parse_length
from tendline.core.when import local_day, rfc3339
from tendline.ground.brought import BroughtKind, BroughtThing
from tendline.jobs.answer import Answer
from tendline.jobs.faults import CANNOT_WRITE, NOTHING, WORD
from tendline.jobs.files import write_whole
from tendline.jobs.layers import read_things
from tendline.jobs.photos import photo_copies
from tendline.jobs.send_calendar import due_calendar
from tendline.jobs.workspace import Workspace
from tendline.logbook.fold import line_at
from tendline.report.outgoing import (
    GRID_M,
    LEAST_GRID_M,
    MOST_GRID_M,
    NOT_PLACES,
    Lost,
    Outgoing,
    blurred,
    on_parcels,
    things_of,
)
from tendline.report.say import count
from tendline.report.send_geojson import write_geojson
from tendline.report.send_gpx import write_gpx
from tendline.report.send_kml import write_kml
from tendline.report.send_table import write_table

SENT = "sent"
"""Folder inside the line folder for what was sent."""

Writer = Callable[[Outgoing], tuple[bytes, tuple[Lost, ...]]]

_LAYERS = (BroughtKind.BARRIER, BroughtKind.CROSSING, BroughtKind.TRACK, BroughtKind.FEATURE)


@dataclass(frozen=True)
class HowSent:
    """What was asked of the file.

    Parameters
    ----------
    exact
        Places as they are.
    grid
        Side of the squares that places are blurred to, as written; None for a kilometre.
    ahead_min
        How long before a due time the alarm of a calendar rings [min].
    photos
        Send the photographs of the sets along, without anything but the picture.
    parcels
        Only what is on these; the whole line when empty.
    out
        Where to write; into the line's `sent/` when left out.
    """

    exact: bool = False
    grid: str | None = None
    ahead_min: float = 120.0
    photos: bool = False
    parcels: tuple[str, ...] = ()
    out: str | None = None


def send(space: Workspace, form: str, how: HowSent) -> Answer:
    """Write the line, or its due board, as a file.

    Parameters
    ----------
    space
        The opened line.
    form
        ``gpx``, ``geojson``, ``kml``, ``gpkg``, ``csv`` or ``ics``.
    how
        What was asked.

    Returns
    -------
    Answer
        What is in the file, and what it could not hold.

    Raises
    ------
    Refused
        CORE-101 and JOB-301 for a grid that cannot be; JOB-611 when there is nothing to send; JOB-612 and
        GND-8xx for a photograph; JOB-104, RULE-xxx, GND-xxx.
    """
    events = space.events()
    whole = line_at(events, at=space.now)
    line = _wanted(whole, how.parcels)
    grid = None if how.exact or form == "ics" else _grid(how.grid)
    if form == "ics":
        first = events[0].id if events else ""
        data, lost, held = due_calendar(space, line, line_id=first, ahead_min=how.ahead_min, exact=how.exact)
    else:
        layers = [] if how.parcels else _brought_layers(space)
        data, lost, held = _places(space, line, form, grid, layers=layers)
    copies = photo_copies(space, whole, only=line.sets) if how.photos else {}
    path = _path(space, form, how, is_blurred=form != "ics" and grid is not None)
    _write(path, data, copies)
    return _answer(
        space,
        path,
        form,
        grid=None if form == "ics" else grid,
        held=held,
        lost=lost,
        photos=copies,
        exact=how.exact,
    )


def _wanted(line: LineState, parcels: Sequence[str]) -> LineState:
    """Give the line, or what of it is on some parcels."""
    if not parcels:
        return line
    known = {name.lower(): name for name in line.parcels}
    faults = FaultList()
    for name in parcels:
        if name.lower() not in known:
            faults.add(
                WORD, f"there is no parcel '{name}'.", "--parcels", f"Parcels: {', '.join(line.parcels)}."
            )
    faults.refuse()
    return on_parcels(line, {known[name.lower()] for name in parcels})


def _grid(text: str | None) -> float:
    metres = GRID_M if text is None else parse_length(text, where="--grid")
    if not LEAST_GRID_M <= metres <= MOST_GRID_M:
        do = f"Give {LEAST_GRID_M:g} m to {MOST_GRID_M / 1000:g} km, or --exact."
        raise refuse(WORD, f"places cannot be blurred to squares of '{text}'.", "--grid", do)
    return metres


def _places(
    space: Workspace, line: LineState, form: str, grid: float | None, *, layers: Sequence[BroughtThing]
) -> tuple[bytes, tuple[Lost, ...], Mapping[str, int]]:
    from tendline.report.send_layers import write_geopackage  # noqa: PLC0415 - GDAL, and only for it

    writers: Mapping[str, Writer] = {
        "gpx": write_gpx,
        "geojson": write_geojson,
        "kml": write_kml,
        "csv": write_table,
        "gpkg": write_geopackage,
    }
    things = things_of(line, layers)
    if not things:
        do = "Bring or note something first: tendline bring FILE."
        raise refuse(NOTHING, "nothing is on record that has a place.", "", do)
    hidden: tuple[Lost, ...] = ()
    if grid is not None:
        things, hidden = blurred(things, grid)
    sent = Outgoing(space.settings.name, things, grid, space.settings.invented)
    data, lost = writers[form](sent)
    gone = {one.what: one.count for one in lost}
    held: dict[str, int] = {}
    for thing in things:
        held[thing.kind.value] = held.get(thing.kind.value, 0) + 1
    held = {kind: number - gone.get(kind, 0) for kind, number in held.items()}
    return data, (*hidden, *lost), {kind: number for kind, number in held.items() if number}


def _brought_layers(space: Workspace) -> list[BroughtThing]:
    """Give the barriers, crossings, features and tracks as they were brought."""
    with space.store() as store:
        sources = store.sources()
    return [thing for thing in read_things(space, sources) if thing.kind in _LAYERS]


def _path(space: Workspace, form: str, how: HowSent, *, is_blurred: bool) -> Path:
    if how.out:
        return Path(how.out)
    day = local_day(space.now, space.settings.zone)
    name = slug(space.settings.name) or "line"
    return space.folder / SENT / f"{name}-{day}{'-blurred' if is_blurred else ''}.{form}"


def _write(path: Path, data: bytes, copies: Mapping[str, bytes]) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, data)
        if copies:
            folder = _photo_folder(path)
            folder.mkdir(exist_ok=True)
            for name, picture in copies.items():
                write_whole(folder / name, picture)
    except OSError as problem:
        do = "Choose another place with --out."
        raise refuse(CANNOT_WRITE, f"{problem.strerror}.", str(path), do) from problem


def _photo_folder(path: Path) -> Path:
    return path.with_name(f"{path.stem}-photos")


def _answer(
    space: Workspace,
    path: Path,
    form: str,
    *,
    grid: float | None,
    held: Mapping[str, int],
    lost: Sequence[Lost],
    photos: Mapping[str, bytes],
    exact: bool,
) -> Answer:
    told = ", ".join(_counted(number, what) for what, number in held.items())
    lines = [f"{path}: {told or 'nothing in it'}."]
    if form != "ics":
        lines.append(_places_words(space, grid))
    lines += [f"  not in it: {_counted(one.count, one.what)}: {one.why}." for one in lost]
    if form != "ics":
        lines.append(f"  in no such file: {NOT_PLACES}.")
    if photos:
        where = _photo_folder(path)
        lines.append(f"{count(len(photos), 'photograph')} in {where}, with nothing in them but the picture.")
    data: dict[str, Any] = {
        "format": form,
        "file": str(path),
        "at": rfc3339(space.now, space.settings.zone),
        "exact": exact,
        "grid_m": grid,
        "held": dict(held),
        "lost": [{"what": one.what, "count": one.count, "why": one.why} for one in lost],
        "photos": sorted(photos),
    }
    return Answer("\n".join(lines), data)


def _places_words(space: Workspace, grid: float | None) -> str:
    if grid is None:
        return "Places are exact: this file shows where devices are."
    side = format_distance(grid, space.settings.units)
    return f"Places are blurred to squares of {side}; --exact sends them as they are."


def _counted(number: int, what: str) -> str:
    """Count things of one kind: several of a kind, or as many words as they are."""
    return count(number, what) if what in [kind.value for kind in BroughtKind] else f"{number} {what}"
