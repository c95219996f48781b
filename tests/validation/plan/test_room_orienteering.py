"""The choice among spots against every choice and every order, by code of its own.

With spots so far apart that they share no animal, the choice is the orienteering problem: the greatest sum of
prizes on a tour within a time (Tsiligirides, T. (1984), Journal of the Operational Research Society 35(9),
797-809, who named it). The optimum here is found by trying everything, or by the recursion of Held and Karp
(1962) written out again in this file; no published instance is used.
"""

from collections.abc import Sequence
from itertools import permutations

import numpy as np
import numpy.typing as npt
import pytest

from tendline.core.when import Span
from tendline.plan.budget import Budget
from tendline.plan.instance import instance_of
from tendline.plan.itinerary import RoundPlan, RoundProblem, SetTask, Travel
from tendline.plan.proof import least_end
from tendline.plan.room_catch import Reach, Worth
from tendline.plan.room_nouns import Spot, SpotChoice
from tendline.plan.room_round import RoundSearch
from tendline.plan.room_spots import RoundSpots, least_ends, round_spots
from tendline.plan.tables import tables_of
from tests.room_lines import FOREVER, START
from tests.validation.plan.verify import violations

NIGHTS, ANIMALS = 20.0, 2.0
Minutes = npt.NDArray[np.float64]


def prize(per_night: float) -> float:
    """Give what one spot by itself is worth: so many animals, each caught in one of so many nights."""
    return float(ANIMALS * (1.0 - (1.0 - per_night / ANIMALS) ** NIGHTS))


def plane(count: int, seed: int) -> tuple[Minutes, list[float]]:
    """Invent a parking, then sets and spots about it: minutes between them, and rates."""
    chance = np.random.default_rng(seed)
    at = np.vstack([[0.0, 0.0], chance.uniform(-15, 15, (count, 2))])
    minutes = np.hypot(*(at[:, None, :] - at[None, :, :]).transpose(2, 0, 1))
    return minutes, [float(x) for x in np.round(chance.uniform(0.005, 0.06, count), 4)]


def problem_of(minutes: Minutes, sets: int, hours: float) -> tuple[RoundProblem, list[SetTask]]:
    """Put the first places down as sets and the others as spots; a look takes three minutes."""
    count = len(minutes) - 1
    names = ["p", *(f"s{k}" for k in range(count))]
    walk = Travel(tuple(names), minutes * 60.0, minutes * 60.0, np.zeros(minutes.shape, bool))
    drive = Travel(("home", "p"), np.zeros((2, 2)), np.zeros((2, 2)), np.zeros((2, 2), bool))
    tasks = [SetTask(name, 180.0, (FOREVER,)) for name in names[1:]]
    span = Span(START, START + (FOREVER.end - START) * hours / 72.0)
    return RoundProblem("home", "home", span, tuple(tasks[:sets]), ("p",), 0.0, drive, walk), tasks[sets:]


def worth_of(rates: Sequence[float], names: Sequence[str]) -> Worth:
    """Give spots that are so far apart that no animal goes to two of them."""
    spots = [Spot(name, rate, "coyote") for name, rate in zip(names, rates, strict=True)]
    at = np.array([[100_000.0 * k, 0.0] for k in range(len(spots))])
    return Worth(spots, at, [], np.zeros((0, 2)), {"coyote": Reach(2000.0, ANIMALS)}, NIGHTS)


def choose(
    minutes: Minutes, rates: Sequence[float], sets: int, hours: float
) -> tuple[SpotChoice, RoundSpots]:
    """Ask for the choice."""
    problem, tasks = problem_of(minutes, sets, hours)
    search = RoundSearch(1, Budget(seconds=20.0))
    fit, order = search.fit(problem)
    assert fit.plan is not None
    inst = instance_of(problem)
    free = (inst.latest - least_end(inst, set(range(inst.count)), tables_of(inst))) / 1000.0
    spots = RoundSpots(problem, tasks, order, search)
    worth = worth_of(rates[sets:], [task.name for task in tasks])
    return round_spots(worth, spots, over=lambda: False, free_s=free), spots


