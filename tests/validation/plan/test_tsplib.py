"""One parking, no limits: the round is the travelling salesman's, and its optima are published.

Source: G. Reinelt (1991), TSPLIB, a traveling salesman problem library, ORSA Journal on Computing 3(4),
376-384, and the TSPLIB 95 documentation, section 2 (distance functions) and the list of optimal values:
burma14 3323, ulysses16 6859, eil51 426, berlin52 7542. Coordinates as in the library's files.
"""

import math
from pathlib import Path

import numpy as np
import pytest

from tendline.plan.budget import Budget
from tendline.plan.instance import instance_of
from tendline.plan.itinerary import RoundProblem, Travel
from tendline.plan.portfolio import Turns
from tendline.plan.route import plan_round
from tests.validation.plan.build import problem, table, task
from tests.validation.plan.verify import violations

DATA = Path(__file__).parents[2] / "data" / "tsplib"


def salesman(name: str) -> RoundProblem:
    """Make a round of a library problem: node 1 is the parking, a distance of 1 a second, looks are free."""
    head, body = (DATA / f"{name}.tsp").read_text().split("NODE_COORD_SECTION\n")
    points = [tuple(map(float, line.split()[1:])) for line in body.splitlines() if line != "EOF"]
    distance = geographic if "GEO" in head else euclidean
    ways = np.array([[distance(a, b) if a != b else 0 for b in points] for a in points], dtype=np.float64)
    names = ("p", *(f"n{k}" for k in range(2, len(points) + 1)))
    return problem(
        [task(n, service=0.0) for n in names[1:]],
        walk=Travel(names, ways, ways, np.zeros(ways.shape, dtype=np.bool_)),
        drive=table(["home", "p"], [[0, 0], [0, 0]]),
    )


def euclidean(a: tuple[float, ...], b: tuple[float, ...]) -> int:
    """EUC_2D of the documentation: rounded to the nearest whole number."""
    return int(math.hypot(a[0] - b[0], a[1] - b[1]) + 0.5)


def geographic(a: tuple[float, ...], b: tuple[float, ...]) -> int:
    """GEO of the documentation: degrees and minutes, its own value of pi, a sphere of 6378.388 km."""

    def radians(value: float) -> float:
        degrees = int(value)
        return 3.141592 * (degrees + 5.0 * (value - degrees) / 3.0) / 180.0

    (lat_a, lon_a), (lat_b, lon_b) = map(radians, a), map(radians, b)
    q1, q2, q3 = math.cos(lon_a - lon_b), math.cos(lat_a - lat_b), math.cos(lat_a + lat_b)
    return int(6378.388 * math.acos(0.5 * ((1.0 + q1) * q2 - (1.0 - q1) * q3)) + 1.0)


def test_the_distance_functions_are_those_of_the_library() -> None:
    # The first leg of burma14 is 153 (entry 1, 2 of its full matrix, from memory).
    assert geographic((16.47, 96.10), (16.47, 94.44)) == 153
    assert euclidean((37.0, 52.0), (49.0, 49.0)) == 12  # the square root of 144 + 9 is 12.37
    assert euclidean((0.0, 0.0), (1.5, 2.0)) == 3  # 2.5 is rounded up


@pytest.mark.parametrize(("name", "optimum"), [("burma14", 3323), ("ulysses16", 6859)])
def test_small_problems_are_solved_and_proved_to_the_published_optimum(name: str, optimum: int) -> None:
    whole = salesman(name)
    verdict = plan_round(whole, seconds=None, iterations=10)
    assert (verdict.plan.back - whole.outing.start).total_seconds() == optimum
    assert verdict.shortest
    assert violations(whole, verdict.plan) == []


@pytest.mark.parametrize(
    ("name", "optimum", "iterations"), [("eil51", 426, 30_000), ("berlin52", 7542, 30_000)]
)
def test_larger_problems_are_solved_to_the_published_optimum(
    name: str, optimum: int, iterations: int
) -> None:
    inst = instance_of(salesman(name))
    # The target only spares the time after the optimum has been found.
    turns = Turns(inst, 1, target=optimum * 1000)
    assert turns.run(Budget(iterations=iterations)).cost.end == optimum * 1000


@pytest.mark.parametrize("name", ["eil51", "berlin52"])
def test_plans_of_larger_problems_can_be_carried_out_and_are_within_two_per_cent_at_once(name: str) -> None:
    optimum = {"eil51": 426, "berlin52": 7542}[name]
    whole = salesman(name)
    verdict = plan_round(whole, seconds=None, iterations=2000)
    assert violations(whole, verdict.plan) == []
    assert optimum <= (verdict.plan.back - whole.outing.start).total_seconds() <= 1.02 * optimum
