"""Owns a type of device as built: what it is made of, where its stops sit, its reach, weight and cost.

Does not own reading its file (`jobs.gear_file`), the law (`rules`) or how strong it is (`gear.chain`).

Along the cable everything is counted from its tip, the end that is held by the lock. With the loop drawn to a
stop, the way round it is the cable from the tip to that stop and the length of the lock between them.
"""

import math
from dataclasses import dataclass, field

from tendline.almanac.cable import mass_per_metre
from tendline.almanac.loops import across_of
from tendline.almanac.reach import Circle, reach_circle
from tendline.core.errors import FaultList
from tendline.gear.faults import FIGURE, LOOPS, TOO_SHORT


@dataclass(frozen=True)
class Cable:
    """The cable as cut: how laid, of what, how thick and how long [m]."""

    make: str
    material: str
    diameter_m: float
    length_m: float


@dataclass(frozen=True)
class PartUsed:
    """A kind of part in a build: how many, what one weighs [kg] and costs; None where nobody said."""

    name: str
    count: int = 1
    mass_kg: float | None = None
    cost: float | None = None


@dataclass(frozen=True)
class Build:
    """A type of device.

    Parameters
    ----------
    name
        What the person calls it.
    cable
        As cut.
    largest_m, smallest_m
        Length round the largest and the smallest loop [m]; `smallest_m` None where it has no such stop.
    lock_m
        Length that the lock, with the breakaway where it sits there, adds to the way round the loop [m].
    tip_m, end_m
        Cable used up by the fitting at the tip, and by the eye at the anchor end [m].
    extension_m
        Chain or cable between anchor and device [m]; None where nobody said.
    parts
        Every part but the cable, for weight and cost.
    cable_cost_per_m
        None where nobody said.
    """

    name: str
    cable: Cable
    largest_m: float
    smallest_m: float | None
    lock_m: float = 0.0
    tip_m: float = 0.0
    end_m: float = 0.0
    extension_m: float | None = None
    parts: tuple[PartUsed, ...] = field(default_factory=tuple)
    cable_cost_per_m: float | None = None


@dataclass(frozen=True)
class Sum:
    """A total, and the parts that were left out of it because nobody said."""

    total: float
    missing: tuple[str, ...] = ()


@dataclass(frozen=True)
class Laid:
    """A build laid out; lengths along the cable from its tip as cut [m].

    Parameters
    ----------
    largest_stop_m, smallest_stop_m
        Where the lock comes to rest against each stop.
    largest_across_m, smallest_across_m
        The loops as widths of circles.
    to_lock_open_m, to_lock_m
        From the inside of the eye at the anchor end to the lock, loop at its largest and at its smallest.
    circle
        What a held animal reaches on level ground.
    mass, cost
        Totals [kg] and in the person's own money.
    """

    largest_stop_m: float
    smallest_stop_m: float | None
    largest_across_m: float
    smallest_across_m: float | None
    to_lock_open_m: float
    to_lock_m: float
    circle: Circle
    mass: Sum
    cost: Sum


def lay_out(build: Build) -> Laid:
    """Work out where everything sits on a build.

    Raises
    ------
    Refused
        GEAR-101 for loops that do not fit each other, GEAR-105 for figures that cannot be, GEAR-107 for a
        cable too short for its loop; all together.
    """
    _check(build)
    far = build.tip_m + build.largest_m - build.lock_m
    near = None if build.smallest_m is None else build.tip_m + build.smallest_m - build.lock_m
    inner = build.cable.length_m - build.end_m
    to_lock = inner - (near if near is not None else build.tip_m)
    return Laid(
        largest_stop_m=far,
        smallest_stop_m=near,
        largest_across_m=across_of(build.largest_m),
        smallest_across_m=None if build.smallest_m is None else across_of(build.smallest_m),
        to_lock_open_m=inner - far,
        to_lock_m=to_lock,
        circle=reach_circle(to_lock, extension_m=build.extension_m, slope_deg=0.0),
        mass=_mass(build),
        cost=_cost(build),
    )


def _check(build: Build) -> None:
    faults = FaultList()
    positive = (("cable.length", build.cable.length_m), ("loop.largest", build.largest_m))
    spare = (("lock.length", build.lock_m), ("cable.tip", build.tip_m), ("cable.eye", build.end_m))
    for name, metres in positive:
        if not (math.isfinite(metres) and metres > 0.0):
            faults.add(FIGURE, f"{name} must be more than nothing.", build.name, "Give its length.")
    for name, metres in (*spare, ("anchor.extension", build.extension_m or 0.0)):
        if not (math.isfinite(metres) and metres >= 0.0):
            faults.add(FIGURE, f"{name} cannot be less than nothing.", build.name, "Give its length.")
    if build.smallest_m is not None and build.largest_m <= build.smallest_m:
        what = f"its largest loop, {_cm(build.largest_m)} round, is not larger than its smallest, "
        faults.add(
            LOOPS,
            what + f"{_cm(build.smallest_m)} round.",
            build.name,
            "Look whether one was given across and the other round.",
        )
    shortest = build.smallest_m if build.smallest_m is not None else build.largest_m
    if build.lock_m >= shortest > 0.0:
        what = f"the lock, {_cm(build.lock_m)}, is as long as the way round the smallest loop."
        faults.add(FIGURE, what, build.name, "Measure the lock between the two holes of the cable.")
    needed = build.tip_m + build.largest_m - build.lock_m + build.end_m
    if build.cable.length_m < needed and not faults.found:
        what = (
            f"{_cm(build.cable.length_m)} of cable do not reach round its largest loop: {_cm(needed)} needed."
        )
        faults.add(TOO_SHORT, what, build.name, "Cut it longer or make the loop smaller.")
    faults.refuse()


def _cm(metres: float) -> str:
    return f"{metres * 100:.1f} cm ({metres / 0.0254:.1f} in)"


def _mass(build: Build) -> Sum:
    per_metre = mass_per_metre(build.cable.make, build.cable.diameter_m)
    total = (per_metre or 0.0) * build.cable.length_m
    missing = [] if per_metre is not None else ["cable"]
    for part in build.parts:
        total += part.count * (part.mass_kg or 0.0)
        missing += [part.name] if part.mass_kg is None and part.count else []
    return Sum(total, tuple(missing))


def _cost(build: Build) -> Sum:
    total = (build.cable_cost_per_m or 0.0) * build.cable.length_m
    missing = [] if build.cable_cost_per_m is not None else ["cable"]
    for part in build.parts:
        total += part.count * (part.cost or 0.0)
        missing += [part.name] if part.cost is None and part.count else []
    return Sum(total, tuple(missing))
