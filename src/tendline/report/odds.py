"""Owns the odds a morning is packed by: chances of a catch, extra time, how many spares are enough.

Does not own the rates: they are the person's own (`core.settings.TimeCosts`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tendline.plan.itinerary import RoundPlan, Visit
from tendline.report.facts import RoundFacts

ENOUGH = 0.95
"""Spares are packed so that they are enough on this share of mornings."""
SWAP_SHARE = 0.02
"""Share of sets whose device must be swapped without a catch, bent or frozen: common practice, no source."""


@dataclass(frozen=True)
class Morning:
    """What an ordinary morning may bring.

    Parameters
    ----------
    chance_of_a_catch
        That at least one set holds an animal.
    extra_s
        Time to expect for catches beyond the plan, on average over many mornings [s].
    devices, supports
        Spare devices and support wires that are enough on `ENOUGH` of mornings.
    """

    chance_of_a_catch: float
    extra_s: float
    devices: int
    supports: int


def morning(plan: RoundPlan, facts: RoundFacts) -> Morning:
    """Work out the odds for the sets on a round, each taken by itself.

    Parameters
    ----------
    plan, facts
        The nights a set has worked since its last look come from both; one night where no look is on record.

    References
    ----------
    Chances that do not depend on each other multiply; the count of such events is Poisson-binomial.
    Rates: `TimeCosts`, common practice, no source.
    """
    time = facts.time
    catches = [_catch(visit, facts) for visit in plan.visits]
    swaps = [1.0 - (1.0 - c) * (1.0 - SWAP_SHARE) for c in catches]
    none = 1.0
    for chance in catches:
        none *= 1.0 - chance
    return Morning(
        chance_of_a_catch=1.0 - none,
        extra_s=sum(catches) * time.catch_s,
        devices=enough(swaps),
        supports=enough([time.fix_share] * len(catches)),
    )


def enough(chances: Sequence[float], *, share: float = ENOUGH) -> int:
    """Give the smallest number that covers how many of these happen, on at least `share` of mornings.

    Parameters
    ----------
    chances
        One for each set, 0 to 1, independent.
    share
        Under 1.

    References
    ----------
    Poisson-binomial distribution, by its recursion: W. Feller, An Introduction to Probability Theory and
    Its Applications, vol. 1, on Bernoulli trials with variable probabilities (from memory).
    """
    exactly = [1.0]
    for p in chances:
        exactly = [
            (exactly[k] * (1.0 - p) if k < len(exactly) else 0.0) + (exactly[k - 1] * p if k else 0.0)
            for k in range(len(exactly) + 1)
        ]
    total = 0.0
    for k, chance in enumerate(exactly):
        total += chance
        if total >= share - 1e-12:
            return k
    return len(chances)


def one_in(chance: float) -> str:
    """Say a chance as people do: ``about 1 morning in 3``; ``on most mornings`` from two in three."""
    if chance <= 0.0:
        return "on no morning"
    if chance >= 2.0 / 3.0:
        return "on most mornings"
    return f"about 1 morning in {round(1.0 / chance)}"


def _catch(visit: Visit, facts: RoundFacts) -> float:
    last = facts.sets[visit.set_name].last_look
    nights = max(1.0, (visit.look - last).total_seconds() / 86400.0) if last is not None else 1.0
    missed: float = (1.0 - facts.time.catches_per_night) ** nights
    return 1.0 - missed
