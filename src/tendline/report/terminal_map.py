"""Owns a small map of a round in letters: sets by order, parkings by letter, walks and outlines as strokes.

Does not own distances that matter: it is a sketch, true to a character or so, for a terminal.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from tendline.core.errors import refuse
from tendline.core.place import LonLat, Outline
from tendline.core.units import METRES_PER_MILE, METRES_PER_YARD, Units
from tendline.report.faults import TOO_NARROW
from tendline.report.say import plain
from tendline.report.table import fold

_METRES_PER_DEGREE = 111_195.0
"""On a sphere of 6371.0 km; a sketch needs no more."""
_TALL = 2.0
"""A character is about twice as high as wide: common practice, no source."""
_REACH = 4
"""A number may stand this many rows, or twice as many columns, off its place when that is taken."""

Cell = tuple[int, int]
"""Row from the top, column from the left."""


@dataclass(frozen=True)
class Mark:
    """Something to be drawn at a place.

    Parameters
    ----------
    label
        What stands on the map: the order of a set (``12``), the letter of a parking (``A``).
    place
        Where.
    name
        What the list under the map calls it.
    """

    label: str
    place: LonLat
    name: str


def draw_map(
    sets: Sequence[Mark],
    parkings: Sequence[Mark] = (),
    *,
    walks: Iterable[Sequence[LonLat]] = (),
    outlines: Iterable[Outline] = (),
    width: int = 72,
    height: int = 24,
    units: Units = Units.US,
) -> str:
    """Draw a round in letters, north up.

    Parameters
    ----------
    sets, parkings
        What is drawn, in order of the round. Labels are never drawn over each other: one whose place is taken
        stands close by; one that finds no room is named under the map.
    walks
        Paths on foot, as strokes.
    outlines
        Parcels, as dots.
    width, height
        Of the frame, in characters.
    units
        For the scale.

    Returns
    -------
    str
        The frame, a scale, and the names behind the labels; no trailing newline.

    Raises
    ------
    Refused
        REP-103 when the frame is smaller than 20 by 8.
    """
    if width < 20 or height < 8:
        raise refuse(
            TOO_NARROW,
            f"a map of {width} by {height} characters cannot be read.",
            "",
            "20 by 8 is the least.",
        )
    walks, outlines = [list(walk) for walk in walks], list(outlines)
    rings = [list(ring) for outline in outlines for polygon in outline.polygons for ring in polygon]
    marks = [*parkings, *sets]
    if not marks:
        return "Nothing to draw: no set and no parking."
    sheet = _Sheet.around(
        [mark.place for mark in marks] + [p for line in (*walks, *rings) for p in line], width - 2, height - 2
    )
    for ring in rings:
        sheet.line(ring, stroke=".")
    for walk in walks:
        sheet.line(walk, stroke="")
    homeless = [mark for mark in marks if not sheet.label(mark)]
    return "\n".join([*sheet.framed(), _scale(sheet, units), *_names(sets, parkings, homeless, width)])


class _Sheet:
    """The inside of the frame while it is being drawn."""

    def __init__(self, columns: int, rows: int, *, middle: LonLat, metres: float) -> None:
        self.columns, self.rows = columns, rows
        self.middle, self.metres = middle, metres
        self.ink: dict[Cell, str] = {}
        self.taken: set[Cell] = set()

    @classmethod
    def around(cls, places: Sequence[LonLat], columns: int, rows: int) -> "_Sheet":
        """Make a sheet whose scale just holds all places, one scale in both directions."""
        first = places[0]
        lons = [first.lon + _turn(p.lon - first.lon) for p in places]
        lats = [p.lat for p in places]
        lon, lat = (min(lons) + max(lons)) / 2, (min(lats) + max(lats)) / 2
        east = (max(lons) - min(lons)) * _METRES_PER_DEGREE * math.cos(math.radians(lat))
        north = (max(lats) - min(lats)) * _METRES_PER_DEGREE
        metres = max(east / (columns - 1), north / ((rows - 1) * _TALL), 1.0)
        return cls(columns, rows, middle=LonLat(_turn(lon), lat), metres=metres)

    def cell(self, place: LonLat) -> Cell:
        """Give the cell of a place, kept inside the frame."""
        shrink = math.cos(math.radians(self.middle.lat))
        east = _turn(place.lon - self.middle.lon) * _METRES_PER_DEGREE * shrink / self.metres
        south = (self.middle.lat - place.lat) * _METRES_PER_DEGREE / self.metres / _TALL
        col = round((self.columns - 1) / 2 + east)
        row = round((self.rows - 1) / 2 + south)
        return min(max(row, 0), self.rows - 1), min(max(col, 0), self.columns - 1)

    def line(self, places: Sequence[LonLat], *, stroke: str) -> None:
        """Draw from place to place; without a `stroke`, in the slant of each piece."""
        for a, b in pairwise(places):
            (row0, col0), (row1, col1) = self.cell(a), self.cell(b)
            steps = max(abs(row1 - row0), abs(col1 - col0), 1)
            sign = stroke or _slant(row1 - row0, col1 - col0)
            for i in range(steps + 1):
                row = round(row0 + (row1 - row0) * i / steps)
                col = round(col0 + (col1 - col0) * i / steps)
                self.ink[row, col] = sign

    def label(self, mark: Mark) -> bool:
        """Write a label at its place or close by, never touching another one; say whether there was room."""
        row, col = self.cell(mark.place)
        size = len(mark.label)
        for down, right in _SPIRAL:
            start = min(max(col + right, 0), self.columns - size)
            cells = [(row + down, start + i) for i in range(size)]
            if 0 <= row + down < self.rows and not self.taken.intersection(
                [(row + down, start - 1), *cells, (row + down, start + size)]
            ):
                self.taken.update(cells)
                self.ink.update(zip(cells, mark.label, strict=True))
                return True
        return False

    def framed(self) -> list[str]:
        """Give the lines of the frame with what is in it."""
        bar = "+" + "-" * self.columns + "+"
        inside = [
            "|" + "".join(self.ink.get((row, col), " ") for col in range(self.columns)) + "|"
            for row in range(self.rows)
        ]
        return [bar, *inside, bar]


def _turn(degrees: float) -> float:
    """Bring an angle into [-180, 180), so that a line across the date line stays in one piece."""
    return (degrees + 180.0) % 360.0 - 180.0


def _slant(down: int, right: int) -> str:
    """Choose the stroke that comes nearest to a direction, as characters stand twice as high as wide."""
    if abs(right) >= 2 * abs(down) * 1.5:
        return "-"
    if abs(right) * 1.5 <= abs(down):
        return "|"
    return "\\" if (down > 0) == (right > 0) else "/"


def _spiral() -> list[Cell]:
    offsets = [(r, c) for r in range(-_REACH, _REACH + 1) for c in range(-2 * _REACH, 2 * _REACH + 1)]
    return sorted(offsets, key=lambda o: ((_TALL * o[0]) ** 2 + o[1] ** 2, o))


_SPIRAL = _spiral()


def _scale(sheet: _Sheet, units: Units) -> str:
    """Draw a bar of a round length, at most a third of the width."""
    most = sheet.columns / 3 * sheet.metres
    unit, name = (METRES_PER_YARD, "yd") if units is Units.US else (1.0, "m")
    if units is Units.US and most >= METRES_PER_MILE:
        unit, name = METRES_PER_MILE, "mi"
    elif units is Units.METRIC and most >= 1000.0:
        unit, name = 1000.0, "km"
    power = 10.0 ** math.floor(math.log10(most / unit))
    length = max(step * power for step in (1, 2, 5) if step * power <= most / unit * (1 + 1e-9))
    bar = max(1, round(length * unit / sheet.metres) - 1)
    return f"|{'-' * bar}| {length:g} {name}   north is up"


def _names(sets: Sequence[Mark], parkings: Sequence[Mark], homeless: Sequence[Mark], width: int) -> list[str]:
    lines: list[str] = []
    for title, marks in (
        ("truck:", parkings),
        ("sets:", sets),
        ("no room on the map for:", homeless),
    ):
        if marks:
            lines += fold(f"{title} " + " ".join(f"{m.label}={plain(m.name)}" for m in marks), width)
    return lines
