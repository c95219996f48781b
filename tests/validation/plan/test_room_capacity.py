"""What a day holds, against the trade's worked figures; common practice, no source.

Assumptions of the figures: 1 min a look, 2 min a park, 6 min a drive leg (farms + 1 legs), walking 3 km/h off
the path, one device in ten in need of 6 min, one catch in 100 device-nights at 25 min; after snow 2 km/h and
8 in 10 in need of 4 min.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from tendline.almanac.tending import AFTER_SNOW, FAIR, DayKind, aside_seconds, set_seconds
from tendline.plan.budget import Budget
from tendline.plan.room_ground import DayCosts, on_day, with_more
from tendline.plan.room_nouns import Prices, Site
from tendline.plan.room_round import RoundSearch, round_room, template_of
from tests.room_lines import farm_line, plain_day, sites_on
from tests.validation.plan.verify import violations

MINUTES_A_KM = 20.0
WITHIN = 0.10


@dataclass(frozen=True)
class Line:
    """One row of the figures."""

    devices: int
    farms: int
    walk_km: float
    hours: float
    day: DayKind = FAIR


FIGURES = (
    Line(12, 3, 0.6, 1.5),
    Line(20, 5, 0.5, 2.2),
    Line(40, 8, 0.8, 4.5),
    Line(40, 8, 0.8, 7.3, AFTER_SNOW),
    Line(70, 13, 0.8, 7.5),
)


def costs(kind: DayKind, *, aside_m: float = 0.0) -> DayCosts:
    """Give what a set takes, by the assumptions of the figures."""
    share = 0.1 if kind.fix_share is None else kind.fix_share
    fix_s = 360.0 if kind.fix_s is None else kind.fix_s
    set_s = set_seconds(look_s=60.0, fix_share=share, fix_s=fix_s, catch_share=0.01, catch_s=1500.0)
    each_s = set_s + aside_seconds(aside_m, snow=kind.snow)
    return DayCosts(kind.name, kind.snow, set_s, each_s)


@pytest.mark.parametrize("row", FIGURES, ids=lambda r: f"{r.devices} on {r.farms}, {r.day.name}")
def test_the_hours_of_a_line_are_those_of_the_trade(row: Line) -> None:
    line = farm_line(row.farms, row.devices, hours=12, walk_min=row.walk_km * MINUTES_A_KM)
    day = costs(row.day)
    problem = on_day(line, day)
    search = RoundSearch(1, Budget(seconds=8.0))
    found = round_room(problem, (), day=day, prices=Prices(1, 1, 1, 1), own={}, search=search)
    assert found.plan is not None
    assert violations(problem, found.plan) == []  # type: ignore[arg-type]
    assert found.plan.seconds / 3600 == pytest.approx(row.hours, rel=WITHIN)


def test_ten_more_devices_on_ground_walked_already_cost_about_18_minutes() -> None:
    day = costs(FAIR)
    before, after = (_seconds(8, devices, day) for devices in (40, 50))
    assert (after - before) / 60 == pytest.approx(18.0, rel=WITHIN)
    assert 10 * day.each_s / 60 == pytest.approx(18.0, rel=WITHIN)


def test_three_new_farms_cost_about_72_minutes_before_a_device_is_looked_at() -> None:
    day = costs(FAIR)
    more = _seconds(11, 40, day) - _seconds(8, 40, day)
    assert more / 60 == pytest.approx(72.0, rel=WITHIN)
    # The same from the price of one: a leg, a parking, a walk.
    assert 3 * Prices(day.each_s, 360.0, 120.0, 960.0).ground_s / 60 == pytest.approx(72.0, rel=WITHIN)


def _seconds(farms: int, devices: int, day: DayCosts) -> float:
    problem = on_day(farm_line(farms, devices, hours=14), day)
    found = round_room(
        problem, (), day=day, prices=Prices(1, 1, 1, 1), own={}, search=RoundSearch(1, Budget(seconds=8.0))
    )
    assert found.plan is not None
    return found.plan.seconds


def test_twenty_devices_fill_the_time_before_work() -> None:
    # "20 or so" keep a person with a job busy before it: 2.2 h of the 2 h 30 from 04:30 to 07:00.
    day = costs(FAIR)
    problem = on_day(farm_line(5, 20, hours=2.5, walk_min=0.5 * MINUTES_A_KM), day)
    found = round_room(
        problem,
        sites_on(problem),
        day=day,
        prices=Prices(1, 1, 1, 1),
        own={},
        search=RoundSearch(1, Budget(seconds=8.0)),
    )
    assert found.fits
    # 20 x 1.85 + 6 x 6 + 5 x 2 + 5 x 10 min = 133 of 150 min: 17 are free, nine at 1.85.
    assert {room.more for room in found.rooms} == {9}
    # A second line of forty does not fit into those hours at all, and that is proved.
    forty = on_day(farm_line(8, 40, hours=2.5), day)
    too_many = round_room(
        forty, (), day=day, prices=Prices(1, 1, 1, 1), own={}, search=RoundSearch(1, Budget(seconds=8.0))
    )
    assert not too_many.fits
    assert too_many.proved


def test_eighteen_loops_can_stand_on_four_acres_of_one_brush_strip() -> None:
    """A plausibility check: three or four acres of one strip hold eighteen or so loops.

    Four acres of a strip 30 m wide are 540 m: there and back is walked in 22 min at 3 km/h, and with one
    loop every 30 m all eighteen are tended, and planned, within a morning hour and a half.
    """
    strip_m = 4 * 4046.86 / 30.0
    assert strip_m == pytest.approx(540.0, rel=0.01)
    day = costs(FAIR, aside_m=15.0)
    line = farm_line(1, 2, hours=1.5, walk_min=2 * strip_m / 1000 * MINUTES_A_KM)
    problem = on_day(line, day)
    found = round_room(
        problem,
        sites_on(problem),
        day=day,
        prices=Prices(1, 1, 1, 1),
        own={},
        search=RoundSearch(1, Budget(seconds=5.0)),
    )
    assert found.rooms[0].more >= 16


def test_new_ground_by_the_job_costs_what_three_new_farms_cost_a_piece() -> None:
    day = plain_day(1.85, set_min=1.85)
    problem = on_day(farm_line(8, 40, hours=12), day)
    new = Site("new", leg_s=360.0, walk_s=960.0, beside="p3")
    search = RoundSearch(1, Budget(seconds=8.0))
    before = search.fit(problem)[0].plan
    wider = with_more(problem, new, 1, day, template_of(problem))
    after = search.fit(wider)[0].plan
    assert before is not None
    assert after is not None
    more = after.seconds - before.seconds - day.each_s
    assert more / 60 == pytest.approx(24.0, rel=0.01)
    assert np.isfinite(wider.drive.seconds).all()
