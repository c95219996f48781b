"""Owns an anchor as a link of the chain: thawed by the soil, frozen as a note, or by the person's own pull.

Does not own the formulas (`almanac.anchors`).
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from tendline.almanac.anchors import CLAYS, clay_named, plate_holding, rod_holding, screw_holding
from tendline.core.errors import FaultList
from tendline.core.source import Status
from tendline.gear.chain import Link
from tendline.gear.faults import FIGURE, WORD


class AnchorMake(StrEnum):
    """How an anchor holds."""

    PLATE = "plate"
    ROD = "rod"
    SCREW = "screw"


@dataclass(frozen=True)
class Anchor:
    """An anchor and the ground it is in.

    Parameters
    ----------
    make
        Plate, rod or screw.
    soil
        A clay of `almanac.anchors.CLAYS`, ``class 5``, ``sand``; empty where nobody said.
    long_m, wide_m
        Of a plate, its sides [m]; of a rod, length in the ground and thickness [m].
    torque_nm
        Of a screw: the torque it was turned in with [N m].
    frozen
        The ground is frozen now.
    pulled_n
        A pull it stood in thawed ground [N]; None without one.
    """

    make: AnchorMake
    soil: str = ""
    long_m: float = 0.0
    wide_m: float = 0.0
    torque_nm: float = 0.0
    frozen: bool = False
    pulled_n: float | None = None


def anchor_links(anchor: Anchor) -> tuple[Link, ...]:
    """Give the anchor as links: thawed always, frozen beside it where it is frozen now.

    Frozen ground holds more, by how much no source read says, and all of that goes with the thaw: the chain
    is judged by the thawed soil.

    Raises
    ------
    Refused
        GEAR-104 for a soil that is not known, GEAR-105 for sizes that cannot be.
    """
    _check(anchor)
    thawed = _thawed(anchor)
    if not anchor.frozen:
        return (thawed,)
    said = "frozen ground holds more than the same soil thawed, by how much is not known; re-test in a thaw"
    return thawed, Link("anchor, frozen", None, None, Status.UNKNOWN, said)


def _check(anchor: Anchor) -> None:
    faults = FaultList()
    soil = anchor.soil.strip().lower()
    if soil and not _is_sand(soil) and clay_named(soil) is None and not _is_class(soil):
        words = ", ".join([*CLAYS, "sand", "class 1 to class 8"])
        faults.add(WORD, f"'{anchor.soil}' is no soil.", "anchor.soil", f"Soils: {words}.")
    sizes = [anchor.torque_nm] if anchor.make is AnchorMake.SCREW else [anchor.long_m, anchor.wide_m]
    sizes += [] if anchor.pulled_n is None else [anchor.pulled_n]
    if not all(math.isfinite(size) and size > 0.0 for size in sizes):
        what = f"a {anchor.make.value} needs its sizes, each more than nothing."
        faults.add(FIGURE, what, "anchor", "Give length and width, or for a screw the torque.")
    faults.refuse()


def _thawed(anchor: Anchor) -> Link:
    name = f"anchor ({anchor.make.value}), thawed"
    if anchor.pulled_n is not None:
        return Link(name, anchor.pulled_n, None, Status.TEXT, "it stood your own pull: at least that")
    if anchor.make is AnchorMake.SCREW:
        load = screw_holding(anchor.torque_nm)
        return Link(name, load, load, Status.MEMORY, "torque rule, factor from memory; pull it to know")
    clay = clay_named(anchor.soil)
    if clay is None:
        said = "no figure read for this soil, or none was said: pull it with a scale"
        return Link(name, None, None, Status.UNKNOWN, said)
    low, high = (_holding(anchor, pascals) for pascals in (clay.low_pa, clay.high_pa))
    said = f"{clay.name} ({clay.sign}), formula for larger anchors with a factor from memory; pull it to know"
    return Link(name, low, high, Status.MEMORY, said)


def _holding(anchor: Anchor, pascals: float) -> float:
    if anchor.make is AnchorMake.PLATE:
        return plate_holding(pascals, anchor.long_m * anchor.wide_m)
    return rod_holding(pascals, anchor.wide_m, anchor.long_m)


def _is_sand(soil: str) -> bool:
    return soil in ("sand", "gravel", "sand or gravel")


def _is_class(soil: str) -> bool:
    return soil.startswith("class ") and soil[6:] in tuple("12345678")
