from dataclasses import replace
from datetime import timedelta

import pytest

from tendline.report.odds import enough, morning, one_in
from tests.unit.report.example_round import example_facts, example_plan


def test_forty_sets_see_a_catch_on_about_one_morning_in_three() -> None:
    # 1 - 0.99^40 = 0.331: the chance that 40 devices at 1 in 100 nights hold something.
    ground = [("mill-lane", "mill", 40)]
    facts = example_facts(ground)
    sets = {name: replace(known, last_look=None) for name, known in facts.sets.items()}
    odds = morning(example_plan(ground), replace(facts, sets=sets))
    assert odds.chance_of_a_catch == pytest.approx(0.331, abs=0.0005)
    assert one_in(odds.chance_of_a_catch) == "about 1 morning in 3"


def test_the_extra_time_is_that_of_catches_on_average() -> None:
    # 40 sets, one night: 40 x 0.01 x 1500 s = 600 s of catches; repairs are in the plan already.
    ground = [("mill-lane", "mill", 40)]
    facts = example_facts(ground)
    sets = {name: replace(known, last_look=None) for name, known in facts.sets.items()}
    assert morning(example_plan(ground), replace(facts, sets=sets)).extra_s == pytest.approx(600.0)


def test_two_nights_without_a_look_nearly_double_the_chance() -> None:
    ground = [("mill-lane", "mill", 1)]
    facts, plan = example_facts(ground), example_plan(ground)
    seen = plan.visits[0].look - timedelta(days=2)
    known = replace(facts.sets["mill-1"], last_look=seen)
    odds = morning(plan, replace(facts, sets={"mill-1": known}))
    assert odds.chance_of_a_catch == pytest.approx(1 - 0.99**2)


@pytest.mark.parametrize(
    ("chances", "share", "number"),
    [
        ([], 0.95, 0),
        ([0.5], 0.5, 0),
        ([0.5], 0.51, 1),
        ([1.0, 1.0, 0.0], 0.95, 2),
        ([0.1] * 20, 0.95, 4),  # binomial (20, 0.1): P(X <= 3) = 0.8670, P(X <= 4) = 0.9568 (any table)
    ],
)
def test_enough_is_the_smallest_number_that_covers_the_share(
    chances: list[float], share: float, number: int
) -> None:
    assert enough(chances, share=share) == number


def test_chances_are_said_as_people_say_them() -> None:
    assert [one_in(chance) for chance in (0.0, 0.01, 0.17, 0.5, 0.7)] == [
        "on no morning",
        "about 1 morning in 100",
        "about 1 morning in 6",
        "about 1 morning in 2",
        "on most mornings",
    ]
