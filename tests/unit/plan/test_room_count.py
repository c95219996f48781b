"""The largest number that fits is found whatever the first step, and what was not proved is not called so."""

import pytest

from tendline.plan.itinerary import RoundPlan
from tendline.plan.room_count import Largest, largest
from tendline.plan.room_nouns import Fit
from tests.room_lines import START, farm_line

PLAN = RoundPlan("a", "b", farm_line(1, 1, hours=1).outing, START, START, (), 0.0, 0.0, home_estimated=False)


@pytest.mark.parametrize("truth", [0, 1, 2, 7, 8, 9, 31, 50])
@pytest.mark.parametrize("step", [0, 1, 8, 30, 99])
def test_the_largest_number_is_found(truth: int, step: int) -> None:
    asked: list[int] = []

    def ask(count: int) -> Fit:
        asked.append(count)
        return Fit(PLAN) if count <= truth else Fit(None, proved=True)

    found = largest(ask, least=0, most=50, step=step, over=lambda: False)
    assert found == Largest(truth, truth)
    assert len(set(asked)) == len(asked) <= 14


def test_what_is_not_proved_leaves_the_upper_number_open() -> None:
    def ask(count: int) -> Fit:
        return Fit(PLAN) if count <= 5 else Fit(None, proved=count >= 12)

    assert largest(ask, least=0, most=40, step=4, over=lambda: False).more == 5
    assert largest(ask, least=0, most=40, step=4, over=lambda: False).most >= 11


def test_it_stops_when_told_to_with_what_is_known() -> None:
    assert largest(lambda _: Fit(PLAN), least=3, most=40, step=4, over=lambda: True) == Largest(3, 40)
