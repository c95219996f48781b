"""Owns the figures of a study: injuries by the points of a protocol, and captures expected by the end.

Does not own the points: they are data that the study enters, and its standards with them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tendline.core.errors import FaultList
from tendline.core.line import Catch
from tendline.season.faults import POINTS
from tendline.season.intervals import Estimate, clopper_pearson, meets

PRIOR_CATCHES = 0.5
"""Added to the catches so far: Jeffreys' prior for a Poisson rate."""


@dataclass(frozen=True)
class Standard:
    """A standard of a protocol: at least `share` of the animals score no more than `points`."""

    words: str
    points: float
    share: float


@dataclass(frozen=True)
class Protocol:
    """A list of injury points.

    Parameters
    ----------
    name, source
        Which, and where it was read and how surely.
    points
        By the name of an injury, in small letters.
    most
        The most one animal can score; None for no bound.
    standards
        What its figures are held against.
    """

    name: str
    source: str
    points: Mapping[str, float]
    most: float | None = None
    standards: tuple[Standard, ...] = ()


@dataclass(frozen=True)
class Scored:
    """The animals examined.

    Parameters
    ----------
    protocol
        Whose points.
    scores
        Points of each animal whose injuries were noted, by event id.
    mean, worst
        Of them; None without one.
    standards
        Each with how many meet its points, and whether that is shown: True, False, None.
    not_examined
        Target animals without a word of injuries: they are in no figure.
    unknown
        Names of injuries that the list does not hold; those animals are in no figure either.
    """

    protocol: Protocol
    scores: Mapping[str, float]
    mean: float | None
    worst: float | None
    standards: tuple[tuple[Standard, int, Estimate, bool | None], ...]
    not_examined: int
    unknown: tuple[str, ...]


NONE_FOUND = "none"
"""What is noted of an animal that was examined and had no injury."""


def protocol_from(raw: Mapping[str, Any], where: str) -> Protocol:
    """Read a list of injury points.

    Parameters
    ----------
    raw
        ``name``, ``source``, ``most``, a table ``points``, a list ``standard`` of words, points and share.
    where
        What to point at.

    Raises
    ------
    Refused
        SEA-202, with everything that is wrong.
    """
    faults = FaultList()
    points = raw.get("points", {})
    if not isinstance(points, dict) or not points:
        faults.add(
            POINTS, "it has no table 'points'.", where, 'Write [points], then lines such as "claw loss" = 2.'
        )
        points = {}
    for name, value in points.items():
        if not _number(value) or value < 0:
            faults.add(POINTS, f"'{name}' has {value!r} points.", where, "Write a number, 0 or more.")
    standards: list[Standard] = []
    for one in raw.get("standard", []):
        good = isinstance(one, dict) and _number(one.get("points")) and _number(one.get("share"))
        if not good or not 0 < one["share"] <= 1:
            faults.add(
                POINTS, f"{one!r} is no standard.", where, "Write words, points, and share from 0 to 1."
            )
            continue
        standards.append(Standard(str(one.get("words", "")), float(one["points"]), float(one["share"])))
    most = raw.get("most")
    if most is not None and not _number(most):
        faults.add(POINTS, f"'most' is {most!r}.", where, "Write a number.")
    faults.refuse()
    small = {str(name).strip().lower(): float(value) for name, value in points.items()}
    name, source = str(raw.get("name", "")), str(raw.get("source", ""))
    return Protocol(name, source, small, None if most is None else float(most), tuple(standards))


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def scored(catches: Sequence[Catch], injuries: Mapping[str, Sequence[str]], protocol: Protocol) -> Scored:
    """Score the target animals held.

    Parameters
    ----------
    catches
        Animals held.
    injuries
        By event id of the catch; an empty list, or the word `NONE_FOUND`, is an animal without injury.
    protocol
        Whose points.
    """
    scores: dict[str, float] = {}
    unknown: dict[str, None] = {}
    missing = 0
    for catch in catches:
        if catch.standing != "target":
            continue
        told = injuries.get(catch.event)
        if told is None:
            missing += 1
            continue
        names = [name.strip().lower() for name in told if name.strip().lower() != NONE_FOUND]
        strange = [name for name in names if name not in protocol.points]
        if strange:
            unknown.update(dict.fromkeys(strange))
            continue
        points = sum(protocol.points[name] for name in names)
        scores[catch.event] = points if protocol.most is None else min(points, protocol.most)
    values = list(scores.values())
    return Scored(
        protocol,
        scores,
        sum(values) / len(values) if values else None,
        max(values, default=None),
        tuple(_held_against(standard, values) for standard in protocol.standards),
        missing,
        tuple(unknown),
    )


def _held_against(standard: Standard, values: Sequence[float]) -> tuple[Standard, int, Estimate, bool | None]:
    under = sum(value <= standard.points for value in values)
    return standard, under, clopper_pearson(under, len(values)), meets(under, len(values), standard.share)


def expected_more(caught: int, effort: float, nights_ahead: float, *, level: float = 0.95) -> Estimate:
    """Give the captures still to come, with their range.

    Parameters
    ----------
    caught, effort
        So far.
    nights_ahead
        Device-nights still to come, 0 or more.
    level
        Chance that the range holds what comes, at least.

    References
    ----------
    Gelman et al. 2013, *Bayesian Data Analysis*, 3rd ed., section 2.6: the predictive distribution of a
    Poisson count under a gamma rate is the negative binomial; prior Gamma(1/2, 0) (Jeffreys).
    """
    if effort <= 0 or nights_ahead <= 0:
        return Estimate(
            None if effort <= 0 else 0.0, 0.0, 0.0 if effort > 0 else float("inf"), "no effort", level
        )
    import scipy.special  # noqa: PLC0415 - slow to load

    shape, p, tail = caught + PRIOR_CATCHES, effort / (effort + nights_ahead), (1 - level) / 2

    def quantile(wanted: float) -> int:
        k = 0
        while float(scipy.special.betainc(shape, k + 1, p)) < wanted:
            k += 1
        return k

    mean = shape * nights_ahead / effort
    return Estimate(mean, quantile(tail), quantile(1 - tail), "negative binomial, Jeffreys' prior", level)
