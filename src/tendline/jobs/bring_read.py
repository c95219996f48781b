"""Owns reading the files of one `bring`: each opened by the reader for its sort, all faults told together.

Does not own what becomes of them (`bring_drafts`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tendline.core.errors import FaultList, Refused
from tendline.ground.brought import Brought, BroughtKind, sha256_of
from tendline.ground.read_any import FileFormat, format_of, raster_hash, read_bytes, read_file
from tendline.jobs.workspace import Workspace


@dataclass(frozen=True)
class Received:
    """One file, read.

    Parameters
    ----------
    path, sha256
        The file as received.
    data
        All of it; None for a raster, which may be larger than memory and is copied piece by piece.
    format
        What it was read as.
    places
        What it holds, for a file of places; None otherwise.
    said
        What was learned of it, a sentence each.
    warnings
        What was odd.
    options
        What the person said about it.
    """

    path: Path
    data: bytes | None
    sha256: str
    format: FileFormat
    places: Brought | None = None
    said: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    options: dict[str, str] = field(default_factory=dict)


def receive(
    space: Workspace, paths: Sequence[Path], *, default_kind: str | None, elevation_unit: str | None
) -> tuple[Received, ...]:
    """Read every file.

    Raises
    ------
    Refused
        With every fault of every file.
    """
    faults, received = FaultList(), []
    for path in paths:
        try:
            received.append(
                _receive_one(space, path, default_kind=default_kind, elevation_unit=elevation_unit)
            )
        except Refused as problem:
            faults.extend(problem.faults)
    faults.refuse()
    return tuple(received)


def _receive_one(
    space: Workspace, path: Path, *, default_kind: str | None, elevation_unit: str | None
) -> Received:
    if (raster := raster_hash(path)) is not None:
        return _elevation(path, raster, elevation_unit)
    data = read_bytes(path)
    found, digest = format_of(path, data), sha256_of(data)
    if found is FileFormat.DRIVES:
        return _drives(path, data, digest)
    kind = BroughtKind(default_kind) if default_kind else None
    places = read_file(path, zone=space.settings.zone, now=space.now, default_kind=kind)
    options = {"as": default_kind} if default_kind else {}
    return Received(path, data, digest, found, places, warnings=places.warnings, options=options)


def _elevation(path: Path, digest: str, unit: str | None) -> Received:
    from tendline.ground.elevation import survey_elevation  # noqa: PLC0415 - heavy, and only for heights

    facts = survey_elevation(path, unit=unit)
    said = (
        f"heights {facts.low_m:.0f} to {facts.high_m:.0f} m, read as {facts.unit} ({facts.unit_from})",
        f"cells {facts.cell_out[0]:.0f} m, {facts.known_share:.0%} of them known",
    )
    options = {"unit": unit} if unit else {}
    return Received(path, None, digest, FileFormat.ELEVATION, None, said, facts.notes, options)


def _drives(path: Path, data: bytes, digest: str) -> Received:
    from tendline.ground.drives import read_drives  # noqa: PLC0415

    table = read_drives(data, file_name=path.name)
    said = (f"{len(table.drives)} drives between {len(table.names)} places",)
    return Received(path, data, digest, FileFormat.DRIVES, None, said)
