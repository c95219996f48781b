"""Owns joining barriers and crossings, as files tell them, into whole barriers.

Does not own burning them into a grid (terrain).
"""

from collections.abc import Iterable
from dataclasses import replace

from tendline.core.errors import FaultList
from tendline.core.line import Barrier
from tendline.core.place import LonLat, Outline
from tendline.ground.brought import BroughtKind, BroughtThing
from tendline.ground.faults import BARRIER_FAR, BARRIER_NAME
from tendline.ground.shapes import distance_to_barrier_m
from tendline.ground.wording import close_match, short

FARTHEST_M = 50.0
"""A crossing without the name of its barrier lies at most this far from it (common practice, no source)."""


def barriers_of(things: Iterable[BroughtThing]) -> tuple[Barrier, ...]:
    """Make barriers of all the things brought, each with its crossings.

    Parameters
    ----------
    things
        From any number of files; only barriers and crossings are looked at.

    Returns
    -------
    tuple of Barrier
        In order of first mention. Pieces of one name, one cost and one form (line or area) are one barrier;
        a piece without a name is one of its own, called ``barrier 1`` and so on. A crossing goes to the
        barriers that its fact `barrier` names, else to the nearest.

    Raises
    ------
    Refused
        GND-504 when a crossing names a barrier that is not there; GND-505 when one without a name lies more
        than 50 m from every barrier. All such crossings are told together.
    """
    held = tuple(things)
    barriers = _joined(thing for thing in held if thing.kind is BroughtKind.BARRIER)
    faults = FaultList()
    for thing in held:
        if thing.kind is BroughtKind.CROSSING:
            line = (thing.place,) if thing.place is not None else thing.path
            for index in _barriers_crossed(thing, line, barriers, faults):
                barriers[index] = replace(barriers[index], crossings=(*barriers[index].crossings, line))
    faults.refuse()
    return tuple(barriers)


def _joined(things: Iterable[BroughtThing]) -> list[Barrier]:
    barriers: dict[tuple[str, float | None, bool], Barrier] = {}
    nameless = 0
    for thing in things:
        name = thing.wanted_name
        if not name:
            nameless += 1
            name = f"barrier {nameless}"
        told = thing.facts.get("seconds")
        seconds = float(told) if told is not None else None
        key = (name.casefold(), seconds, thing.outline is not None)
        old = barriers.get(key, Barrier(name, seconds=seconds))
        pieces = [outline.polygons for outline in (old.areas, thing.outline) if outline is not None]
        barriers[key] = replace(
            old,
            areas=Outline(tuple(polygon for piece in pieces for polygon in piece)) if pieces else None,
            lines=(*old.lines, thing.path) if thing.path else old.lines,
        )
    return list(barriers.values())


def _barriers_crossed(
    thing: BroughtThing, line: tuple[LonLat, ...], barriers: list[Barrier], faults: FaultList
) -> list[int]:
    wanted = str(thing.facts.get("barrier", ""))
    name = f"crossing '{short(thing.wanted_name)}'" if thing.wanted_name else "the crossing"
    if wanted:
        found = [n for n, barrier in enumerate(barriers) if barrier.name.casefold() == wanted.casefold()]
        if not found:
            guess = close_match(wanted, [barrier.name for barrier in barriers])
            what = f"{name} is over '{short(wanted)}', and there is no such barrier."
            faults.add(BARRIER_NAME, what, thing.where, f"Correct its barrier, or bring that barrier.{guess}")
        return found
    apart = [distance_to_barrier_m(line, barrier) for barrier in barriers]
    nearest = min(range(len(apart)), key=apart.__getitem__, default=None)
    if nearest is None or apart[nearest] > FARTHEST_M:
        if nearest is None:
            what = f"{name} is over nothing: there is no barrier."
        else:
            title = short(barriers[nearest].name)
            what = f"{name} lies {apart[nearest]:.0f} m from the nearest barrier, '{title}'."
        do = f"Name the barrier it is over in the property barrier, or draw it within {FARTHEST_M:g} m of it."
        faults.add(BARRIER_FAR, what, thing.where, do)
        return []
    return [nearest]
