"""Owns the loop clock, the sign of tendline: how it is read, drawn as SVG, and said in a terminal.

Does not own the limits it shows, which the rules give, nor where it stands on a page.

The sign is an open ring. The thick arc is the share of the legal interval that is left; time eats it
clockwise from the gap, which stands at the two-o'clock side. A number and a word always stand beside it, so
that neither colour nor the eye for a small arc carries the meaning alone:

    arc on a thin ring      so much is left
    thin ring, struck out   the limit has passed
    dashed ring, question   the share is not known, or the rule is not verified
    thin ring with a bar    no clock runs
"""

import math
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from xml.sax.saxutils import quoteattr

from tendline.report.say import stretch

GAP_AT_DEG = 60.0
"""Where the gap is centred, clockwise from twelve [degrees]: two o'clock."""
GAP_DEG = 44.0
"""How wide the gap is [degrees]."""
FULL_DEG = 360.0 - GAP_DEG
"""The arc of a whole interval [degrees]."""

_CENTRE = 12.0
_RADIUS = 9.0
_THICK = 4.2
_THIN = 0.9


class Reading(StrEnum):
    """The word that stands beside the ring."""

    LEFT = "left"
    TIGHT = "tight"
    LATE = "late"
    NOT_VERIFIED = "not verified"
    NO_CLOCK = "no clock"


@dataclass(frozen=True)
class LoopClock:
    """What the sign shows.

    Parameters
    ----------
    reading
        The word.
    share
        Of the interval still left, 0 to 1; None when it is not known, or no clock runs.
    left_s
        To the limit [s], negative once it has passed; None when there is none.
    """

    reading: Reading
    share: float | None
    left_s: float | None

    @property
    def number(self) -> str:
        """The number beside the ring: ``3 h 10``; empty when there is none."""
        return "" if self.left_s is None else stretch(abs(self.left_s))


def read_clock(
    *, began: datetime | None, due: datetime | None, at: datetime, verified: bool, tight_s: float = 0.0
) -> LoopClock:
    """Read the sign at one instant.

    Parameters
    ----------
    began
        When the running interval began, UTC; None when no record says.
    due
        When it ends, UTC; None when no clock runs or none is known.
    at
        The instant of reading, UTC.
    verified
        Whether the rule is confirmed. Lateness is told all the same.
    tight_s
        With less than this left the word is "tight" [s].

    Returns
    -------
    LoopClock
        Its share is None unless the rule is verified and `began` is known.
    """
    if due is None:
        return LoopClock(Reading.NO_CLOCK if verified else Reading.NOT_VERIFIED, None, None)
    left_s = (due - at).total_seconds()
    if left_s < 0:
        return LoopClock(Reading.LATE, 0.0, left_s)
    if not verified:
        return LoopClock(Reading.NOT_VERIFIED, None, left_s)
    word = Reading.TIGHT if left_s < tight_s else Reading.LEFT
    whole_s = (due - began).total_seconds() if began is not None else 0.0
    return LoopClock(word, min(1.0, left_s / whole_s) if whole_s > 0 else None, left_s)


def loop_clock_svg(
    share: float | None, *, late: bool = False, stopped: bool = False, size: float = 24.0, ink: str = "black"
) -> str:
    """Draw the sign as a piece of SVG, in one ink, without letters.

    Parameters
    ----------
    share
        Of the interval still left, 0 to 1 (beyond is cut to that); None when it is not known.
    late
        The limit has passed: struck out, whatever the share.
    stopped
        No clock runs.
    size
        Width and height.
    ink
        Any SVG colour; ``currentColor`` to take the colour of the text around it.
    """
    if late:
        body, name = _ring(_THIN, ink) + _bar(GAP_AT_DEG - 90.0, 11.5, ink), "the limit has passed"
    elif stopped:
        body, name = _ring(_THIN, ink) + _bar(90.0, 4.0, ink), "no clock runs"
    elif share is None or math.isnan(share):
        body, name = _ring(1.6, ink, dashes="2.6 2.2") + _question(ink), "not known how much is left"
    else:
        share = min(1.0, max(0.0, share))
        body = _ring(_THIN, ink) + _arc(FULL_DEG * (1.0 - share), FULL_DEG, _THICK, ink)
        name = f"{math.floor(share * 100)} per cent of the interval left"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24" width="{size:g}" height="{size:g}" '
        f'role="img" aria-label={quoteattr(name)}>{body}</svg>'
    )


def draw(clock: LoopClock, *, size: float = 24.0, ink: str = "black") -> str:
    """Draw the sign for a reading, as SVG."""
    return loop_clock_svg(
        clock.share,
        late=clock.reading is Reading.LATE,
        stopped=clock.reading is Reading.NO_CLOCK,
        size=size,
        ink=ink,
    )


def mark(clock: LoopClock, *, ascii_only: bool = False) -> str:
    """Give the sign as one character, for a terminal.

    A circle filled by the nearest quarter, ``×`` when late, ``?`` when not known, ``-`` when no clock runs.
    With `ascii_only`, the tenths that are left, cut, as ``9`` to ``0``, and ``!`` when late.
    """
    if clock.reading is Reading.LATE:
        return "!" if ascii_only else "×"
    if clock.reading is Reading.NO_CLOCK:
        return "-"
    if clock.share is None:
        return "?"
    return str(min(9, int(clock.share * 10))) if ascii_only else "○◔◑◕●"[math.floor(clock.share * 4 + 0.5)]


def loop_clock_text(clock: LoopClock, *, ascii_only: bool = False) -> str:
    """Say the sign in a terminal: ``◕ 18 h 20 left``, ``× 35 min late``, ``? not verified``."""
    return " ".join(
        part for part in (mark(clock, ascii_only=ascii_only), clock.number, clock.reading.value) if part
    )


def _point(degrees: float, radius: float = _RADIUS) -> str:
    angle = math.radians(degrees)
    return f"{_CENTRE + radius * math.sin(angle):.3f} {_CENTRE - radius * math.cos(angle):.3f}"


def _ring(width: float, ink: str, *, dashes: str = "") -> str:
    return _arc(0.0, FULL_DEG, width, ink, dashes=dashes)


def _arc(first: float, last: float, width: float, ink: str, *, dashes: str = "") -> str:
    """Draw from `first` to `last` degrees, clockwise from the far edge of the gap; nothing when they meet."""
    if last - first < 0.05:
        return ""
    zero = GAP_AT_DEG + GAP_DEG / 2
    large = 1 if last - first > 180.0 else 0
    dash = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<path d="M {_point(zero + first)} A {_RADIUS:g} {_RADIUS:g} 0 {large} 1 {_point(zero + last)}" '
        f'fill="none" stroke={quoteattr(ink)} stroke-width="{width:g}"{dash}/>'
    )


def _bar(degrees: float, half: float, ink: str) -> str:
    return (
        f'<path d="M {_point(degrees, -half)} L {_point(degrees, half)}" '
        f'fill="none" stroke={quoteattr(ink)} stroke-width="3"/>'
    )


def _question(ink: str) -> str:
    """Draw a question mark out of strokes, so that no font is needed."""
    return (
        f'<path d="M 9.3 9.8 A 2.75 2.6 0 1 1 12 12.2 L 12 14" fill="none" stroke={quoteattr(ink)} '
        f'stroke-width="1.8"/><path d="M 11 15.4 L 13 15.4 L 13 17.4 L 11 17.4 Z" fill={quoteattr(ink)}/>'
    )
