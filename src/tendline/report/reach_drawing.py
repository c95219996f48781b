"""Owns the drawing of the circle that a held animal can reach, to scale, and the same in words.

Does not own the circle (`almanac.reach`) or what a law makes of it (`rules`).
"""

from dataclasses import dataclass
from enum import StrEnum
from xml.sax.saxutils import escape

from tendline.almanac.reach import Circle
from tendline.core.units import Units, format_small

SIZE = 480.0
"""Width and height of the drawing [px]."""

_MIDDLE = SIZE / 2
_USED = SIZE / 2 - 40


class Clear(StrEnum):
    """Whether the circle is clear, as far as recorded."""

    CLEAR = "clear"
    NOT_CLEAR = "not clear"
    NOT_VERIFIED = "not verified"


@dataclass(frozen=True)
class ReachPicture:
    """What is drawn.

    Parameters
    ----------
    name
        The set.
    circle
        How far a held animal reaches.
    obstacle, obstacle_m
        The nearest thing it could tangle on, and how far from the anchor [m]; None when none is noted.
    looked
        Somebody has said whether it is clear: True, False; None when nobody has.
    """

    name: str
    circle: Circle
    obstacle: str = "obstacle"
    obstacle_m: float | None = None
    looked: bool | None = None


def clear_of(picture: ReachPicture) -> Clear:
    """Say whether the circle is clear; what nobody has looked for is not verified.

    A measured obstacle decides over a word. Between the least and the most that the animal may reach it is
    not verified.
    """
    metres = picture.obstacle_m
    if metres is None:
        words = {None: Clear.NOT_VERIFIED, True: Clear.CLEAR, False: Clear.NOT_CLEAR}
        return words[picture.looked]
    if metres >= picture.circle.high_m:
        return Clear.CLEAR if picture.looked is not False else Clear.NOT_CLEAR
    return Clear.NOT_CLEAR if metres < picture.circle.low_m else Clear.NOT_VERIFIED


def reach_text(picture: ReachPicture, units: Units) -> str:
    """Write the circle in words: how far, from what, what stands nearest, what was taken for granted."""
    circle = picture.circle
    reach = format_small(circle.high_m, units)
    if circle.low_m < circle.high_m:
        reach = f"{format_small(circle.low_m, units)} to {reach}"
    lines = [f"Set {picture.name}: {clear_of(picture).value}. A held animal reaches {reach} from the anchor."]
    if picture.obstacle_m is not None:
        lines.append(f"Nearest: {picture.obstacle} at {format_small(picture.obstacle_m, units)}.")
    elif picture.looked is None:
        lines.append("Nobody has noted what stands within it: go round it and look.")
    return "\n".join([*lines, *(f"Taken for granted: {said}." for said in circle.said)])


def reach_svg(picture: ReachPicture, units: Units) -> str:
    """Draw the circle to scale as SVG; the anchor is in the middle, the outer ring the most it may be.

    The obstacle is drawn at its distance and in no true direction, which the record does not hold.
    """
    circle = picture.circle
    scale = _USED / max(circle.high_m, picture.obstacle_m or 0.0)
    rings = [("solid", "a held animal may reach", circle.high_m, "stroke-width='2.5'")]
    if circle.low_m < circle.high_m:
        rings.append(("dashes", "it reaches at least", circle.low_m, "stroke-dasharray='8 5'"))
    rings.append(("dots", "device stretched out", circle.device_high_m, "stroke-dasharray='2 5'"))
    title = f"Set {picture.name}: {clear_of(picture).value}"
    size, tall = f"{SIZE:g}", f"{SIZE + 22 * len(rings) + 8:g}"
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size}" height="{tall}" viewBox="0 0 {size} {tall}"'
    )
    parts = [
        f'{head} role="img" font-family="sans-serif" font-size="14">',
        f"<title>{escape(title)}</title>",
        *(_ring(metres * scale, dash) for _, _, metres, dash in rings),
        f"<path d='M {_MIDDLE - 6:g} {_MIDDLE:g} h 12 M {_MIDDLE:g} {_MIDDLE - 6:g} v 12' stroke='black'/>",
        _label(_MIDDLE, 24, title),
        _label(_MIDDLE, _MIDDLE + 22, "anchor"),
        _obstacle(picture, scale, units),
        *(
            _label(_MIDDLE, SIZE + 22 * k, f"{line}: {words}, {format_small(metres, units)}")
            for k, (line, words, metres, _) in enumerate(rings)
        ),
        "</svg>",
    ]
    return "\n".join(part for part in parts if part) + "\n"


def _ring(radius: float, more: str) -> str:
    return f"<circle cx='{_MIDDLE:g}' cy='{_MIDDLE:g}' r='{radius:.1f}' fill='none' stroke='black' {more}/>"


def _label(x: float, y: float, text: str) -> str:
    """Write centred text, with a white rim so that no ring runs through it."""
    rim = "stroke='white' stroke-width='5' stroke-linejoin='round' paint-order='stroke'"
    return f"<text x='{x:.1f}' y='{y:.1f}' text-anchor='middle' {rim}>{escape(text)}</text>"


def _obstacle(picture: ReachPicture, scale: float, units: Units) -> str:
    if picture.obstacle_m is None:
        return ""
    y = _MIDDLE - picture.obstacle_m * scale
    square = f"<rect x='{_MIDDLE - 6:g}' y='{y - 6:.1f}' width='12' height='12' fill='black'/>"
    return square + _label(_MIDDLE, y + 24, f"{picture.obstacle}, {format_small(picture.obstacle_m, units)}")
