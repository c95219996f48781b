"""Owns the job that draws a feature on the ground: a house, a trail, a den; and takes one away again.

Does not own what a feature is (`ground.features`). What is drawn is kept as a file brought in, as any other
layer: each change brings a new one, and every old one stays in `ground/`.
"""

import json
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from tendline.core.errors import Fault, Refused, refuse
from tendline.core.words import FeatureClass
from tendline.ground.brought import BroughtThing
from tendline.jobs.answer import Answer
from tendline.jobs.bring import bring
from tendline.jobs.faults import WORD
from tendline.jobs.layers import latest_of_each
from tendline.jobs.words_in import place_value
from tendline.jobs.workspace import GROUND, Workspace

DRAWN = "drawn-at-the-desk.geojson"
"""Name of the file that holds what was drawn."""

FACTS = (
    *("width_ft", "width_m", "accuracy_m", "edge", "note"),
    *("consent", "notice", "written", "own", "occupied", "closed_road", "exposed"),
)
"""What may be told of a feature, as the columns of a file are called."""

_LEAST = {"point": 1, "line": 2, "area": 3}


def draw(
    space: Workspace, feature: str, *, shape: str, places: Sequence[str], name: str, given: Mapping[str, str]
) -> Answer:
    """Draw one feature.

    Parameters
    ----------
    space
        The opened line.
    feature
        A word of `FeatureClass`.
    shape
        ``point``, ``line`` or ``area``.
    places
        LON,LAT each, in order; the ring of an area closes by itself.
    name
        What people call it; may be empty.
    given
        Facts as written, by the names in `FACTS`; empty ones are left out.

    Returns
    -------
    Answer
        Its key, for `erase`.

    Raises
    ------
    Refused
        JOB-301, GND-xxx; nothing is written then.
    """
    unknown = [key for key in given if key not in FACTS]
    if unknown:
        raise refuse(WORD, f"a feature has no '{unknown[0]}'.", unknown[0], f"Known: {', '.join(FACTS)}.")
    if feature not in {one.value for one in FeatureClass}:
        do = f"One of: {', '.join(one.value for one in FeatureClass)}."
        raise refuse(WORD, f"'{feature}' is nothing that can be drawn.", "feature", do)
    held = _held(space)
    key = f"d{1 + max((int(str(one['id'])[1:]) for one in held), default=0)}"
    told = {"kind": "feature", "feature": feature, "name": name.strip()}
    made = {
        "type": "Feature",
        "id": key,
        "geometry": _geometry(shape, places),
        "properties": {k: v for k, v in {**told, **given}.items() if v},
    }
    _bring(space, [*held, made])
    return Answer("", {"drawn": key})


def erase(space: Workspace, key: str) -> Answer:
    """Take away what was drawn; the file that held it stays in `ground/`.

    Raises
    ------
    Refused
        JOB-301 when nothing drawn has that key.
    """
    held = _held(space)
    left = [one for one in held if one["id"] != key]
    if len(left) == len(held):
        do = "Only what was drawn here can be taken away here; bring a file again without it."
        raise refuse(WORD, "that was not drawn here.", key, do)
    _bring(space, left)
    return Answer("", {"erased": key})


def drawn_key(thing: BroughtThing) -> str | None:
    """Give the key of a thing that was drawn; None for one that came in a file of somebody's."""
    kept_as = thing.where.partition(",")[0]  # eight digits of its hash stand before the name
    return thing.key.rpartition(" ")[2] if kept_as[8:] == f"-{DRAWN}" else None


def _document(space: Workspace) -> dict[str, Any]:
    with space.store() as store:
        found = [one for one in latest_of_each(store.sources()) if one.file_name == DRAWN]
    if not found:
        return {"turn": 0, "features": []}
    path = space.folder / GROUND / found[0].kept_as
    document: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return document


def _held(space: Workspace) -> list[dict[str, Any]]:
    return list(_document(space)["features"])


def _geometry(shape: str, places: Sequence[str]) -> dict[str, Any]:
    if len(places) < _LEAST[shape]:
        need = f"{_LEAST[shape]} place{'s' if _LEAST[shape] > 1 else ''}"
        raise refuse(WORD, f"{'an' if shape == 'area' else 'a'} {shape} needs {need}.", "places", "Add some.")
    found = [[fix.place.lon, fix.place.lat] for fix in (place_value(one, where="places") for one in places)]
    if shape == "point":
        return {"type": "Point", "coordinates": found[0]}
    if shape == "line":
        return {"type": "LineString", "coordinates": found}
    closed = found if found[0] == found[-1] else [*found, found[0]]
    return {"type": "Polygon", "coordinates": [closed]}


def _bring(space: Workspace, features: Sequence[Mapping[str, Any]]) -> None:
    # `turn` makes the bytes of every change its own: a file once seen is not brought in anew.
    turn = int(_document(space)["turn"]) + 1
    document = {"type": "FeatureCollection", "turn": turn, "features": list(features)}
    with tempfile.TemporaryDirectory(dir=space.folder, prefix=".coming-") as folder:
        path = Path(folder) / DRAWN
        path.write_text(json.dumps(document, ensure_ascii=False), encoding="utf-8")
        try:
            bring(space, [str(path)])
        except Refused as problem:
            raise Refused(*(_said_of_field(fault) for fault in problem.faults)) from None


def _said_of_field(fault: Fault) -> Fault:
    """Point at the field of the form instead of at the row of a file nobody wrote by hand."""
    _, row, field = fault.where.rpartition(", property ")
    if row:
        return replace(fault, where=field)
    return replace(fault, where="places") if fault.where.startswith(f"{DRAWN},") else fault
