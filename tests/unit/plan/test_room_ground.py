"""More sets put into a problem: beside those that stand, on new ground, and on another sort of day."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from tendline.plan.room_ground import NEW, longer, on_day, typical_leg, typical_walk, with_more
from tendline.plan.room_nouns import Site
from tendline.plan.room_round import template_of
from tests.room_lines import farm_line, plain_day, sites_on, weeks_line
from tests.weeks_lines import every_hours

DAY = plain_day(3.0)


def test_a_day_after_snow_is_walked_slower_and_every_set_takes_its_time() -> None:
    line = farm_line(2, 4, hours=4)
    snow = on_day(line, plain_day(5.0, set_min=4.0, walk=1.5))
    known = np.isfinite(line.walk.seconds)
    assert np.allclose(snow.walk.seconds[known], 1.5 * line.walk.seconds[known])
    assert (snow.walk.metres[known] == line.walk.metres[known]).all()
    assert {one.service_s for one in snow.sets} == {240.0}
    assert snow.drive is line.drive


def test_more_beside_those_that_stand_are_shared_out_evenly() -> None:
    line = farm_line(2, 6, hours=4)
    more = with_more(line, sites_on(line)[0], 7, DAY, template_of(line))
    added = [(a.service_s - b.service_s) / 180.0 for a, b in zip(more.sets, line.sets, strict=True)]
    assert added == [3, 2, 2, 0, 0, 0]
    assert longer(line, {}, 180.0).sets == line.sets


def test_new_ground_costs_a_leg_from_wherever_it_lies_beside() -> None:
    line = farm_line(3, 6, hours=4)
    site = Site("new", leg_s=300.0, walk_s=600.0, beside="p1")
    more = with_more(line, site, 2, DAY, template_of(line))
    row = {name: k for k, name in enumerate(more.drive.names)}
    legs = more.drive.seconds
    for other in ("home", "p0", "p2"):
        detour = legs[row["p1"], row[NEW]] + legs[row[NEW], row[other]] - legs[row["p1"], row[other]]
        assert detour == pytest.approx(300.0)
    assert np.allclose(np.diag(more.walk.seconds), 0.0)
    foot = {name: k for k, name in enumerate(more.walk.names)}
    there = more.walk.seconds[foot[NEW], foot[f"{NEW} 1"]]
    assert 2 * there == pytest.approx(600.0)
    assert np.isinf(more.walk.seconds[foot[NEW], foot["p0"]])
    assert more.sets[-1].service_s == 360.0


def test_over_the_days_ahead_new_ground_can_be_walked_in_pieces_and_its_clocks_run() -> None:
    line = weeks_line(farm_line(2, 4, hours=4), every_hours(48), days=3, minutes=120)
    site = Site("new", leg_s=300.0, walk_s=600.0, beside="p1")
    host = line.sets[0]
    more = with_more(line, site, 6, DAY, lambda name, s: replace(host, name=name, service_s=s))
    made = more.sets[4:]
    assert [one.service_s / 180.0 for one in made] == [2, 2, 1, 1]
    foot = {name: k for k, name in enumerate(more.walk.names)}
    order = [NEW, *(one.name for one in made), NEW]
    ring = sum(more.walk.seconds[foot[a], foot[b]] for a, b in pairwise(order))
    assert ring == pytest.approx(600.0)


def test_the_typical_leg_and_walk_are_the_middle_ones() -> None:
    line = farm_line(4, 8, hours=4, leg_min=7.0, walk_min=12.0)
    assert typical_leg(line.drive, [[p] for p in line.parkings], "home") == pytest.approx(420.0)
    assert typical_leg(line.drive, [["p0"]], "home") == pytest.approx(420.0)
    names = [[s.name for s in line.sets if s.name.startswith(f"s{k}.")] for k in range(4)]
    assert typical_walk(line, names) == pytest.approx(720.0)