def every_choice(minutes: Minutes, rates: Sequence[float], sets: int, hours: float) -> float:
    """Try every choice in every order."""
    best, count = 0.0, len(minutes) - 1
    for mask in range(1 << (count - sets)):
        chosen = [k for k in range(sets, count) if mask >> (k - sets) & 1]
        value = sum(prize(rates[k]) for k in chosen)
        if (
            value > best
            and shortest([*range(sets), *chosen], minutes) + 3 * (sets + len(chosen)) <= 60 * hours
        ):
            best = value
    return best


def shortest(members: Sequence[int], minutes: Minutes) -> float:
    """Give the shortest tour from the parking over all members and back, by trying every order."""
    return min(
        float(sum(minutes[a, b] for a, b in zip([0, *order], [*order, 0], strict=True)))
        for order in permutations([k + 1 for k in members])
    )


@pytest.mark.parametrize("seed", range(6))
def test_up_to_a_dozen_spots_the_choice_is_the_best_there_is(seed: int) -> None:
    minutes, rates = plane(7, seed)
    choice, spots = choose(minutes, rates, 2, hours=1.7)
    assert choice.best
    assert choice.value == pytest.approx(every_choice(minutes, rates, 2, 1.7), rel=0.01)
    assert choice.bound == pytest.approx(choice.value)
    if choice.chosen:
        assert isinstance(choice.plan, RoundPlan)
        names = {one.name for one in choice.chosen}
        whole = [k for k, task in enumerate(spots.tasks) if task.name in names]
        assert violations(spots._with(tuple(whole)), choice.plan) == []


def held_karp(minutes: Minutes) -> Minutes:
    """Give the shortest tour over every subset of the places after the first, written out again here."""
    n = len(minutes) - 1
    best = np.full((1 << n, n), np.inf)
    for k in range(n):
        best[1 << k, k] = minutes[0, k + 1]
    for mask in range(1, 1 << n):
        for k in range(n):
            if mask >> k & 1 and np.isfinite(best[mask, k]):
                for j in range(n):
                    if not mask >> j & 1:
                        way = best[mask, k] + minutes[k + 1, j + 1]
                        best[mask | 1 << j, j] = min(best[mask | 1 << j, j], way)
    tours: Minutes = (best + minutes[1:, 0]).min(axis=1)
    tours[0] = 0.0
    return tours


def test_beyond_a_dozen_the_choice_lies_between_nearly_the_best_and_the_bound_told() -> None:
    minutes, rates = plane(13, 11)
    tours, looks = held_karp(minutes), np.array([3.0 * mask.bit_count() for mask in range(1 << 13)])
    prizes = np.array([prize(rate) for rate in rates])
    values = np.array([sum(prizes[k] for k in range(13) if mask >> k & 1) for mask in range(1 << 13)])
    best = float(values[tours + looks <= 105.0].max())
    # One set stands at the parking itself and must be looked at as well: no step more.
    wider = np.pad(minutes, ((0, 1), (0, 1)), constant_values=0.0)
    wider[-1, :-1], wider[:-1, -1] = minutes[0, :], minutes[:, 0]
    order = [0, 14, *range(1, 14)]
    choice, _ = choose(wider[np.ix_(order, order)], [0.0, *rates], 1, hours=(105.0 + 3.0) / 60)
    assert choice.value <= best * 1.01
    assert choice.value >= 0.95 * best
    assert choice.bound >= best * 0.99


def test_the_table_of_every_choice_is_the_shortest_tour_of_each() -> None:
    minutes, _ = plane(6, 3)
    problem, tasks = problem_of(minutes, 2, hours=10)
    spots = RoundSpots(problem, tasks, [], RoundSearch(1, Budget(seconds=1.0)))
    tables = tables_of(instance_of(spots._with((0, 1, 2, 3))))
    assert tables is not None
    ends = least_ends(tables, first=2, spots=4)
    for mask in range(16):
        members = [0, 1, *(k + 2 for k in range(4) if mask >> k & 1)]
        truth = shortest(members, minutes) + 3.0 * len(members)
        assert ends[mask] / 60_000 == pytest.approx(truth, abs=0.001)
