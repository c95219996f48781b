"""Owns proofs that not everything fits: how many of the sets that must be visited any round has to leave out.

Does not own what to do about it (`plan.relief`).
"""

from dataclasses import dataclass

from tendline.plan.budget import Budget
from tendline.plan.counts import ends_by_count
from tendline.plan.instance import FAR, Instance, narrowed, only
from tendline.plan.labels import Answer, exhaust
from tendline.plan.schedule import alone
from tendline.plan.tables import Tables, tables_of
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
    hopeless = hopeless_sets(inst)
    wanted = [i for i in range(inst.count) if inst.must[i] and i not in hopeless]
    at_least = len(hopeless) + _too_long(narrowed(inst, set(wanted)))
    if at_least >= in_hand or not wanted:
        return Shortfall(hopeless, at_least)
    for spare in sorted({in_hand - len(hopeless) - 1, 0}, reverse=True):
        order, none = every_round(inst, wanted, spare=spare, budget=budget)
        if order is not None:
            return Shortfall(hopeless, at_least, order)
        if none:
            return Shortfall(hopeless, max(at_least, len(hopeless) + spare + 1))
    return Shortfall(hopeless, at_least)


def every_round(
    inst: Instance, wanted: list[int], *, spare: int, budget: Budget
) -> tuple[Order | None, bool]:
    """Look at every round over all but `spare` of the sets in `wanted`.

    Returns
    -------
    Order or None
        The one that ends the earliest.
    bool
        That there is none, also none that goes by way of other places: proved.
    """
    plain, core = only(inst, set(wanted)), narrowed(inst, set(wanted))
    answer = exhaust(plain, needed=wanted, spare=spare, before=FAR, budget=budget)
    if answer.answer is Answer.FOUND:
        return answer.order, False
    if answer.answer is Answer.NONE and not self_contained(inst, set(wanted)):
        # Where a detour over other sets can be the shorter way, the proof needs the shorter way.
        answer = exhaust(core, needed=wanted, spare=spare, before=FAR, budget=budget)
    return None, answer.answer is Answer.NONE


def self_contained(inst: Instance, wanted: set[int]) -> bool:
    """Say whether a round over some of `wanted` can gain nothing by visiting other sets on the way.

    It cannot where there are none that need not be visited but may be, or where no detour is shorter.
    """
    return straight(inst) or not any(not inst.must[i] and i not in wanted for i in inst.open_sets)


def straight(inst: Instance) -> bool:
    """Say whether no detour is shorter than the straight way."""
    core = narrowed(inst, set())
    return (core.walk, core.go, core.hop, core.home) == (inst.walk, inst.go, inst.hop, inst.home)


def hopeless_sets(inst: Instance) -> tuple[int, ...]:
    """Name the sets that must be visited and cannot be in time, not even by themselves and by any detour."""
    core = narrowed(inst, set(range(inst.count)))
    return tuple(i for i in range(inst.count) if inst.must[i] and not alone(core, i))


def least_end(inst: Instance, wanted: set[int], tables: Tables | None) -> int:
    """Give a time before which no round over `wanted` can end [ms]; 0 when tables cannot tell.

    Parameters
    ----------
    tables
        Of `inst` with those sets to visit.
    """
    if not straight(inst):
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
