"""Owns the map on a paper: one piece of ground with its numbers, ways, north, scale and lettered squares.

Does not own what stands on it, which is handed in, nor the words beside it. Drawn in black on white: every
kind of thing has its own sign.
"""

import math
import string
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape

from tendline.almanac.geodesy import Projector
from tendline.core.place import LonLat, Outline
from tendline.core.units import METRES_PER_FOOT, METRES_PER_MILE, METRES_PER_YARD, Units
from tendline.report.height_lines import NO_HEIGHTS, HeightLines, draw_heights, step_note
from tendline.report.map_labels import Box, place_labels
from tendline.report.say import plain

WIDE = 720.0
"""Width of the drawing [px]; on the page it is as wide as the text."""

LONGEST_NAME = 20
"""Longer names are cut on the map [letters]."""

_MARGIN = 0.12
_LEAST_M = 150.0
_SHAPES = (1.25, 1.9)
_MOST_SQUARES = 9

_HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}" height="{tall:.0f}"'
    ' viewBox="0 0 {wide:g} {tall:.0f}" font-family="DejaVu Sans Mono" font-size="13">'
)
_BLACK = "stroke='#000'"
_DOTS = f"{_BLACK} stroke-width='2.4' stroke-dasharray='1 4'"
_DASHES = f"{_BLACK} stroke-width='1.2' stroke-dasharray='6 4'"

Path = tuple[LonLat, ...]


@dataclass(frozen=True)
class Mark:
    """One thing with a place: `kind` is ``set``, ``parking``, ``landmark``, ``house`` or ``crossing``."""

    kind: str
    name: str
    place: LonLat


@dataclass(frozen=True)
class Ground:
    """What is drawn.

    Parameters
    ----------
    marks
        Things with a place.
    bounds
        Outlines of the parcels shown.
    barriers, areas
        Lines and areas that are not crossed on foot.
    ways
        Ways on foot.
    whole_bounds
        Make room for the whole of `bounds`, not only for the marks.
    heights
        Lines of equal height, drawn under everything else.
    """

    marks: tuple[Mark, ...]
    bounds: tuple[Outline, ...] = ()
    barriers: tuple[Path, ...] = ()
    areas: tuple[Outline, ...] = ()
    ways: tuple[Path, ...] = ()
    whole_bounds: bool = False
    heights: HeightLines = NO_HEIGHTS


@dataclass(frozen=True)
class Drawn:
    """A map, the square each mark lies in, and how long the side of a square is, in words."""

    svg: bytes
    squares: Mapping[str, str] = field(default_factory=dict)
    side: str = ""


def draw_ground(ground: Ground, units: Units) -> Drawn:
    """Draw a map; true north is up, all of it to one scale.

    Parameters
    ----------
    ground
        At least one mark, or bounds to be shown whole.
    units
        Of the scale bar and the squares.

    Returns
    -------
    Drawn
        An SVG 720 px wide.
    """
    frame = _frame(ground)
    step, side = _step(frame.wide_m, units)
    squares = {mark.name: frame.square(mark.place, step) for mark in ground.marks}
    tall = frame.tall_px
    parts = [
        _HEAD.format(wide=WIDE, tall=tall),
        f'<clipPath id="all"><rect width="{WIDE:g}" height="{tall:.0f}"/></clipPath>',
        '<g clip-path="url(#all)">',
        *draw_heights(
            ground.heights, frame.ats, signs=frame.ats([m.place for m in ground.marks]), wide=WIDE, tall=tall
        ),
        *_squares(frame, step),
        *(_area(frame, area, fill="#ddd", stroke="#000", dash="2 3") for area in ground.areas),
        *(_area(frame, area, fill="none", stroke="#000", dash="14 4 3 4") for area in ground.bounds),
        *(_line(frame, path, _DOTS) for path in ground.barriers),
        *(_line(frame, path, _DASHES) for path in ground.ways),
        *_marks(frame, ground.marks),
        "</g>",
        *step_note(ground.heights, tall=tall),
        *_north_and_scale(frame, step, side),
        f"<rect x='0.5' y='0.5' width='{WIDE - 1:g}' height='{tall - 1:.0f}' fill='none' stroke='#000'/>",
        "</svg>",
    ]
    return Drawn("\n".join(parts).encode(), squares, side)


