"""Owns the heights of one loop above every surface a law may measure from, now, out of the record.

Does not own the arithmetic (`almanac.datum`, `almanac.loops`) or the limits (`rules`).
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from tendline.almanac.datum import Base, Height, Snow, height_above
from tendline.almanac.loops import top_range
from tendline.core.line import HeightSeen, SetState, SnowSeen
from tendline.core.words import Surface
from tendline.rules.facts import Datum, Measure

_SNOWY = (Surface.PACKED_SNOW, Surface.CRUST, Surface.LOOSE_SNOW, Surface.BOOTPRINT)


@dataclass(frozen=True)
class Heights:
    """Heights of one loop now.

    Parameters
    ----------
    bottom, top
        By the surface measured from [m]; one that cannot be told is not there.
    missing
        For each that is not there, why: ``bottom above the ground: ...: measure again``.
    snow_at_set
        Whether snow lies under it; None when nobody noted it.
    """

    bottom: dict[Datum, Measure] = field(default_factory=dict)
    top: dict[Datum, Measure] = field(default_factory=dict)
    missing: tuple[str, ...] = ()
    snow_at_set: bool | None = None


def heights_of(one: SetState, snow: Iterable[SnowSeen]) -> Heights:
    """Give the heights of a loop above every surface that can be told.

    Parameters
    ----------
    one
        The set.
    snow
        All that was noted of the snow, any order: what was noted at another set or parcel is passed over.

    Returns
    -------
    Heights
        The top is as measured; where it was not, it is worked out of the bottom and the loop as hung,
        anywhere from a round loop to a long oval.
    """
    here = [s for s in snow if is_here(s, one)]
    bottom, missing = _above_all(one.bottom, here, what="bottom")
    top, top_missing = _above_all(one.top, here, what="top")
    if one.top is None and one.loop_m is not None:
        top = {datum: _top_from(height, one.loop_m) for datum, height in bottom.items()}
        top_missing = []
    said = tuple(dict.fromkeys([*missing, *top_missing]))
    return Heights(bottom, top, said, _snow_at_set(one, here))


def is_here(snow: SnowSeen, one: SetState) -> bool:
    """Say whether a word on the snow is about the place of a set."""
    return snow.set_name == one.name if snow.set_name else snow.parcel in ("", one.parcel)


def _above_all(
    seen: HeightSeen | None, snow: list[SnowSeen], *, what: str
) -> tuple[dict[Datum, Measure], list[str]]:
    if seen is None:
        why = f"the {what} of the loop has not been measured since it was last hung: measure again"
        return {}, [why]
    later = max((s for s in snow if s.at > seen.at), key=lambda s: s.at, default=None)
    found: dict[Datum, Measure] = {}
    missing = []
    for base in Base:
        height = height_above(
            base,
            seen.metres,
            measured=Snow(seen.snow_m, seen.surface),
            later=None if later is None else Snow(later.depth_m, later.surface, later.new_m),
        )
        if height.known:
            found[Datum(base.value)] = _as_measure(height, seen, later)
        else:
            missing.append(f"{what} above the {base.value.replace('-', ' ')}: {height.why}")
    return found, missing


def _as_measure(found: Height, seen: HeightSeen, later: SnowSeen | None) -> Measure:
    assert found.low_m is not None
    assert found.high_m is not None
    when = f"measured {seen.at:%Y-%m-%d}"
    if later is not None:
        where = "at the set" if later.set_name else "on the parcel" if later.parcel else "for the whole line"
        when += f", snow noted {later.at:%Y-%m-%d} {where}; drifts differ"
    middle = (found.low_m + found.high_m) / 2.0
    return Measure(middle, found.low_m, found.high_m, how=f"{found.why}; {when}")


def _top_from(bottom: Measure, loop_m: float) -> Measure:
    low, high = top_range(bottom.least, loop_m), top_range(bottom.most, loop_m)
    how = f"top not measured: bottom and loop, round to oval; {bottom.how}"
    return Measure((low.low_m + high.high_m) / 2.0, low.low_m, high.high_m, how=how)


def _snow_at_set(one: SetState, snow: list[SnowSeen]) -> bool | None:
    """Say whether there is snow under a set by the newest word on it; a snowy surface is a word as well."""
    words = [(s.at, s.depth_m, s.surface) for s in snow]
    words += [(h.at, h.snow_m, h.surface) for h in (one.bottom, one.top) if h is not None]
    for _, depth, surface in sorted(words, key=lambda w: w[0], reverse=True):
        if depth is not None:
            return depth > 0
        if surface in _SNOWY:
            return True
    return None
