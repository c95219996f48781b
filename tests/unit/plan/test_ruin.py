"""Taking a round apart: nothing is lost, nothing is doubled, no parking stands twice."""

from tendline.plan.budget import Chance
from tendline.plan.instance import instance_of
from tendline.plan.ruin import ruin
from tendline.plan.timing import Order
from tests.validation.plan.build import invented, one_loop, task


def test_every_set_is_either_left_standing_or_taken_off() -> None:
    inst = instance_of(invented(3, properties=2, sets=14, parkings=6))
    chance = Chance(1)
    whole: Order = [[0, 0, 2, 4], [2, 6, 8, 10, 12], [1, 1, 3, 5, 7, 9, 11, 13]]
    sizes = set()
    for _ in range(2000):
        order = [stop[:] for stop in whole]
        removed = ruin(inst, order, chance)
        standing = [i for stop in order for i in stop[1:]]
        assert sorted(standing + removed) == list(range(14))
        parkings = [stop[0] for stop in order]
        assert len(set(parkings)) == len(parkings)
        sizes.add(len(removed))
    # From nothing (only the order of the stops changed) to most of the round.
    assert {0, 1, 2, 5, 7} <= sizes


def test_the_smallest_rounds_can_be_taken_apart() -> None:
    inst = instance_of(one_loop([task("a")], {"a": 4.0}))
    chance = Chance(2)
    for whole in ([], [[0, 0]]):
        for _ in range(200):
            order = [stop[:] for stop in whole]
            removed = ruin(inst, order, chance)
            assert sorted([i for stop in order for i in stop[1:]] + removed) == [0] * len(whole)


def test_a_parking_nobody_can_walk_from_opens_nothing() -> None:
    # The second parking of the first property is the only one closed; its sets are there to be taken.
    inst = instance_of(invented(3, properties=2, sets=6, parkings=4))
    chance = Chance(5)
    opened = 0
    for _ in range(400):
        order: Order = [[0, 0, 2, 4], [1, 1, 3, 5]]
        ruin(inst, order, chance)
        opened += any(len(stop) == 1 and stop[0] in (2, 3) for stop in order)
    assert opened > 10