def ground_shown(ground: Ground) -> tuple[float, float, float, float]:
    """Give west, south, east, north of what a map shows [degrees]."""
    frame = _frame(ground)
    across, down = (frame.west, frame.west + frame.wide_m), (frame.north, frame.north - frame.tall_m)
    corners = [frame.turn.to_lonlat(x, y) for x in across for y in down]
    lons, lats = [p.lon for p in corners], [p.lat for p in corners]
    return min(lons), min(lats), max(lons), max(lats)


@dataclass(frozen=True)
class _Frame:
    """What part of the ground is shown, in metres about its middle."""

    turn: Projector
    west: float
    north: float
    wide_m: float
    tall_m: float

    @property
    def scale(self) -> float:
        """Pixels in a metre."""
        return WIDE / self.wide_m

    @property
    def tall_px(self) -> float:
        """Height of the drawing."""
        return self.tall_m * self.scale

    def at(self, place: LonLat) -> tuple[float, float]:
        """Give x, y [px] of a place."""
        x, y = self.turn.to_xy(place)
        return (x - self.west) * self.scale, (self.north - y) * self.scale

    def ats(self, places: Sequence[LonLat]) -> list[tuple[float, float]]:
        """Give x, y [px] of many places."""
        if not places:
            return []
        xys = (self.turn.to_xys(places) - (self.west, self.north)) * (self.scale, -self.scale)
        return [(float(x), float(y)) for x, y in xys]

    def square(self, place: LonLat, step: float) -> str:
        """Name the square of a place: letters from the left, numbers from the top."""
        x, y = self.at(place)
        col, row = int(x / self.scale // step), int(y / self.scale // step)
        return f"{string.ascii_uppercase[min(max(col, 0), 25)]}{max(row, 0) + 1}"


def _frame(ground: Ground) -> _Frame:
    places = [mark.place for mark in ground.marks] + [place for way in ground.ways for place in way]
    if ground.whole_bounds or not places:
        places += [p for outline in ground.bounds for polygon in outline.polygons for p in polygon[0]]
    middle = LonLat(_middle(p.lon for p in places), _middle(p.lat for p in places))
    turn = Projector(f"+proj=aeqd +lat_0={middle.lat!r} +lon_0={middle.lon!r} +datum=WGS84 +units=m +no_defs")
    xys = [turn.to_xy(place) for place in places]
    wide = max(max(x for x, _ in xys) - min(x for x, _ in xys), _LEAST_M) * (1 + 2 * _MARGIN)
    tall = max(max(y for _, y in xys) - min(y for _, y in xys), _LEAST_M / 2) * (1 + 2 * _MARGIN)
    low, high = _SHAPES
    wide, tall = max(wide, tall * low), max(tall, wide / high)
    x, y = _middle(x for x, _ in xys), _middle(y for _, y in xys)
    return _Frame(turn, x - wide / 2, y + tall / 2, wide, tall)


def _middle(values: Iterable[float]) -> float:
    known = list(values)
    return (min(known) + max(known)) / 2


def _step(wide_m: float, units: Units) -> tuple[float, str]:
    """Choose a round length for the squares: not more than nine across."""
    if units is Units.METRIC:
        steps = [(m, f"{m:g} m" if m < 1000 else f"{m / 1000:g} km") for m in _round_numbers(10, 7)]
    else:
        steps = [(f * METRES_PER_FOOT, f"{f:g} ft") for f in (50.0, 100.0)]
        steps += [(y * METRES_PER_YARD, f"{y:g} yd") for y in (50.0, 100.0, 200.0)]
        steps += [(m * METRES_PER_MILE, f"{m:g} mi") for m in (0.25, 0.5, *_round_numbers(1, 6))]
    fitting = [one for one in steps if wide_m / one[0] <= _MOST_SQUARES]
    return fitting[0] if fitting else steps[-1]


def _round_numbers(first: float, count: int) -> list[float]:
    return [first * factor * 10**power for power in range(count // 3 + 1) for factor in (1, 2, 5)]


def _squares(frame: _Frame, step: float) -> list[str]:
    px, parts = step * frame.scale, []
    for k in range(math.ceil(WIDE / px)):
        x = k * px
        parts.append(f"<path d='M {x:.1f} 0 V {frame.tall_px:.1f}' stroke='#bbb' stroke-width='0.7'/>")
        if x + px / 2 < WIDE - 8:
            parts.append(
                _text(x + px / 2, 13, string.ascii_uppercase[min(k, 25)], anchor="middle", grey=True)
            )
    for k in range(math.ceil(frame.tall_px / px)):
        y = k * px
        parts.append(f"<path d='M 0 {y:.1f} H {WIDE:g}' stroke='#bbb' stroke-width='0.7'/>")
        parts.append(_text(5, y + px / 2 + 4, str(k + 1), grey=True))
    return parts


def _area(frame: _Frame, outline: Outline, *, fill: str, stroke: str, dash: str) -> str:
    rings = [ring for polygon in outline.polygons for ring in polygon]
    path = " ".join(f"M {_points(frame, ring)} Z" for ring in rings)
    style = (
        f"fill='{fill}' fill-rule='evenodd' stroke='{stroke}' stroke-width='1.6' stroke-dasharray='{dash}'"
    )
    return f"<path d='{path}' {style}/>"


def _line(frame: _Frame, path: Sequence[LonLat], style: str) -> str:
    return f"<path d='M {_points(frame, path)}' fill='none' {style}/>"


def _points(frame: _Frame, path: Sequence[LonLat]) -> str:
    return " L ".join(f"{x:.1f} {y:.1f}" for x, y in map(frame.at, path))


def _marks(frame: _Frame, marks: Sequence[Mark]) -> list[str]:
    at = [frame.at(mark.place) for mark in marks]
    names = [_cut(plain(mark.name)) for mark in marks]
    taken = [Box(x - 7, y - 7, 14, 14) for x, y in at]
    labels = place_labels(at, names, taken=taken, wide=WIDE, tall=frame.tall_px)
    signs = [_sign(mark.kind, x, y) for mark, (x, y) in zip(marks, at, strict=True)]
    words = [
        _text(box.x, box.y + 11, name, big=mark.kind in ("set", "parking"))
        for mark, name, box in zip(marks, names, labels, strict=True)
    ]
    return [*signs, *words]


def _cut(name: str) -> str:
    """Cut a name that would run over the map; it stands whole beside it."""
    return name if len(name) <= LONGEST_NAME else name[: LONGEST_NAME - 1] + "\u2026"


def _sign(kind: str, x: float, y: float) -> str:
    paths = {
        "parking": "M -7 -7 H 7 V 7 H -7 Z M -3 5 V -5 H 4 V 0 H -3",
        "house": "M -6 5 V -1 L 0 -7 L 6 -1 V 5 Z",
        "crossing": "M -6 -4 H 6 M -6 4 H 6",
        "landmark": "M 0 -6 L 6 5 H -6 Z",
    }
    moved = f"transform='translate({x:.1f} {y:.1f})'"
    if kind == "set":
        return f"<circle r='5' fill='#000' stroke='#fff' stroke-width='1.2' {moved}/>"
    return f"<path d='{paths[kind]}' fill='#fff' {_BLACK} stroke-width='1.8' {moved}/>"


def _text(
    x: float, y: float, words: str, *, anchor: str = "start", grey: bool = False, big: bool = False
) -> str:
    weight = " font-weight='bold' font-size='14'" if big else ""
    fill = "#777" if grey else "#000"
    rim = "" if grey else " stroke='#fff' stroke-width='3' stroke-linejoin='round' paint-order='stroke'"
    place = f"x='{x:.1f}' y='{y:.1f}' text-anchor='{anchor}' fill='{fill}'"
    return f"<text {place}{weight}{rim}>{escape(words)}</text>"


def _north_and_scale(frame: _Frame, step: float, side: str) -> list[str]:
    long = step * frame.scale
    left, low = WIDE - 14 - long, frame.tall_px - 14
    thick = f"fill='none' {_BLACK} stroke-width='2'"
    arrow = f"M {WIDE - 24:g} 52 V 24 M {WIDE - 30:g} 34 L {WIDE - 24:g} 20 L {WIDE - 18:g} 34"
    bar = f"M {left:.1f} {low - 5:.1f} V {low:.1f} H {left + long:.1f} V {low - 5:.1f}"
    return [
        f"<rect x='{WIDE - 40:g}' y='4' width='34' height='64' fill='#fff'/><path d='{arrow}' {thick}/>",
        _text(WIDE - 24, 65, "N", anchor="middle", big=True),
        f"<rect x='{left - 6:.1f}' y='{low - 22:.1f}' width='{long + 12:.1f}' height='30' fill='#fff'/>",
        f"<path d='{bar}' {thick}/>",
        _text(left + long / 2, low - 8, side, anchor="middle"),
    ]
