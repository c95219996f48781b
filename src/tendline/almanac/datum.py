"""Owns carrying a height over from the surface it was measured from to another surface, and to another day.

Does not own which surface a law measures from (`rules`) or how snow will change (weather).

The loop hangs from its support: its height above the ground stays, the snow under it comes and goes. So a
height is first brought down to the ground and then up to the surface wanted, each step with its range. Wind
drifts overrule all of this: a set can be bare or buried after one storm.
"""

from dataclasses import dataclass
from enum import StrEnum

from tendline.core.words import Surface

PACKED_LEAST, PACKED_MOST = 8 / 30, 8 / 20
"""Share of its depth that new snow keeps when it is trodden down: 8 % water before, 20 to 30 % after
(encyclopaedia figures for new and settled snow; six inches become about 1.6 to 2.4)."""

_HARD = (Surface.GROUND, Surface.ICE, Surface.PACKED_SNOW, Surface.CRUST)


class Base(StrEnum):
    """The surface a height is wanted from."""

    GROUND = "ground"
    FIRST_HARD = "first-hard-surface"
    PACKED_SNOW = "packed-snow"
    FOOTPRINT = "footprint"
    SNOW_SURFACE = "snow-surface"


@dataclass(frozen=True)
class Snow:
    """Snow at a place at one moment.

    Parameters
    ----------
    depth_m
        From the ground to the top [m]; None when nobody noted it.
    surface
        What its top is like; None when nobody noted it.
    new_m
        Of that, what fell last and still lies loose [m]; None when nobody noted it.
    """

    depth_m: float | None = None
    surface: Surface | None = None
    new_m: float | None = None


@dataclass(frozen=True)
class Height:
    """A height within bounds [m], or the reason why it must be measured again.

    Parameters
    ----------
    low_m, high_m
        Bounds [m]; both None where it cannot be told. May be negative: the snow is above it.
    why
        In words, for a person: how it was worked out, or what is missing.
    """

    low_m: float | None
    high_m: float | None
    why: str

    @property
    def known(self) -> bool:
        """Whether it can be told at all."""
        return self.low_m is not None


_Bounds = tuple[float, float]


def height_above(base: Base, height_m: float, *, measured: Snow, later: Snow | None = None) -> Height:
    """Give what a height measured from one surface comes to above another, now.

    Parameters
    ----------
    base
        The surface it is wanted from.
    height_m
        As measured [m].
    measured
        The snow then; its `surface` is what the height was measured from.
    later
        The snow now; None when nobody has noted any change since.

    Returns
    -------
    Height
        A range, as wide as what is not known makes it; or a reason to measure again.

    References
    ----------
    h(t) = h_set - (D(t) - D_ref), D the height of the surface wanted above the ground. That new snow does not
    count until it is packed or crusted, and that a footprint goes down to what bears a person: common
    practice, no source. Shares of packed snow: see `PACKED_LEAST`.
    """
    if measured.surface is None:
        return _unknown("nobody noted what it was measured from")
    if later is None and _same(base, measured):
        return Height(height_m, height_m, f"as measured from {_words(measured.surface)}")
    if base is Base.GROUND and measured.surface is Surface.ICE:
        return _unknown("it was measured from ice, and how high that lies above the ground is not known")
    below = _measured_from(measured)
    if below is None:
        return _unknown(
            f"it was measured from {_words(measured.surface)}, and the depth of snow was not noted"
        )
    above = _base_now(base, measured, later)
    if above is None:
        return _unknown("the depth of snow there now is not noted")
    low, high = height_m + below[0] - above[1], height_m + below[1] - above[0]
    when = "by the snow noted since" if later is not None else "by the snow noted with it"
    return Height(
        low, high, f"measured from {_words(measured.surface)}, carried over to {_name(base)} {when}"
    )


def _unknown(why: str) -> Height:
    return Height(None, None, f"{why}: measure again")


def _same(base: Base, measured: Snow) -> bool:
    """Say whether a height was measured from the very surface that is wanted."""
    surface, bare = measured.surface, measured.depth_m == 0.0
    if bare and surface is not Surface.ICE:
        return True
    match base:
        case Base.GROUND:
            return surface is Surface.GROUND
        case Base.FIRST_HARD:
            return surface in _HARD and (surface is not Surface.GROUND or measured.depth_m is None)
        case Base.PACKED_SNOW:
            return surface is Surface.PACKED_SNOW
        case Base.FOOTPRINT:
            return surface in (Surface.BOOTPRINT, Surface.PACKED_SNOW, Surface.ICE)
        case Base.SNOW_SURFACE:
            return surface in (Surface.PACKED_SNOW, Surface.CRUST, Surface.LOOSE_SNOW, Surface.ICE)


def _measured_from(measured: Snow) -> _Bounds | None:
    """Give how high above the ground, or the ice, the surface lay that was measured from [m]."""
    depth = measured.depth_m
    if measured.surface in (Surface.GROUND, Surface.ICE):
        return 0.0, 0.0
    if depth is None:
        return None
    if measured.surface is Surface.BOOTPRINT:
        return PACKED_LEAST * depth, depth
    return depth, depth


def _base_now(base: Base, measured: Snow, later: Snow | None) -> _Bounds | None:
    """Give how high above the ground, or the ice, the surface wanted lies now [m]."""
    now = later if later is not None else measured
    if base is Base.GROUND or now.depth_m == 0.0:
        return 0.0, 0.0
    if now.depth_m is None:
        return None
    floor = _old_floor(measured, now) if later is not None else 0.0
    match base:
        case Base.FIRST_HARD:
            return _hard(now, floor, (Surface.PACKED_SNOW, Surface.CRUST))
        case Base.PACKED_SNOW:
            return _hard(now, floor, (Surface.PACKED_SNOW,))
        case Base.FOOTPRINT:
            return _footprint(now)
    return now.depth_m, now.depth_m


def _old_floor(measured: Snow, now: Snow) -> float:
    """Give how high a packed trail that was measured from still lies, at least [m]: 0 once it has shrunk."""
    depth = measured.depth_m
    stands = measured.surface is Surface.PACKED_SNOW and depth is not None and _under_new(now) >= depth
    return depth if stands and depth is not None else 0.0


def _under_new(now: Snow) -> float:
    """Give the depth of what lies under the loose new snow, at most [m]."""
    depth = now.depth_m or 0.0
    loose = now.new_m if now.surface is Surface.LOOSE_SNOW and now.new_m is not None else 0.0
    return max(0.0, depth - loose)


def _hard(now: Snow, floor: float, holds: tuple[Surface, ...]) -> _Bounds:
    depth = now.depth_m or 0.0
    if now.surface in holds:
        return depth, depth
    high = _under_new(now)
    return min(floor, high), high


def _footprint(now: Snow) -> _Bounds:
    depth = now.depth_m or 0.0
    if now.surface is Surface.PACKED_SNOW:
        return depth, depth
    old = _under_new(now)
    return PACKED_LEAST * depth, old + PACKED_MOST * (depth - old)


def _words(surface: Surface | None) -> str:
    return str(surface.value).replace("-", " ") if surface is not None else "an unknown surface"


def _name(base: Base) -> str:
    return {
        Base.GROUND: "the ground",
        Base.FIRST_HARD: "the first hard surface",
        Base.PACKED_SNOW: "packed snow",
        Base.FOOTPRINT: "a footprint",
        Base.SNOW_SURFACE: "the top of the snow",
    }[base]
