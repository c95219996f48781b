"""Owns the job `tendline bring`: files in, as received, everything they hold on record, or nothing at all.

Does not own reading a format (`ground`) or the comparison with the record (`bring_drafts`).
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from tendline.core.errors import refuse
from tendline.core.when import parse_instant
from tendline.ground.read_any import FileFormat
from tendline.jobs.answer import Answer
from tendline.jobs.bring_drafts import Comparer, Tally, overlap_words
from tendline.jobs.bring_heights import heights_in_doubt
from tendline.jobs.bring_read import Received, receive
from tendline.jobs.faults import CANNOT_WRITE
from tendline.jobs.files import copy_whole, write_whole
from tendline.jobs.note import completed, let_through
from tendline.jobs.workspace import GROUND, Workspace
from tendline.logbook.admit import Gate
from tendline.logbook.corrected import effective
from tendline.logbook.events import instant_text
from tendline.logbook.fold import line_at
from tendline.logbook.store import SourceFile


def bring(
    space: Workspace,
    files: Sequence[str],
    *,
    default_kind: str | None = None,
    elevation_unit: str | None = None,
    made: str | None = None,
) -> Answer:
    """Take in files: places become events, heights and layers are kept, all in one go or not at all.

    Parameters
    ----------
    space
        The opened line.
    files
        Paths.
    default_kind
        What a place is that does not say so: ``set``, ``parking``, ``landmark``.
    elevation_unit
        Unit of heights, for a raster that does not say.
    made
        When the sets without a time of their own were made, as written.

    Returns
    -------
    Answer
        What is new, changed or the same, for each file.

    Raises
    ------
    Refused
        GND-xxx, LOG-xxx, JOB-xxx: every fault of every file; nothing is written then.
    """
    when = (
        None if made is None else parse_instant(made, zone=space.settings.zone, now=space.now, where="--made")
    )
    received = receive(
        space, [Path(f) for f in files], default_kind=default_kind, elevation_unit=elevation_unit
    )
    with space.store() as store, store.transaction():
        events = store.events()
        sources = store.sources()
        known = {source.sha256 for source in sources}
        fresh = [
            r.places for r in received if r.places is not None and (r.sha256 not in known or when is not None)
        ]
        line = line_at(events, at=space.now)
        comparer = Comparer(space, line, effective(events), made=when)
        drafts, tallies, where = comparer.compare(fresh)
        drafts = completed(space, drafts, events)
        overlaps = overlap_words(comparer, space.settings.units)
        gate = Gate(line, events, now=space.now)
        doubts = heights_in_doubt(space, received, sources)
        warnings = let_through(gate, drafts, where=lambda draft: where.get(draft.id, ""))
        for one in received:
            _keep(space, one)
            store.add_source(_source(space, one))
        store.append(drafts)
    return _answer(received, tallies, known, [*warnings, *overlaps, *doubts])


def _kept_as(one: Received) -> str:
    # A shapefile is kept as one archive of its parts.
    parts = ".zip" if one.format is FileFormat.ZIPPED and one.path.suffix.lower() == ".shp" else ""
    return f"{one.sha256[:8]}-{one.path.name}{parts}"


def _keep(space: Workspace, one: Received) -> None:
    """Put the file into the folder as received; it counts only once the record names it."""
    path = space.folder / GROUND / _kept_as(one)
    same = True
    try:
        if path.exists():
            return
        if one.data is not None:
            write_whole(path, one.data)
        else:
            same = copy_whole(one.path, path, sha256=one.sha256)
    except OSError as problem:
        raise refuse(
            CANNOT_WRITE, f"{problem.strerror}.", str(path), "Free some space and do it again."
        ) from problem
    if not same:
        what = "the file was changed while it was read."
        raise refuse(CANNOT_WRITE, what, one.path.name, "Wait until it is whole, and bring it again.")


def _source(space: Workspace, one: Received) -> SourceFile:
    return SourceFile(
        one.sha256, one.path.name, one.format.value, instant_text(space.now), _kept_as(one), one.options
    )


def _answer(
    received: Sequence[Received], tallies: Mapping[str, Tally], known: set[str], warnings: Sequence[str]
) -> Answer:
    lines: list[str] = []
    data: list[dict[str, Any]] = []
    said = list(warnings)
    for one in received:
        again = one.sha256 in known
        tally = tallies.get(one.path.name, Tally())
        said += [*one.warnings, *tally.warnings]
        lines += _file_lines(one, tally, again)
        data.append(
            {
                "file": one.path.name,
                "format": one.format.value,
                "sha256": one.sha256,
                "brought_before": again,
                "new": tally.new,
                "changed": tally.changed,
                "gone": tally.gone,
                "same": tally.same,
                "layers": tally.layers,
                "said": list(one.said),
            }
        )
    return Answer("\n".join(lines), {"files": data, "warnings": said}, warnings=tuple(said))


def _file_lines(one: Received, tally: Tally, again: bool) -> list[str]:  # noqa: FBT001 - private
    name = one.path.name
    if again and not (tally.new or tally.changed or tally.gone):
        return [f"{name}: brought before; nothing changed."]
    parts = [*one.said]
    if tally.new:
        shown = ", ".join(tally.new[:12]) + (
            f" and {len(tally.new) - 12} more" if len(tally.new) > 12 else ""
        )
        parts.append(f"{len(tally.new)} new: {shown}")
    if tally.same:
        parts.append(f"{tally.same} as on record")
    if tally.layers:
        parts.append(f"{tally.layers} barriers, crossings, tracks and spots kept")
    lines = [f"{name}: {'; '.join(parts) or 'nothing in it'}."]
    lines += [f"  {thing} changed: {', '.join(changes)}." for thing, changes in tally.changed.items()]
    if tally.gone:
        lines.append(f"  no longer in the file, kept on record: {', '.join(tally.gone)}.")
    return lines
