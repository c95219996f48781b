"""What holds of effort whatever the diary: bounds, sums, and the order in which events are handed in."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.when import Span
from tendline.season.earning import Worked, draw_rates
from tendline.season.effort import Convention, every_group, total
from tendline.season.intervals import clopper_pearson, poisson_exact, rate_ratio, wilson
from tendline.season.stretches import nights_between
from tests.laws.season.test_columns import STEP, diary
from tests.unit.season.walks import YEAR, ZONE, walk

START = datetime(2026, 7, 1, 4, tzinfo=UTC)
HOURS = st.integers(0, 24 * 360)
GAPS = st.lists(st.integers(1, 60), min_size=12, max_size=12)


@settings(deadline=None)
@given(HOURS, st.integers(0, 400), HOURS, HOURS)
def test_nights_inside_and_outside_are_all_the_nights(at: int, long: int, one: int, two: int) -> None:
    start = START + timedelta(hours=at)
    end = start + timedelta(hours=long)
    window = Span(START + timedelta(hours=min(one, two)), START + timedelta(hours=max(one, two)))
    inside, outside = nights_between(start, end, window, ZONE)
    assert inside >= 0
    assert outside >= 0
    assert inside + outside == pytest.approx(sum(nights_between(start, end, YEAR, ZONE)))


@settings(deadline=None)
@given(HOURS, st.integers(0, 200), st.integers(0, 200))
def test_nights_add_up_over_a_look_between(at: int, first: int, second: int) -> None:
    start = START + timedelta(hours=at)
    middle = start + timedelta(hours=first)
    end = middle + timedelta(hours=second)
    parts = sum(sum(nights_between(a, b, YEAR, ZONE)) for a, b in ((start, middle), (middle, end)))
    assert parts == sum(nights_between(start, end, YEAR, ZONE))


@settings(max_examples=60, deadline=None)
@given(st.lists(STEP, max_size=12), GAPS, st.randoms(use_true_random=False))
def test_effort_is_bounded_adds_up_and_knows_no_order(steps: list, gaps: list[int], shuffle: object) -> None:
    book = diary(steps, gaps)
    found = walk(book).stretches
    for convention in Convention:
        whole = total(found, convention)
        assert 0 <= whole.effort <= whole.nights
        if convention is Convention.NELSON_CLARK:
            assert whole.effort >= whole.nights / 2
        for groups in every_group(found, convention).values():
            assert sum(g.effort for g in groups.values()) == pytest.approx(whole.effort)
            assert sum(g.held for g in groups.values()) == whole.held
    mixed = list(book.events)
    shuffle.shuffle(mixed)  # type: ignore[attr-defined]
    assert walk(mixed).stretches == found


@settings(deadline=None)
@given(st.integers(0, 300), st.integers(0, 300))
def test_ranges_hold_their_value_and_more_data_narrows_them(part: int, more: int) -> None:
    whole = part + more
    for how in (wilson, clopper_pearson):
        one = how(part, whole)
        if one.value is not None:
            assert one.low <= one.value <= one.high
            ten = how(10 * part, 10 * whole)
            assert ten.high - ten.low < one.high - one.low
    rate = poisson_exact(part)
    assert rate.low <= part <= rate.high


@settings(deadline=None)
@given(st.integers(0, 60), st.integers(0, 60), st.floats(10, 5000), st.floats(10, 5000))
def test_a_ratio_the_other_way_round_is_its_inverse(x: int, y: int, t: float, u: float) -> None:
    one, other = rate_ratio((x, t), (y, u)), rate_ratio((y, u), (x, t))
    assert one.p == pytest.approx(other.p)
    assert one.shown == other.shown
    if 0 < one.low < np.inf and 0 < one.high < np.inf:
        assert one.low == pytest.approx(1 / other.high)


def test_the_same_seed_gives_the_same_draws() -> None:
    sets = [Worked(f"S{i}", "k", "f", i % 3, i % 2, 50.0) for i in range(9)]
    assert np.array_equal(draw_rates(sets, seed=4).rates, draw_rates(sets, seed=4).rates)
    assert not np.array_equal(draw_rates(sets, seed=4).rates, draw_rates(sets, seed=5).rates)
