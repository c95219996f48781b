"""Owns what is drawn on the ground to be scouted, cell by cell: cover, lines, barriers, sign.

Does not own what it does to travel (terrain.surface) or reading files (ground).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tendline.almanac.geodesy import Projector
from tendline.core.feature import Feature
from tendline.core.grid import Grid
from tendline.core.line import Barrier
from tendline.core.place import LonLat, Outline
from tendline.core.words import FeatureClass
from tendline.terrain.draw import Frame, Mask, Points, draw_area, draw_line
from tendline.terrain.window import Box, frame_of

BARRIER, CROSSING, SIGN = "barrier", "crossing", "sign"
"""Things that are no class of feature: what people cannot cross, where they can, and sign of the animal."""

FIELD_CORNER, DEER_SEEN = "field-corner", "deer"
"""Found from what is drawn, or from the record; they bear on where to look, not on travel."""

SHARP_DEG = (45.0, 135.0)
"""A field has a corner where its edge turns by so much [degrees] (common practice, no source)."""

COVER = (
    *(FeatureClass.WOODS.value, FeatureClass.BRUSH.value, FeatureClass.FIELD.value),
    *(FeatureClass.MARSH.value, FeatureClass.WATER.value),
)
"""Classes that say what grows or lies on the ground."""

NEAR_M = 2000.0
"""Things are looked for so far from a spot [m]: no weight reaches farther."""


@dataclass(frozen=True, eq=False)
class Layers:
    """What is drawn, cell by cell.

    Parameters
    ----------
    frame
        Where the cells lie.
    drawn
        Cells that hold each thing, (rows, cols), by its name; only what is drawn at all.
    """

    frame: Frame
    drawn: Mapping[str, Mask]

    def near(self, name: str, cell: tuple[int, int]) -> float:
        """How far a cell is from a thing [m]; infinite where none is drawn within `NEAR_M`."""
        if name not in self.drawn:
            return float("inf")
        down, across = (int(NEAR_M / size) + 1 for size in (self.frame.dy, self.frame.dx))
        row0, col0 = max(cell[0] - down, 0), max(cell[1] - across, 0)
        held = self.drawn[name][row0 : cell[0] + down + 1, col0 : cell[1] + across + 1]
        rows, cols = np.nonzero(held)
        if rows.size == 0:
            return float("inf")
        away = np.hypot((rows + row0 - cell[0]) * self.frame.dy, (cols + col0 - cell[1]) * self.frame.dx)
        return float(away.min())


def lay_down(
    grid: Grid,
    features: Iterable[Feature],
    barriers: Sequence[Barrier] = (),
    *,
    signs: Iterable[LonLat] = (),
    deer: Iterable[LonLat] = (),
) -> Layers:
    """Draw everything into cells.

    Parameters
    ----------
    grid
        Whose cells.
    features
        Drawn on the ground; those that lie beyond are passed over.
    barriers
        What people cannot cross, or at a cost; and where they can.
    signs, deer
        Where sign of the animal was seen, and where deer were.
    """
    rows, cols = grid.shape
    frame = frame_of(grid, Box(0, rows, 0, cols))
    turn = Projector(grid.crs)
    drawn: dict[str, Mask] = {}
    for feature in features:
        _draw(drawn, feature.feature_class.value, frame, turn, _parts(feature))
        if feature.feature_class is FeatureClass.FIELD and feature.outline is not None:
            for points in _corners(feature.outline, turn):
                draw_line(drawn.setdefault(FIELD_CORNER, frame.empty()), frame, points)
    for barrier in barriers:
        _draw(drawn, BARRIER, frame, turn, (barrier.areas, barrier.lines))
        _draw(drawn, CROSSING, frame, turn, (None, barrier.crossings))
    for name, places in ((SIGN, signs), (DEER_SEEN, deer)):
        _draw(drawn, name, frame, turn, (None, tuple((place,) for place in places)))
    return Layers(frame, {name: mask for name, mask in drawn.items() if mask.any()})


def _corners(outline: Outline, turn: Projector) -> list[Points]:
    """Give the corners of an area, each as a line of one point [m]."""
    found: list[Points] = []
    for polygon in outline.polygons:
        ring = turn.to_xys(polygon[0])[:-1]
        before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
        cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
        turned = np.degrees(np.abs(np.arctan2(cross, np.sum(before * after, axis=1))))
        sharp = (turned >= SHARP_DEG[0]) & (turned <= SHARP_DEG[1])
        found += [point[None] for point in ring[sharp] if _fits(point)]
    return found


def _parts(feature: Feature) -> tuple[Outline | None, tuple[tuple[LonLat, ...], ...]]:
    lines = (feature.path,) if feature.path else ((feature.place,),) if feature.place is not None else ()
    return feature.outline, lines


def _draw(
    drawn: dict[str, Mask],
    name: str,
    frame: Frame,
    turn: Projector,
    parts: tuple[Outline | None, tuple[tuple[LonLat, ...], ...]],
) -> None:
    outline, lines = parts
    if outline is None and not lines:
        return
    mask = drawn.setdefault(name, frame.empty())
    for polygon in outline.polygons if outline is not None else ():
        rings = tuple(turn.to_xys(ring) for ring in polygon)
        if all(_fits(ring) for ring in rings):
            draw_area(mask, frame, rings)
    for line in lines:
        points = turn.to_xys(line)
        if _fits(points):
            draw_line(mask, frame, points)


def _fits(points: Points) -> bool:
    return bool(np.all(np.isfinite(points)))
