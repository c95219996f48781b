"""Owns the thin grey lines of equal height under a map on a paper, and the heights written on them.

Does not own finding them (`terrain.contour`), nor the map (`report.ground_map`), which draws over them.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

from tendline.core.place import LonLat

OFF_SIGNS = 24.0
"""No height is written this near to a sign [px]."""

_EDGE = 18.0

Spot = tuple[float, float]


@dataclass(frozen=True)
class HeightWord:
    """A height to be written at a place, turned counter-clockwise from the east [degrees]."""

    place: LonLat
    turn_deg: float
    text: str


@dataclass(frozen=True)
class HeightLines:
    """Lines of equal height.

    Parameters
    ----------
    lines
        Each a path, and whether it is a main line.
    words
        Heights on main lines.
    step
        From line to line, in words.
    """

    lines: tuple[tuple[tuple[LonLat, ...], bool], ...] = ()
    words: tuple[HeightWord, ...] = ()
    step: str = ""


NO_HEIGHTS = HeightLines()


def draw_heights(
    found: HeightLines,
    turn: Callable[[Sequence[LonLat]], Sequence[Spot]],
    *,
    signs: Sequence[Spot],
    wide: float,
    tall: float,
) -> list[str]:
    """Draw lines and heights as SVG; nothing where there are none.

    Parameters
    ----------
    found
        What to draw.
    turn
        From places to x, y [px].
    signs
        Where signs stand, which no height is to hide [px].
    wide, tall
        Size of the drawing [px].
    """
    parts = []
    for path, main in found.lines:
        spots = turn(path)
        if _is_seen(spots, wide, tall):
            drawn = " L ".join(f"{x:.1f} {y:.1f}" for x, y in spots)
            style = "stroke='#888' stroke-width='1'" if main else "stroke='#999' stroke-width='0.5'"
            parts.append(f"<path d='M {drawn}' fill='none' {style}/>")
    for word in found.words:
        ((x, y),) = turn([word.place])
        inside = _EDGE < x < wide - _EDGE and _EDGE < y < tall - _EDGE
        if inside and all(math.dist((x, y), sign) > OFF_SIGNS for sign in signs):
            moved = f"transform='translate({x:.1f} {y:.1f}) rotate({-word.turn_deg:.0f})'"
            parts.append(f"<text {moved} y='3.5' text-anchor='middle' {_SMALL}>{escape(word.text)}</text>")
    return parts


def step_note(found: HeightLines, *, tall: float) -> list[str]:
    """Say in the lower left corner what the lines are; nothing where there are none."""
    if not found.lines:
        return []
    words = f"grey lines: every {found.step} of height"
    return [
        f"<rect x='1' y='{tall - 21:.1f}' width='{6.2 * len(words) + 14:.0f}' height='20' fill='#fff'/>",
        f"<text x='8' y='{tall - 7:.1f}' {_SMALL}>{escape(words)}</text>",
    ]


_SMALL = (
    "fill='#555' font-size='10' stroke='#fff' stroke-width='3' stroke-linejoin='round' paint-order='stroke'"
)


def _is_seen(spots: Sequence[Spot], wide: float, tall: float) -> bool:
    """Say whether the box round a line meets the drawing."""
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    return min(xs) < wide and max(xs) > 0 and min(ys) < tall and max(ys) > 0
