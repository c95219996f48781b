"""Owns the side view of a hung loop, to scale: ground, snow, loop, law, animal, deer; and its SVG.

Does not own the heights (`gear.loop`), which come in as metres above the ground, or the same in a terminal
(`loop_terminal`).
"""

from collections.abc import Callable
from dataclasses import dataclass
from html import escape

from tendline.almanac.loops import Oval, Reach
from tendline.core.units import METRES_PER_INCH, Units, format_small
from tendline.report.say import plain

WIDE, TALL, FOOT = 720.0, 520.0, 40.0
"""Width of the drawing, height of its scale and room under the ground [px]."""

_LEFT, _LOOP, _BARS, _APART = 70.0, 200.0, 310.0, 62.0
_PATTERNS = (
    "<defs><pattern id='old' width='6' height='6' patternUnits='userSpaceOnUse'>"
    "<path d='M0 6 L6 0' stroke='black' stroke-width='0.6'/></pattern>"
    "<pattern id='new' width='8' height='8' patternUnits='userSpaceOnUse'>"
    "<circle cx='2' cy='2' r='0.8'/></pattern></defs>"
)
_NOTE = (
    "Ranges, not points: measure at the set. Hatched: old snow; dots: new snow; gray: a log; "
    "dashed: where it walks."
)
_Height = Callable[[float], float]


@dataclass(frozen=True)
class Band:
    """A range of heights above the ground [m], with the words that stand beside it."""

    words: str
    reach: Reach


@dataclass(frozen=True)
class LoopPicture:
    """What is drawn; heights above the ground [m].

    Parameters
    ----------
    title
        Animal, place, profile.
    base_m, new_m
        Depth of old snow that bears weight, and of new snow on it.
    walked
        Where the animal's feet come to rest.
    loop, bottom_m
        The loop as it hangs at its longest, and where its lowest point is drawn.
    law
        Bands in which the bottom or the top must lie.
    chest, head
        Of the animal as it stands on `walked`.
    deer
        The chest of a deer that treads the new snow down.
    own_chest
        Of the animals that the person measured, standing on `walked`; None without any.
    log_m
        Height of the top of a log that it hangs over; the snow lies on it. 0 without one.
    zero
        What heights are counted from.
    """

    title: str
    base_m: float
    new_m: float
    walked: Reach
    loop: Oval
    bottom_m: float
    law: tuple[Band, ...]
    chest: Reach
    head: Reach
    deer: Reach
    own_chest: Reach | None = None
    log_m: float = 0.0
    zero: str = "ground"

    @property
    def top_m(self) -> float:
        """Height that the drawing must show [m]."""
        law = [band.reach.high_m for band in self.law]
        loop = self.bottom_m + self.loop.height_m
        snow = self.log_m + self.base_m + self.new_m
        return 1.06 * max(self.head.high_m, self.deer.high_m, loop, snow, *law)


def loop_svg(picture: LoopPicture, units: Units) -> str:
    """Draw the side view to scale as SVG."""
    scale = TALL / picture.top_m

    def y(metres: float) -> float:
        return TALL - metres * scale

    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 -16 {WIDE:g} {TALL + FOOT + 46:g}" role="img"'
    loop, log = picture.loop, picture.log_m
    middle = y(picture.bottom_m + loop.height_m / 2.0)
    parts = [
        f'{head} font-family="sans-serif" font-size="13">',
        f"<title>{escape(plain(picture.title))}</title>",
        _PATTERNS,
        _layer(0.0, log, "#bbb", y),
        _layer(log, log + picture.base_m, "url(#old)", y),
        _layer(log + picture.base_m, log + picture.base_m + picture.new_m, "url(#new)", y),
        f"<path d='M {_LEFT:g} {TALL:g} H {WIDE - 20:g}' stroke='black' stroke-width='3'/>",
        *_scale(picture, units, y),
        *_across(picture, y),
        _hung(loop, middle, scale),
        *_bars(picture, units, y),
        f"<text x='{_LEFT:g}' y='{TALL + FOOT:g}'>{escape(plain(picture.title))}</text>",
        f"<text x='{_LEFT:g}' y='{TALL + FOOT + 18:g}'>{_NOTE}</text>",
        "</svg>",
    ]
    return "\n".join(part for part in parts if part) + "\n"


