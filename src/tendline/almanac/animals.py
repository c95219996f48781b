"""Owns how tall the animals are that meet a loop, as ranges, each with where it is known from.

Does not own the loop that suits them (`almanac.loop_tables`) or how the snow lies (`almanac.datum`).

No source read gives the height of the chest of a coyote or a fox with its spread. Shoulder heights are; the
chest is worked out from them with a proportion from memory. Measure what you catch: a person's own figures
are better than these.
"""

from dataclasses import dataclass

from tendline.almanac.loops import Reach
from tendline.core.source import Status
from tendline.core.units import METRES_PER_INCH

CHEST_LEAST, CHEST_MOST = 0.5, 0.6
"""Height of the lowest part of the chest over height of the shoulder, dogs and their kin (from memory)."""

HEAD_LEAST, HEAD_MOST = 0.9, 1.15
"""Height of the head of a trotting animal over height of its shoulder (common practice, no source)."""

DEER_CHEST = Reach(20 * METRES_PER_INCH, 24 * METRES_PER_INCH)
"""From hoof to chest of a white-tailed deer, legs straight [m]: see `deer_chest`."""


@dataclass(frozen=True)
class Animal:
    """One kind of animal.

    Parameters
    ----------
    name
        In the trade's words, as a set or a catch is noted.
    shoulder
        Height of the shoulder above what it stands on [m].
    status, source
        How surely that is known, and from where.
    """

    name: str
    shoulder: Reach
    status: Status
    source: str


def _cm(low: float, high: float) -> Reach:
    return Reach(low / 100.0, high / 100.0)


_ANIMALS = (
    Animal("coyote", _cm(58, 66), Status.SECONDARY, "general description, quoted on several pages"),
    Animal("red fox", _cm(35, 50), Status.SECONDARY, "general descriptions, two accounts"),
    Animal("gray fox", _cm(36, 41), Status.MEMORY, "no source read"),
    Animal("bobcat", _cm(45, 55), Status.MEMORY, "no source read"),
    Animal("raccoon", _cm(23, 30), Status.MEMORY, "no source read"),
)

ANIMALS = {animal.name: animal for animal in _ANIMALS}
"""Every animal, by name."""


def chest_band(animal: Animal) -> Reach:
    """Give the height of the lowest part of an animal's chest above what it stands on [m].

    References
    ----------
    Shoulder heights: see `Animal.source`. The proportion, `CHEST_LEAST` to `CHEST_MOST`: from memory.
    """
    return Reach(CHEST_LEAST * animal.shoulder.low_m, CHEST_MOST * animal.shoulder.high_m)


def head_band(animal: Animal) -> Reach:
    """Give the height at which an animal carries its head on the move, above what it stands on [m].

    References
    ----------
    Shoulder heights: see `Animal.source`. The proportion: common practice, no source.
    """
    return Reach(HEAD_LEAST * animal.shoulder.low_m, HEAD_MOST * animal.shoulder.high_m)


def deer_chest() -> Reach:
    """Give the height of a white-tailed deer's chest, legs straight [m]: 20 to 24 inches.

    References
    ----------
    Kelsall, J. P. (1969), as given in Mech, L. D. and others, Ecological studies of the timber wolf in
    northeastern Minnesota: 20 to 24 inches.
    """
    return DEER_CHEST
