"""Owns the loop for an animal, a place, the snow and a law: its size and where it hangs, as ranges.

Does not own the tables (`almanac.loop_tables`), the law (`rules`; its limits are handed in) or the picture.

All heights are first brought to the ground. Where animal and law disagree both are told, and the law binds.
"""

from dataclasses import dataclass, replace

from tendline.almanac.datum import Base
from tendline.almanac.loop_tables import LOCK_CLOCK, Recommended, cable_band, hull
from tendline.almanac.loops import Oval, Reach, hung_oval, round_of
from tendline.core.words import PlaceKind
from tendline.gear.snowpack import Pack


@dataclass(frozen=True)
class HeightLimit:
    """One limit of a law on a height: of the loop's bottom or top [m], above a surface; None where open."""

    part: str
    base: Base
    low_m: float | None
    high_m: float | None
    words: str


@dataclass(frozen=True)
class LoopLaw:
    """What a law says of the loop.

    Parameters
    ----------
    profile
        Its name.
    open_most_m
        Widest loop, as a circle [m]; None where no limit is held.
    stop_least_m
        Width, as a circle, below which it may not close [m]; None where no limit is held.
    heights
        Limits on heights.
    said
        What must be told with it: rules that hang on a condition, what is not held.
    verified
        Whether the person has confirmed the profile and every value may bind.
    """

    profile: str
    open_most_m: float | None = None
    stop_least_m: float | None = None
    heights: tuple[HeightLimit, ...] = ()
    said: tuple[str, ...] = ()
    verified: bool = False


@dataclass(frozen=True)
class LoopAdvice:
    """A loop for an animal under a law; lengths [m].

    Parameters
    ----------
    animal, where
        As asked.
    pack
        Snow at the set.
    law
        Its limits, less those on a height that cannot be told; None where no profile is in use.
    rows
        Every source the animal's ranges rest on.
    across
        Width as a circle, what suits the animal and the law allows.
    animal_across
        Width as a circle that suits the animal.
    around
        Length round the loop, for `across`.
    ovals
        The smallest and the largest loop as they may hang, at their longest.
    walked_on
        Where the animal's feet come to rest, above the ground.
    animal_bottom
        Lowest point of the loop above the ground, as suits the animal.
    law_bottom
        The same, as keeps the law for sure with the largest loop of `across`; None where no limit is held.
    bottom
        The same, both together; where they disagree, the law's.
    top
        Highest point of the loop above the ground, round to oval.
    cable
        Cable diameters recommended; None where no source names one.
    lock
        Where the lock sits.
    agree
        Whether law and animal leave something in common.
    said
        What must be told, in plain sentences.
    """

    animal: str
    where: PlaceKind
    pack: Pack
    law: LoopLaw | None
    rows: tuple[Recommended, ...]
    across: Reach
    animal_across: Reach
    around: Reach
    ovals: tuple[Oval, Oval]
    walked_on: Reach
    animal_bottom: Reach
    law_bottom: Reach | None
    bottom: Reach
    top: Reach
    cable: Reach | None
    lock: str
    agree: bool
    said: tuple[str, ...]

    def above(self, base: Base) -> Reach:
        """Give `bottom` as measured from a surface of the law [m]."""
        return _less(self.bottom, self.pack.surface(base))

    def above_walked(self) -> Reach:
        """Give `bottom` as the animal meets it [m]."""
        return _less(self.bottom, self.walked_on)


def advise(
    animal: str,
    where: PlaceKind,
    *,
    rows: tuple[Recommended, ...],
    pack: Pack,
    law: LoopLaw | None,
) -> LoopAdvice:
    """Work out the loop for an animal.

    Parameters
    ----------
    animal, where
        What it is for.
    rows
        What tables, custom and the person's own measures recommend; one at least.
    pack
        Snow at the set.
    law
        Its limits; None where no profile is in use.

    Returns
    -------
    LoopAdvice

    Raises
    ------
    Refused
        GEAR-103 for snow that cannot be.
    """
    pack.check()
    law = _over_log(law, pack)
    wanted = hull(tuple(row.across for row in rows))
    above = hull(tuple(row.bottom for row in rows))
    walked = pack.walked_on()
    animal_bottom = Reach(walked.low_m + above.low_m, walked.high_m + above.high_m)
    across, said = _size(wanted, law)
    ovals = hung_oval(round_of(across.low_m)), hung_oval(round_of(across.high_m))
    law_bottom = _law_bottom(law, pack, ovals[1].height_m)
    bottom, agree = _both(animal_bottom, law_bottom)
    said += [*_told(animal, law, law_bottom, agree=agree), *_of_place(where, pack)]
    return LoopAdvice(
        animal=animal,
        where=where,
        pack=pack,
        law=law,
        rows=rows,
        across=across,
        animal_across=wanted,
        around=Reach(round_of(across.low_m), round_of(across.high_m)),
        ovals=ovals,
        walked_on=walked,
        animal_bottom=animal_bottom,
        law_bottom=law_bottom,
        bottom=bottom,
        top=Reach(bottom.low_m + across.low_m, bottom.high_m + ovals[1].height_m),
        cable=cable_band(animal),
        lock=LOCK_CLOCK,
        agree=agree and across.high_m >= wanted.low_m,
        said=tuple(said),
    )


