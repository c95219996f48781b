"""Owns reading again the layers of the files brought in: barriers, paths, whatever is kept out of the record.

Does not own reading a format (`ground`) or what is made of a layer.
"""

from collections.abc import Sequence

from tendline.core.line import Barrier
from tendline.core.place import LonLat
from tendline.core.words import FeatureClass
from tendline.ground.brought import BroughtKind, BroughtThing
from tendline.jobs.workspace import GROUND, Workspace
from tendline.logbook.store import SourceFile

WALKED = (FeatureClass.ROAD, FeatureClass.DRIVEWAY, FeatureClass.TRAIL)
"""Lines of these classes are walked on as on a path."""


def latest_of_each(sources: Sequence[SourceFile]) -> tuple[SourceFile, ...]:
    """Give the newest file of each name: one brought again replaces the layers of the old one."""
    return tuple({source.file_name: source for source in sources}.values())


def read_things(space: Workspace, sources: Sequence[SourceFile]) -> tuple[BroughtThing, ...]:
    """Read everything out of every file of places that was brought in.

    Raises
    ------
    Refused
        GND-xxx for a file that cannot be read any more.
    """
    from tendline.ground.read_any import PLACES, read_file  # noqa: PLC0415 - heavy

    things: list[BroughtThing] = []
    for source in latest_of_each(sources):
        if source.format in PLACES:
            kind = BroughtKind(source.options["as"]) if "as" in source.options else None
            path = space.folder / GROUND / source.kept_as
            things += read_file(path, zone=space.settings.zone, now=space.now, default_kind=kind).things
    return tuple(things)


def barriers_in(things: Sequence[BroughtThing]) -> tuple[Barrier, ...]:
    """Make barriers of what files hold."""
    from tendline.ground.barriers import barriers_of  # noqa: PLC0415 - heavy

    return barriers_of(things)


def read_barriers(space: Workspace, sources: Sequence[SourceFile]) -> tuple[Barrier, ...]:
    """Read the barriers out of every file of places that was brought in."""
    return barriers_in(read_things(space, sources))


def paths_of(things: Sequence[BroughtThing], which: str) -> tuple[tuple[LonLat, ...], ...]:
    """Give the lines that are walked on as on a path.

    Parameters
    ----------
    things
        Out of the files brought in.
    which
        ``drawn``: roads, driveways, trails, and tracks without times; ``all``: recorded tracks too, as where
        one's own feet have trodden the snow; ``none``.
    """
    if which == "none":
        return ()
    tracks = [
        thing.path
        for thing in things
        if thing.kind is BroughtKind.TRACK and (which == "all" or thing.at is None)
    ]
    classes = [kind.value for kind in WALKED]
    lines = [
        thing.path
        for thing in things
        if thing.kind is BroughtKind.FEATURE and thing.path and thing.facts.get("feature") in classes
    ]
    return (*tracks, *lines)
