"""Owns the chain of strengths from breakaway to soil: each link's range, its margin, and the weakest named.

Does not own the figures of cable and soil (`almanac`) or the legal limit of a breakaway (`rules`).

A breakaway only opens when it is loaded at the lock and everything behind it holds longer than it does. None
of this is a promise: the ranges are of new parts and of soil as described.
"""

from dataclasses import dataclass
from enum import StrEnum

from tendline.almanac.breakaways import MARGIN, Batch, batch_of
from tendline.almanac.cable import TERMINATIONS, least_breaking
from tendline.core.errors import FaultList
from tendline.core.source import Status
from tendline.core.units import NEWTONS_PER_POUND
from tendline.gear.build import Cable
from tendline.gear.faults import FIGURE, TOO_STRONG, WORD

_LEAST_N, _MOST_N = 10.0, 50_000.0


class Stands(StrEnum):
    """How a link stands to the breakaway."""

    HOLDS = "holds with margin"
    THIN = "thin margin"
    MAY_FAIL = "may give way first"
    FAILS = "gives way first"
    NOT_VERIFIED = "not verified"


@dataclass(frozen=True)
class Link:
    """One link of the chain.

    Parameters
    ----------
    name
        ``cable at its end``.
    low_n, high_n
        Load at which it may give way, within bounds [N]; None where not known.
    status
        How surely it is known.
    said
        How it was worked out.
    """

    name: str
    low_n: float | None
    high_n: float | None
    status: Status
    said: str


@dataclass(frozen=True)
class Judged:
    """A link beside the breakaway: its least load over the breakaway's most; None where either is unknown."""

    link: Link
    ratio: float | None
    stands: Stands


@dataclass(frozen=True)
class Breakaway:
    """The part that is to open first.

    Parameters
    ----------
    low_n, high_n
        Load at which it parts, within bounds [N].
    label_n
        As marked on the pack [N]; None where nobody said.
    batch
        The person's own pull tests; None without any.
    """

    low_n: float
    high_n: float
    label_n: float | None
    batch: Batch | None


@dataclass(frozen=True)
class LegalMost:
    """The most that a law lets a breakaway hold.

    Parameters
    ----------
    profile, words
        Whose law, and the rule in one sentence.
    most_n
        The limit [N].
    verified
        Whether the person has confirmed the profile and the value may bind.
    only_if_used
        Another way, such as a stop, would do as well: the limit binds who goes by the breakaway.
    """

    profile: str
    words: str
    most_n: float
    verified: bool
    only_if_used: bool = False

    def stands(self, breakaway: "Breakaway | None") -> str:
        """Say how a breakaway stands to the limit: ``within``, ``may be over``, ``over``, ``not known``."""
        if breakaway is None:
            return "not known"
        if breakaway.low_n > self.most_n:
            return "over"
        return "may be over" if breakaway.high_n > self.most_n else "within"


@dataclass(frozen=True)
class Chain:
    """A chain judged.

    Parameters
    ----------
    breakaway
        None for a build without one.
    links
        In order from the lock to the ground.
    weakest
        The link that gives way first of those known, the breakaway left out; None where none is known.
    warnings
        In plain sentences.
    """

    breakaway: Breakaway | None
    links: tuple[Judged, ...]
    weakest: Link | None
    warnings: tuple[str, ...]


def breakaway_of(label_n: float | None, pulls_n: tuple[float, ...] = ()) -> Breakaway | None:
    """Give what a breakaway parts at: by the person's own pull tests, else by its label.

    Raises
    ------
    Refused
        GEAR-105 for a load that cannot be.
    """
    faults = FaultList()
    for load in (*pulls_n, *(() if label_n is None else (label_n,))):
        if not _LEAST_N <= load <= _MOST_N:
            faults.add(FIGURE, f"a breakaway of {load:.1f} N cannot be.", "breakaway", "Give 10 N to 50 kN.")
    faults.refuse()
    if pulls_n:
        batch = batch_of(pulls_n)
        return Breakaway(batch.low_n, batch.high_n, label_n, batch)
    return None if label_n is None else Breakaway(label_n, label_n, label_n, None)