def _less(height: Reach, surface: Reach) -> Reach:
    return Reach(height.low_m - surface.high_m, height.high_m - surface.low_m)


def _size(wanted: Reach, law: LoopLaw | None) -> tuple[Reach, list[str]]:
    most = law.open_most_m if law is not None else None
    if law is None or most is None or most >= wanted.high_m:
        return wanted, []
    if most >= wanted.low_m:
        return Reach(wanted.low_m, most), [f"{law.profile} cuts the widest loop that suits the animal"]
    return Reach(most, most), [
        f"no loop that suits the animal is narrow enough for {law.profile}: the law binds"
    ]


def _law_bottom(law: LoopLaw | None, pack: Pack, tallest_m: float) -> Reach | None:
    """Give where the bottom keeps every limit for sure; an upside-down range where nothing does."""
    if law is None or not law.heights:
        return None
    low, high = 0.0, float("inf")
    for limit in law.heights:
        surface = pack.surface(limit.base)
        # The top is at least as high as the loop is wide, and at most as high as its longest oval.
        rise = tallest_m if limit.part == "top" else 0.0
        if limit.low_m is not None:
            low = max(low, limit.low_m + surface.high_m)
        if limit.high_m is not None:
            high = min(high, limit.high_m + surface.low_m - rise)
    return Reach(low, high)


def _both(animal: Reach, law: Reach | None) -> tuple[Reach, bool]:
    if law is None:
        return animal, True
    low, high = max(animal.low_m, law.low_m), min(animal.high_m, law.high_m)
    if low <= high + 1e-9:
        return Reach(min(low, high), high), True
    if law.low_m > law.high_m:
        return law, False
    # Of what the law allows, the end nearest to what suits the animal.
    near = law.low_m if animal.high_m < law.low_m else law.high_m
    return Reach(near, near), False


def _told(animal: str, law: LoopLaw | None, law_bottom: Reach | None, *, agree: bool) -> list[str]:
    if law is None:
        return ["no rule profile is in use: what the law says is not verified, and that is not 'allowed'"]
    said = list(law.said)
    if law_bottom is None:
        said.append(f"{law.profile} holds no limit on height: not verified, and that is not 'allowed'")
    elif law_bottom.low_m > law_bottom.high_m:
        said.append(f"no height keeps {law.profile} for sure with the largest loop: take a smaller one")
    elif not agree:
        said.append(f"where {animal} and {law.profile} disagree on height, the law binds")
    if law.open_most_m is None:
        said.append(f"{law.profile} holds no limit on the open loop: not verified")
    return said


def _over_log(law: LoopLaw | None, pack: Pack) -> LoopLaw | None:
    """Leave out limits above ground or footprint where nobody measured how high the log lies, and say so."""
    if law is None or pack.raised_m is not None:
        return law
    kept = tuple(limit for limit in law.heights if limit.base not in (Base.GROUND, Base.FOOTPRINT))
    if len(kept) == len(law.heights):
        return law
    what = f"{law.profile} measures from the ground too: not told until you give the height of the log"
    return replace(law, heights=kept, said=(*law.said, what))


def _of_place(where: PlaceKind, pack: Pack) -> list[str]:
    match where:
        case PlaceKind.UNDER_FENCE:
            return ["some laws bar a restraint near or on a fence: tendline lawful judges the set"]
        case PlaceKind.LOG_CROSSING:
            top = "" if pack.raised_m is not None else ", all heights from the top of the log"
            return [f"hung over the log as on a trail{top} (common practice, no source)"]
    return []
