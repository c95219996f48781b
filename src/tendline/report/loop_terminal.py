"""Owns the side view of a hung loop in a terminal, to scale: a scene with snow and loop, and bars beside it.

Does not own the picture (`loop_picture`).

A letter of a terminal is about twice as high as wide, so that a column stands for half of what a row does.
"""

from collections.abc import Sequence

from tendline.almanac.loops import Reach
from tendline.core.errors import refuse
from tendline.core.units import METRES_PER_INCH, Units, format_small
from tendline.report.faults import TOO_NARROW
from tendline.report.loop_picture import LoopPicture, key_of, span_words
from tendline.report.say import plain

_LABEL, _BAR, _SCENE, _LEAST = 11, 6, 26, 12
"""Letters for the height, for each bar, for the scene at most and at least."""

_MARKS = {"loop": "O", "feet": "_", "chest": "c", "yours": "y", "head": "h", "deer": "d"}


def loop_text(picture: LoopPicture, units: Units, *, width: int = 80, rows: int = 24) -> str:
    """Draw the side view in a terminal, one line for each step of height.

    Where there is room, a scene to scale stands first: old and new snow, and the loop with its lock at two
    o'clock. Beside it each range is a bar.

    Raises
    ------
    Refused
        REP-103 when `width` is under 60 or `rows` under 8.
    """
    if width < 60 or rows < 8:
        raise refuse(TOO_NARROW, f"{width} by {rows} is too little to draw a loop in.", "", "Give 60 by 8.")
    step = _step(picture.top_m, rows, units)
    bars = [(name, _MARKS.get(name, "|"), reach) for name, _, reach in key_of(picture)]
    scene = min(_SCENE, width - _LABEL - _BAR * len(bars))
    lines = [
        plain(picture.title),
        f"each line is {format_small(step, units)}, heights above the {picture.zero}",
    ]
    if scene < _LEAST:
        scene = _BAR
        lines.append(_line("", "snow", scene, [name for name, _, _ in bars]))
    else:
        # The loop is in the scene already.
        bars = bars[1:]
        lines.append(_line("", "the loop", scene, [name for name, _, _ in bars]))
    for k in reversed(range(int(picture.top_m / step) + 1)):
        low, high = k * step, (k + 1) * step
        drawn = _scene(picture, low, step, scene) if scene > _BAR else _snow(picture, low, high) * 3
        marks = [mark * 3 if _met(reach, low, high) else "" for _, mark, reach in bars]
        lines.append(_line(format_small(low, units), drawn, scene, marks))
    foot = "ground" if picture.zero == "ground" else "log top"
    lines.append(_line(foot, "^" * (scene if scene > _BAR else 3), scene, []))
    if picture.log_m:
        lines.append("#: the log")
    lines += [f"{name}: {words}, {span_words(reach, units)}" for name, words, reach in key_of(picture)]
    return "\n".join(lines)


def _line(label: str, drawn: str, scene: int, marks: Sequence[str]) -> str:
    bars = "".join(f"{mark:<{_BAR}}" for mark in marks)
    return f"{label:>{_LABEL - 2}}  {drawn:<{scene}} {bars}".rstrip()


def _scene(picture: LoopPicture, low: float, step: float, width: int) -> str:
    """Draw one line of the scene: the loop over the snow, both to scale."""
    behind = _snow(picture, low, low + step) or " "
    half = step / 2.0
    left = -half * width / 2.0
    cells = []
    for column in range(width):
        corners = [
            _inside(picture, left + (column + right) * half, low + up * step)
            for right in (0, 1)
            for up in (0, 1)
        ]
        cells.append("O" if any(corners) and not all(corners) else behind)
    lock = picture.bottom_m + picture.loop.height_m * 0.75
    if low <= lock < low + step:
        # Two o'clock is sixty degrees from the top: half the half height up, 0.866 of the half width out.
        column = int((0.866 * picture.loop.width_m / 2.0 - left) / half)
        cells[min(width - 1, column)] = "@"
    return "".join(cells)


def _inside(picture: LoopPicture, x: float, y: float) -> bool:
    oval = picture.loop
    across, up = 2.0 * x / oval.width_m, 2.0 * (y - picture.bottom_m) / oval.height_m - 1.0
    return across**2 + up**2 < 1.0


def _met(reach: Reach, low: float, high: float) -> bool:
    return reach.low_m < high and reach.high_m >= low


def _snow(picture: LoopPicture, low: float, high: float) -> str:
    middle = (low + high) / 2.0
    over = middle - picture.log_m
    if over < 0.0:
        return "#"
    if over < picture.base_m:
        return "/"
    return "." if over < picture.base_m + picture.new_m else ""


def _step(top_m: float, rows: int, units: Units) -> float:
    unit = METRES_PER_INCH if units is Units.US else 0.01
    steps: Sequence[int] = (1, 2, 3, 4, 6, 12, 24, 48) if units is Units.US else (2, 5, 10, 20, 50, 100)
    return next((n * unit for n in steps if top_m / (n * unit) <= rows), steps[-1] * unit)
