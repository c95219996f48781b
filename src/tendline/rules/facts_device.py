"""Owns what the law looks at of one device as built, each value with its range, None where not recorded.

Does not own how a value is worked out from the record, nor what the law makes of it. Values are SI.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from tendline.core.words import DeviceClass
from tendline.rules.nouns import Across, Part, Point


@dataclass(frozen=True)
class Measure:
    """A measured value with the range in which the truth lies.

    Parameters
    ----------
    value
        Best value, SI: length [m], force [N].
    low, high
        Bounds of the truth, SI; None for the value itself.
    text
        As it was written: ``10 in``; may be empty.
    how
        How it was measured or worked out, for people.
    """

    value: float
    low: float | None = None
    high: float | None = None
    text: str = ""
    how: str = ""

    @property
    def least(self) -> float:
        """Lower bound."""
        return self.value if self.low is None else self.low

    @property
    def most(self) -> float:
        """Upper bound."""
        return self.value if self.high is None else self.high

    def scaled(self, factor: float) -> "Measure":
        """Give the measure times a positive factor."""
        return Measure(self.value * factor, self.least * factor, self.most * factor, self.text, self.how)

    def minus(self, other: "Measure") -> "Measure":
        """Give the difference, its range as wide as both can make it."""
        return Measure(self.value - other.value, self.least - other.most, self.most - other.least)

    def plus(self, other: "Measure") -> "Measure":
        """Give the sum, its range as wide as both can make it."""
        return Measure(self.value + other.value, self.least + other.least, self.most + other.most)


@dataclass(frozen=True)
class LoopSize:
    """The size of a loop, as what it was measured [m]."""

    measure: Measure
    across: Across


@dataclass(frozen=True)
class PartAt:
    """One part of a device: where it sits, its length [m], whether it works freely."""

    at: Point | None = None
    length: Measure | None = None
    free: bool | None = None


@dataclass(frozen=True)
class Tag:
    """What stands on a device's tag, and what it is made of.

    Parameters
    ----------
    contents
        Words of `TAG_WORDS`.
    material
        ``metal``, ``copper``, ``plastic``; empty when not said.
    ferrous, durable, attached
        As recorded.
    """

    contents: frozenset[str]
    material: str = ""
    ferrous: bool | None = None
    durable: bool | None = None
    attached: bool | None = None


@dataclass(frozen=True)
class DeviceFacts:
    """One device as built.

    Parameters
    ----------
    name
        Its tag or build.
    device_class, subtype
        For rules that differ by them; `subtype` is a word of the profile: ``wolf-snare``, ``foot-type``.
    loop_open, stop, loop_now
        The largest loop, the smallest to which the stop lets it close, and as it is left now.
    breakaway, breakaway_method, breakaway_at
        Load at which it parts [N], how that was tested (``static-load``, ``maker``), where it sits
        (a word of `Point`).
    cable_diameter, construction
        [m]; ``7x7``.
    lengths
        Between two points [m], in either order.
    extension
        Length of the anchor extension [m]; a zero measure where there is none.
    parts
        By kind; a kind that is not there is not recorded, an empty tuple is "none".
    lock
        Name of the lock, as an approved list would give it.
    tag
        None when not recorded.

    Notes
    -----
    The yes-or-no fields are asked by a profile under their names with dashes (``relaxing-lock``).
    """

    name: str
    device_class: DeviceClass = DeviceClass.LIVE_RESTRAINT
    subtype: str | None = None
    loop_open: LoopSize | None = None
    stop: LoopSize | None = None
    loop_now: LoopSize | None = None
    breakaway: Measure | None = None
    breakaway_method: str | None = None
    breakaway_at: str | None = None
    cable_diameter: Measure | None = None
    construction: str | None = None
    lengths: Mapping[tuple[Point, Point], Measure] = field(default_factory=dict)
    extension: Measure | None = None
    parts: Mapping[Part, tuple[PartAt, ...]] = field(default_factory=dict)
    lock: str | None = None
    tag: Tag | None = None
    relaxing_lock: bool | None = None
    mechanical_lock: bool | None = None
    single_piece_lock: bool | None = None
    lock_moving_parts: bool | None = None
    power_assisted: bool | None = None
    compression_choke: bool | None = None
    kill_pole: bool | None = None
    drag: bool | None = None
    anchor_immovable: bool | None = None
    anchor_woody_stem: bool | None = None
    multi_strand: bool | None = None
    galvanised: bool | None = None
    commercial_breakaway: bool | None = None
    good_order: bool | None = None
    has_stop: bool | None = None
    has_breakaway: bool | None = None
