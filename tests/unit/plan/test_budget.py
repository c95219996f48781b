"""How long a search goes on, and what it says."""

from time import monotonic

import numpy as np

from tendline.plan.budget import Budget, Chance, Progress
from tendline.plan.timing import Cost


def test_iterations_run_out() -> None:
    budget = Budget(iterations=3)
    assert [budget.spend() for _ in range(4)] == [True, True, False, False]
    assert budget.over
    assert not budget.out_of_time


def test_time_runs_out() -> None:
    assert not Budget(seconds=60.0).out_of_time
    assert Budget(seconds=60.0, began=monotonic() - 61.0).out_of_time


def test_a_person_who_has_had_enough_is_asked_no_more() -> None:
    asked = []

    def should_stop() -> bool:
        asked.append(1)
        return True

    budget = Budget(iterations=100, should_stop=should_stop)
    assert budget.over
    assert budget.over
    assert len(asked) == 1
    assert budget.part(0.5, doing="round").over


def test_a_part_never_goes_past_the_end_of_the_whole() -> None:
    whole = Budget(iterations=10, seconds=60.0, began=monotonic() - 50.0)
    part = whole.part(0.5, doing="later return")
    assert part.iterations == 5
    assert part.seconds is not None
    assert 9.0 < part.seconds <= 10.0
    assert part.doing == "later return"


def test_steps_of_exhaustion_do_not_depend_on_the_machine() -> None:
    assert Budget(iterations=5).steps == 600_000
    assert [Budget(seconds=s).steps for s in (0.1, 1.0, 100.0)] == [100_000, 300_000, 1_500_000]


def test_progress_says_what_a_person_waits_for() -> None:
    told: list[Progress] = []
    budget = Budget(iterations=10, on_progress=told.append)
    budget.tell(Cost(0, 14_100_000, 14_100_000), must_left_out=0, left_out=0)
    budget.tell(Cost(5, 3_600_000, 3_600_000), must_left_out=1, left_out=2)
    assert [p.round_s for p in told] == [14_100.0, 3_600.0]
    assert str(told[0]) == "round: back after 3 h 55 min (0 s)"
    assert str(told[1]) == "round: back after 1 h 00 min, 2 sets left out (0 s)"


def test_chances_are_those_of_the_generator_with_that_seed() -> None:
    chance = Chance(11)
    drawn = [chance() for _ in range(5000)]
    ahead = np.random.default_rng(11).random(4096).tolist()
    assert drawn[:4096] == ahead[::-1]
    assert min(drawn) >= 0.0
    assert max(drawn) < 1.0
    assert {chance.below(4) for _ in range(200)} == {0, 1, 2, 3}
