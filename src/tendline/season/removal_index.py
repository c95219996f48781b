"""Owns the removal index of damage work: rounds from the record or by hand, chances ahead, the stop rule.

Does not own the estimators (`removal`, `leslie`).
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from tendline.core.errors import refuse
from tendline.season.faults import ASKED
from tendline.season.leslie import Fallen, delury, leslie
from tendline.season.removal import (
    ASSUMES,
    Removed,
    StopRule,
    checked,
    every_method,
    stop_rule,
    taken_within,
)
from tendline.season.review import Review
from tendline.season.stretches import Stretch

NIGHTS = (1, 3, 7, 14, 28)
"""Nights for which the chance of taking the culprit is told."""


@dataclass(frozen=True)
class RemovalAsked:
    """Rounds by hand with their effort, or a species to be taken from the record week by week."""

    rounds: Sequence[float]
    effort: Sequence[float]
    species: str


@dataclass(frozen=True)
class RemovalIndex:
    """A local removal index.

    Parameters
    ----------
    species
        Whose; empty when the rounds were given by hand.
    rounds, effort
        Catches by round, and device-nights where known.
    names
        Of the rounds: the Monday of each week, or its number.
    removed, fallen
        Estimates from rounds alone, and from catch and effort.
    p_night
        Chance that one animal that uses the place is taken in one night, all devices together; None when it
        cannot be told.
    within
        Nights, and the chance of taking it within them.
    stop
        The stop rule; None when nothing is known of the chance.
    assumes
        What the estimates take for granted.
    said
        What to say of it.
    """

    species: str
    rounds: tuple[int, ...]
    effort: tuple[float, ...]
    names: tuple[str, ...]
    removed: tuple[Removed, ...]
    fallen: tuple[Fallen, ...]
    p_night: float | None
    within: tuple[tuple[int, float], ...]
    stop: StopRule | None
    assumes: tuple[str, ...]
    said: tuple[str, ...]


def removal_index(asked: RemovalAsked, review: Review) -> RemovalIndex | None:
    """Work out a removal index; None when none was asked for.

    Raises
    ------
    Refused
        SEA-201 for rounds or effort that cannot be used.
    """
    if not asked.rounds and not asked.species:
        if asked.effort:
            raise refuse(ASKED, "effort without rounds.", "--effort", "Give --rounds 38,26,12 as well.")
        return None
    if asked.rounds:
        if any(r != int(r) for r in asked.rounds):
            raise refuse(ASKED, "a catch is a whole number.", "--rounds", "Write 38,26,12.")
        rounds = [int(r) for r in asked.rounds]
        names = [f"round {i}" for i in range(1, len(rounds) + 1)]
        return _index("", rounds, list(asked.effort), names, nights_a_round=1.0)
    names, rounds, effort, nights = _from_record(asked.species, review)
    return _index(asked.species, rounds, effort, names, nights_a_round=nights)


def _from_record(species: str, review: Review) -> tuple[list[str], list[int], list[float], float]:
    """Count a species week by week, from the first week with effort to the last."""
    caught: dict[str, int] = defaultdict(int)
    effort: dict[str, float] = defaultdict(float)
    for name, tally in review.groups["week"].items():
        effort[name] = tally.effort
        caught[name] = tally.species.get(species, 0)
    names = [name for name in sorted(effort) if effort[name] > 0]
    if sum(caught.values()) == 0:
        known = ", ".join(review.tally.species) or "none"
        raise refuse(ASKED, f"no {species} was held in this season.", "--removal", f"Species held: {known}.")
    nights = _nights_of(review.walked.stretches)
    return (
        names,
        [caught[n] for n in names],
        [effort[n] for n in names],
        max(1.0, nights / max(len(names), 1)),
    )


def _nights_of(stretches: Sequence[Stretch]) -> float:
    """Give the number of different nights on which anything was out."""
    return float(len({one.day for one in stretches if one.nights > 0}))


def _index(
    species: str, rounds: list[int], effort: list[float], names: list[str], *, nights_a_round: float
) -> RemovalIndex:
    told = checked(rounds)
    removed = every_method(told)
    fallen: tuple[Fallen, ...] = ()
    if effort and len(told) >= 3:
        fallen = (
            leslie(rounds, effort),
            leslie(rounds, effort, ricker=True),
            delury(rounds, effort),
            delury(rounds, effort, ricker=True),
        )
    elif effort and len(effort) != len(told):
        raise refuse(
            ASKED, f"{len(told)} rounds and {len(effort)} efforts.", "--effort", "Give one for each round."
        )
    p = removed[0].p
    p_night = None if p is None or not 0 < p < 1 else 1.0 - (1.0 - p) ** (1.0 / nights_a_round)
    chances = () if p_night is None else taken_within(p_night, NIGHTS)
    return RemovalIndex(
        species,
        told,
        tuple(effort),
        tuple(names),
        removed,
        fallen,
        p_night,
        tuple(zip(NIGHTS, chances, strict=False)),
        None if p_night is None else stop_rule(p_night),
        ASSUMES,
        _said(removed, fallen, told),
    )


def _said(removed: Sequence[Removed], fallen: Sequence[Fallen], rounds: Sequence[int]) -> tuple[str, ...]:
    said = ["a local removal index, not a count of the animals left: coyotes move in within days"]
    if any(one.number is None for one in removed):
        said.append(
            "catches do not fall enough: some methods have no finite answer, and the others say little"
        )
    if any(one.number is None for one in fallen):
        said.append("catch per effort does not fall, or a round is empty: no line can be drawn through it")
    if sum(rounds) < 10:
        said.append(f"{sum(rounds)} animals in all: any of these numbers is a guess")
    return tuple(said)