def _across(picture: LoopPicture, y: _Height) -> list[str]:
    """Draw where the animal walks, dashed, and the loop's lowest and highest point, dotted."""
    loop = (picture.bottom_m, picture.bottom_m + picture.loop.height_m)
    walked = sorted({picture.walked.low_m, picture.walked.high_m})
    lines = [
        *((height, _LEFT, "9 5", "1.6") for height in walked),
        *((h, _LOOP, "1.5 5", "1.2") for h in loop),
    ]
    return [
        f"<path d='M {x:g} {y(height):.1f} H {WIDE - 20:g}' fill='none' stroke='black' "
        f"stroke-width='{thick}' stroke-dasharray='{dashes}'/>"
        for height, x, dashes, thick in lines
    ]


def _hung(loop: Oval, middle: float, scale: float) -> str:
    """Draw the loop with its lock at two o'clock: sixty degrees from the top."""
    wide, tall = loop.width_m * scale / 2.0, loop.height_m * scale / 2.0
    ring = f"<ellipse cx='{_LOOP:g}' cy='{middle:.1f}' rx='{wide:.1f}' ry='{tall:.1f}' fill='none' "
    lock = f"<circle cx='{_LOOP + 0.866 * wide:.1f}' cy='{middle - 0.5 * tall:.1f}' r='6'/>"
    return f"{ring}stroke='black' stroke-width='3'/>{lock}"


def _layer(low: float, high: float, fill: str, y: _Height) -> str:
    if high <= low:
        return ""
    return (
        f"<rect x='{_LEFT:g}' y='{y(high):.1f}' width='{WIDE - _LEFT - 20:g}' "
        f"height='{y(low) - y(high):.1f}' fill='{fill}' stroke='black' stroke-width='0.8'/>"
    )


def _scale(picture: LoopPicture, units: Units, y: _Height) -> list[str]:
    step = 6 * METRES_PER_INCH if units is Units.US else 0.1
    count = int(picture.top_m / step) + 1
    return [
        f"<path d='M {_LEFT - 6:g} {y(k * step):.1f} h 6' stroke='black'/>"
        f"<text x='{_LEFT - 10:g}' y='{y(k * step) + 4:.1f}' text-anchor='end'>"
        f"{format_small(k * step, units)}</text>"
        for k in range(count)
    ]


def _bars(picture: LoopPicture, units: Units, y: _Height) -> list[str]:
    """Draw each range as a bar beside the loop, its words under each other where bars begin alike."""
    parts = []
    bars = key_of(picture)[1:]
    apart = min(_APART, (WIDE - _BARS - 60.0) / max(1, len(bars) - 1))
    for k, (_, words, reach) in enumerate(bars):
        x = _BARS + apart * k
        tall = max(2.0, y(reach.low_m) - y(reach.high_m))
        parts.append(
            f"<rect x='{x:g}' y='{y(reach.high_m):.1f}' width='14' height='{tall:.1f}' "
            "fill='white' stroke='black' stroke-width='1.5'/>"
        )
        text = escape(f"{words}, {span_words(reach, units)}")
        parts.append(
            f"<text transform='translate({x + 30:g},{TALL - 6:g}) rotate(-90)' stroke='white' "
            f"stroke-width='4' paint-order='stroke'>{text}</text>"
        )
    return parts


def key_of(picture: LoopPicture) -> list[tuple[str, str, Reach]]:
    """Give everything that has a height: a short name, words, and its range above the ground; loop first."""
    loop = Reach(picture.bottom_m, picture.bottom_m + picture.loop.height_m)
    law = [(f"law{k + 1}", band.words, band.reach) for k, band in enumerate(picture.law)]
    return [
        ("loop", "the loop as an oval", loop),
        *law,
        ("feet", "surface the animal walks on", picture.walked),
        ("chest", "the animal's chest", picture.chest),
        *([("yours", "the chest of those you measured", picture.own_chest)] if picture.own_chest else []),
        ("head", "the animal's head", picture.head),
        ("deer", "chest of a deer", picture.deer),
    ]


def span_words(reach: Reach, units: Units) -> str:
    """Write a range of heights: ``10 in to 14 in``."""
    low, high = format_small(reach.low_m, units), format_small(reach.high_m, units)
    return low if low == high else f"{low} to {high}"
