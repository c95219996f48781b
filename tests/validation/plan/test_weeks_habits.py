"""What a record says of a person, against records made from known figures and a reference library."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from tendline.plan.weeks_habits import CATCHES, FIXES, LEGS, Did, Leg, habits_of

FIRST = date(2027, 1, 1)


def record(
    *,
    days: int = 20,
    each: int = 12,
    walk: float = 1.3,
    look: float = 75.0,
    noise: float = 0.0,
    seed: int = 1,
) -> list[Leg]:
    """Make legs of somebody who walks and looks so long."""
    chance = np.random.default_rng(seed)
    legs = []
    for k in range(days):
        factor = float(np.exp(chance.normal(0.0, noise))) if noise else 1.0
        for _ in range(each):
            planned = float(chance.uniform(60, 600))
            legs.append(
                Leg(FIRST + timedelta(days=k), "Ann", Did.LOOK, look + walk * factor * planned, planned)
            )
    return legs


def test_walking_and_looking_come_back_as_they_were_made() -> None:
    found = habits_of(record())
    assert found.walk == pytest.approx(1.3)
    assert found.look_s == pytest.approx(75.0)


def test_the_slope_is_that_of_a_reference_library() -> None:
    legs = record(noise=0.2)
    x, y = [leg.walk_s for leg in legs], [leg.gap_s for leg in legs]
    sen = stats.theilslopes(y, x)
    found = habits_of(legs)
    # Pairs of walks within 30 s of each other are left out here, and pairs of the same length there.
    assert found.walk == pytest.approx(sen.slope, rel=0.03)


def test_a_pause_now_and_then_moves_neither() -> None:
    legs = record()
    paused = [replace(leg, gap_s=leg.gap_s + 3000.0) if k % 10 == 0 else leg for k, leg in enumerate(legs)]
    found = habits_of(paused)
    assert found.walk == pytest.approx(1.3, rel=0.05)
    assert found.look_s == pytest.approx(75.0, abs=15.0)


def test_the_spread_of_days_is_the_one_they_were_drawn_with() -> None:
    found = habits_of(record(days=200, noise=0.2, seed=5))
    # Standard error of a standard deviation from n days: sigma / sqrt(2 n) = 0.01.
    assert found.travel == pytest.approx(0.2, abs=0.04)


def test_repairs_and_catches_take_what_they_take_over_a_look() -> None:
    legs = record()
    fixes = [replace(leg, did=Did.FIX, gap_s=leg.gap_s + 300.0) for leg in legs[:FIXES]]
    caught = [replace(leg, did=Did.CATCH, gap_s=leg.gap_s + 1400.0) for leg in legs[:CATCHES]]
    found = habits_of([*legs, *fixes, *caught], catches=12, nights=800.0)
    assert found.fix_s == pytest.approx(300.0)
    assert found.catch_s == pytest.approx(1400.0)
    assert found.fix_share == pytest.approx(FIXES / (len(legs) + FIXES))
    assert found.per_night == pytest.approx(12 / 800)


def test_mornings_after_snow_are_held_apart() -> None:
    legs = record()
    snowy = [replace(leg, snow=True, gap_s=75.0 + 1.3 * 1.7 * leg.walk_s) for leg in record(days=4, seed=9)]
    found = habits_of([*legs, *snowy])
    assert found.walk == pytest.approx(1.3)
    assert found.storm_factor == pytest.approx(1.7)


def test_too_few_records_say_nothing() -> None:
    legs = record(days=3)[: LEGS - 1]
    found = habits_of(legs, catches=9, nights=500.0)
    assert (found.walk, found.look_s, found.fix_s, found.catch_s, found.travel, found.per_night) == (
        None,
    ) * 6
    assert found.counts["legs"] == LEGS - 1
    enough = habits_of(record())
    assert (enough.fix_s, enough.catch_s, enough.storm_factor, enough.per_night) == (None,) * 4


def test_time_noted_at_the_sets_is_taken_as_it_is() -> None:
    legs = [replace(leg, stay_s=90.0, gap_s=90.0 + 1.1 * leg.walk_s) for leg in record()]
    fixes = [replace(leg, did=Did.FIX, stay_s=90.0 + 240.0) for leg in legs[:FIXES]]
    found = habits_of([*legs, *fixes])
    assert found.walk == pytest.approx(1.1)
    assert found.look_s == pytest.approx(90.0)
    assert found.fix_s == pytest.approx(240.0)


def test_a_record_that_cannot_tell_looks_from_walks_keeps_the_usual_look() -> None:
    # Five minutes from set to set whatever the way: the mean leg is kept, the look is the usual minute.
    flat = [replace(leg, gap_s=300.0) for leg in record()]
    found = habits_of(flat, usual_look_s=60.0)
    assert found.look_s is None
    ratio = float(np.median([240.0 / leg.walk_s for leg in flat]))
    assert found.walk == pytest.approx(ratio)


def test_times_that_are_no_walking_say_nothing() -> None:
    swift = [replace(leg, gap_s=61.0) for leg in record()]
    assert habits_of(swift, usual_look_s=60.0).walk is None
