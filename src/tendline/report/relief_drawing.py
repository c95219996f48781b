"""Owns the ground drawn for paper: shade, lines of equal height with their heights, a scale, north; to scale.

Does not own the heights (`terrain`, `ground`) or what else a paper draws over them.
"""

import base64
import math
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

import numpy as np
import numpy.typing as npt

from tendline.almanac.geodesy import Projector
from tendline.core.place import LonLat
from tendline.core.units import METRES_PER_FOOT, METRES_PER_MILE, Units

Points = npt.NDArray[np.float64]

_THIN_MM, _MAIN_MM, _LETTERS_MM = 0.12, 0.3, 2.2
_INK = "#6b4a2b"
_SHADE = 0.55

_BARS = {
    Units.METRIC: tuple((f"{m} m", float(m)) for m in (50, 100, 200, 500))
    + tuple((f"{km} km", 1000.0 * km) for km in (1, 2, 5, 10, 20, 50)),
    Units.US: tuple((f"{feet:,} ft", feet * METRES_PER_FOOT) for feet in (200, 500, 1000))
    + tuple((f"{text} mi", miles * METRES_PER_MILE) for text, miles in (("½", 0.5), ("1", 1), ("2", 2)))
    + tuple((f"{miles} mi", miles * METRES_PER_MILE) for miles in (5, 10, 20)),
}


@dataclass(frozen=True, eq=False)
class DrawnLine:
    """A line of equal height on the plane [m], (n, 2); `main` is drawn stronger."""

    points: Points
    main: bool


@dataclass(frozen=True)
class DrawnLabel:
    """A height written at x, y on the plane [m], turned counter-clockwise from the east [degrees]."""

    x: float
    y: float
    turn_deg: float
    text: str


@dataclass(frozen=True, eq=False)
class ReliefPicture:
    """What is drawn.

    Parameters
    ----------
    crs
        The plane.
    west, south, east, north
        Edges of the sheet on the plane [m].
    lines, labels
        Lines of equal height, and where their heights are written.
    shade_png
        Light and shade over the same ground.
    step
        What the lines are apart, in words: ``100 ft``.
    """

    crs: str
    west: float
    south: float
    east: float
    north: float
    lines: Sequence[DrawnLine]
    labels: Sequence[DrawnLabel]
    shade_png: bytes
    step: str


@dataclass(frozen=True, eq=False)
class ReliefSheet:
    """A drawing to scale.

    Parameters
    ----------
    svg
        One SVG document, its user unit a millimetre.
    width_mm, height_mm
        Its size [mm].
    scale
        Ground over paper: 10 000 where a millimetre is ten metres.
    picture
        What it was drawn from.
    """

    svg: str
    width_mm: float
    height_mm: float
    scale: float
    picture: ReliefPicture

    def to_mm(self, places: Sequence[LonLat]) -> Points:
        """Say where places lie on the sheet: x to the right, y down [mm], (n, 2)."""
        xys = Projector(self.picture.crs).to_xys(places)
        return (xys - [self.picture.west, self.picture.north]) * [1000.0 / self.scale, -1000.0 / self.scale]


def relief_sheet(picture: ReliefPicture, *, width_mm: float, units: Units) -> ReliefSheet:
    """Draw ground to scale.

    Parameters
    ----------
    picture
        What is drawn.
    width_mm
        Width of the sheet, above 0 [mm]; its height follows.
    units
        Of the bar of scale.

    References
    ----------
    W3C, Scalable Vector Graphics (SVG) 2: paths, text with a halo by `paint-order`.
    """
    scale = (picture.east - picture.west) * 1000.0 / width_mm
    height_mm = (picture.north - picture.south) * 1000.0 / scale
    corner, per_m = np.array([picture.west, picture.north]), np.array([1000.0 / scale, -1000.0 / scale])
    shade = base64.b64encode(picture.shade_png).decode()
    parts = [
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm:g}mm" height="{height_mm:.2f}mm" '
            f'viewBox="0 0 {width_mm:g} {height_mm:.2f}">'
        ),
        (
            f'<image width="{width_mm:g}" height="{height_mm:.2f}" opacity="{_SHADE}" '
            f'preserveAspectRatio="none" href="data:image/png;base64,{shade}"/>'
        ),
        f'<g fill="none" stroke="{_INK}" stroke-linejoin="round">',
        *(_path((line.points - corner) * per_m, strong=line.main) for line in picture.lines),
        "</g>",
        (
            f'<g font-family="sans-serif" font-size="{_LETTERS_MM}" text-anchor="middle" fill="{_INK}" '
            'stroke="#ffffff" stroke-width="0.7" paint-order="stroke" stroke-linejoin="round">'
        ),
        *(_written(label, (np.array([label.x, label.y]) - corner) * per_m) for label in picture.labels),
        "</g>",
        *_legend(picture, scale, height_mm, units),
        "</svg>",
    ]
    return ReliefSheet("\n".join(parts), width_mm, height_mm, scale, picture)


def _path(points: Points, *, strong: bool) -> str:
    way = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    return f'<path d="{way}" stroke-width="{_MAIN_MM if strong else _THIN_MM}"/>'


def _written(label: DrawnLabel, at: Points) -> str:
    x, y = at
    turn = f'transform="translate({x:.2f} {y:.2f}) rotate({-label.turn_deg:.0f})"'
    return f'<text {turn} dy="{_LETTERS_MM * 0.35:.2f}">{escape(label.text)}</text>'


def _legend(picture: ReliefPicture, scale: float, height_mm: float, units: Units) -> list[str]:
    """Draw a bar of scale of at most 40 mm, what the lines are apart, and which way is true north."""
    text, metres = next(
        ((text, m) for text, m in reversed(_BARS[units]) if m * 1000.0 / scale <= 40.0), _BARS[units][0]
    )
    length, y = metres * 1000.0 / scale, height_mm - 3.0
    note = f"{text} · lines every {picture.step}"
    box = max(length, len(note) * _LETTERS_MM * 0.55) + 12.0
    return [
        f'<rect x="1" y="{y - 5.5:.2f}" width="{box:.2f}" height="7.5" fill="#ffffff" opacity="0.8"/>',
        (
            f'<path d="M3 {y - 1:.2f}V{y:.2f}H{3 + length:.2f}V{y - 1:.2f}" fill="none" stroke="#000000" '
            'stroke-width="0.3"/>'
        ),
        f'<text x="3" y="{y - 2:.2f}" font-family="sans-serif" font-size="{_LETTERS_MM}">{note}</text>',
        (
            f'<g transform="translate({box - 3.5:.2f} {y - 1.5:.2f}) rotate({_north_turn_deg(picture):.1f})">'
            '<path d="M0 3V-3M-1 -1L0 -3L1 -1" fill="none" stroke="#000000" stroke-width="0.3"/>'
            f'<text x="1.2" y="3" font-family="sans-serif" font-size="{_LETTERS_MM}">N</text></g>'
        ),
    ]


def _north_turn_deg(picture: ReliefPicture) -> float:
    """Say how far true north is turned clockwise from the top of the sheet, at its middle [degrees]."""
    turn = Projector(picture.crs)
    middle = turn.to_lonlat((picture.west + picture.east) / 2, (picture.south + picture.north) / 2)
    step = 0.001 if middle.lat < 89.0 else -0.001
    (x0, y0), (x1, y1) = turn.to_xy(middle), turn.to_xy(LonLat(middle.lon, middle.lat + step))
    return math.degrees(math.atan2((x1 - x0) / step, (y1 - y0) / step))