def cable_end(cable: Cable, end: str, *, pulled_n: float | None = None) -> Link:
    """Give what the cable holds at its end: load of the rope by share of the end, or the person's own test.

    Raises
    ------
    Refused
        GEAR-104 for a kind of end that is not known.
    """
    name = f"cable at its end ({end.replace('-', ' ')})"
    if pulled_n is not None:
        return Link(name, pulled_n, pulled_n, Status.TEXT, "your own pull test")
    kind = TERMINATIONS.get(end)
    faults = FaultList()
    if kind is None:
        words = ", ".join(TERMINATIONS)
        faults.add(WORD, f"'{end}' is no kind of end.", "end.kind", f"Kinds: {words}.")
    faults.refuse()
    assert kind is not None
    rope = least_breaking(cable.make, cable.diameter_m, material=cable.material)
    if rope is None:
        said = f"no table read holds {cable.make} of this diameter and material: test your own"
        return Link(name, None, None, Status.UNKNOWN, said)
    if not kind.status.may_bind:
        return Link(name, None, None, Status.UNKNOWN, f"{kind.source}: test your own and enter the load")
    pounds = rope.newtons / NEWTONS_PER_POUND
    said = (
        f"{pounds:.0f} lbf rope ({rope.source}) by {kind.low:.0%} to {kind.high:.0%} ({kind.source}); "
        "less where the cable is kinked or bends under the lock"
    )
    return Link(name, rope.newtons * kind.low, rope.newtons * kind.high, rope.status, said)


def judge_chain(breakaway: Breakaway | None, links: tuple[Link, ...]) -> Chain:
    """Set every link beside the breakaway.

    Parameters
    ----------
    breakaway
        None where the build has none.
    links
        From the lock to the ground.

    Raises
    ------
    Refused
        GEAR-102 where the breakaway is marked or tested as strong as the cable at its end.
    """
    _check(breakaway, links)
    judged = tuple(_judged(link, breakaway) for link in links)
    known = [(link.low_n, link) for link in links if link.low_n is not None]
    weakest = min(known, key=lambda pair: pair[0])[1] if known else None
    return Chain(breakaway, judged, weakest, tuple(_warnings(breakaway, judged)))


def _check(breakaway: Breakaway | None, links: tuple[Link, ...]) -> None:
    faults = FaultList()
    for link in links:
        strongest = link.high_n
        if (
            breakaway is not None
            and strongest is not None
            and link.name.startswith("cable")
            and breakaway.low_n >= strongest
        ):
            what = (
                f"the breakaway, {_lb(breakaway.low_n)}, is as strong as the {link.name}, {_lb(strongest)}."
            )
            faults.add(TOO_STRONG, what, "breakaway", "Take a weaker breakaway or a stronger cable.")
    faults.refuse()


def _judged(link: Link, breakaway: Breakaway | None) -> Judged:
    if breakaway is None or link.low_n is None:
        return Judged(link, None, Stands.NOT_VERIFIED)
    ratio = link.low_n / breakaway.high_n
    if ratio >= MARGIN:
        return Judged(link, ratio, Stands.HOLDS)
    if ratio > 1.0:
        return Judged(link, ratio, Stands.THIN)
    never = link.high_n is not None and link.high_n <= breakaway.low_n
    return Judged(link, ratio, Stands.FAILS if never else Stands.MAY_FAIL)


def _warnings(breakaway: Breakaway | None, judged: tuple[Judged, ...]) -> list[str]:
    said = []
    if breakaway is None:
        return ["this build has no breakaway on record: nothing is made to open first"]
    if breakaway.batch is None:
        said.append("the breakaway is known by its label alone: pull some of the batch and enter the loads")
    elif breakaway.batch.count < 5:
        share = breakaway.batch.chance_within
        said.append(f"{breakaway.batch.count} pulls: the next lies between them with chance {share:.0%} only")
    for each in judged:
        first = each.stands in (Stands.FAILS, Stands.MAY_FAIL)
        if first and each.link.name.startswith("anchor"):
            verb = "comes" if each.stands is Stands.FAILS else "may come"
            said.append(
                f"{each.link.name}: the anchor {verb} out before the breakaway opens; then it never acts"
            )
        elif first:
            said.append(f"{each.link.name}: {each.stands.value}; then the breakaway never acts")
        elif each.stands is Stands.THIN:
            said.append(f"{each.link.name}: only {each.ratio:.2f} times the breakaway; {MARGIN:g} is wanted")
    return said


def _lb(newtons: float) -> str:
    return f"{newtons / NEWTONS_PER_POUND:.0f} lb"
