"""Owns proofs that not everything fits: how many of the sets that must be visited any round has to leave out.

Does not own what to do about it (`plan.relief`).
"""

from dataclasses import dataclass

from tendline.plan.budget import Budget
from tendline.plan.instance import FAR, Instance, narrowed
from tendline.plan.labels import Answer, exhaust
from tendline.plan.schedule import alone
from tendline.plan.tables import ends_by_count, tables_of
from tendline.plan.timing import Order


@dataclass(frozen=True)
class Shortfall:
    """How much has to stay undone.

    Parameters
    ----------
    hopeless
        Sets that must be visited and cannot be in time, not even by themselves.
    at_least
        How many sets every round leaves out, proved; those in `hopeless` among them.
    better
        A round that leaves out fewer than the one in hand, if the proof came upon one.
    """

    hopeless: tuple[int, ...]
    at_least: int
    better: Order | None = None


def shortfall(inst: Instance, *, in_hand: int, budget: Budget) -> Shortfall:
    """Prove how many sets have to be left out.

    Parameters
    ----------
    in_hand
        How many the best known round leaves out; at least 1.
    budget
        Limits the time for looking at every round.
    """
    hopeless = tuple(i for i in range(inst.count) if inst.must[i] and not alone(inst, i))
    wanted = [i for i in range(inst.count) if inst.must[i] and i not in hopeless]
    at_least = len(hopeless) + _too_long(narrowed(inst, set(wanted)))
    if at_least >= in_hand or not wanted:
        return Shortfall(hopeless, at_least)
    core = narrowed(inst, set(wanted))
    for spare in sorted({in_hand - len(hopeless) - 1, 0}, reverse=True):
        answer = exhaust(core, needed=wanted, spare=spare, before=FAR, budget=budget)
        if answer.answer is Answer.FOUND:
            return Shortfall(hopeless, at_least, answer.order)
        if answer.answer is Answer.NONE:
            return Shortfall(hopeless, max(at_least, len(hopeless) + spare + 1))
    return Shortfall(hopeless, at_least)


def least_end(inst: Instance, wanted: set[int]) -> int:
    """Give a time before which no round over `wanted` can end [ms]; 0 when tables cannot tell."""
    tables = tables_of(narrowed(inst, wanted))
    return 0 if tables is None else ends_by_count(tables, inst.must)[-1]


def _too_long(inst: Instance) -> int:
    """Say how many sets have to stay out because the outing is too short, whatever the limits of the sets."""
    tables = tables_of(inst)
    if tables is None:
        return 0
    ends = ends_by_count(tables, inst.must)
    fit = max(count for count, end in enumerate(ends) if end <= inst.latest or count == 0)
    return len(ends) - 1 - fit
