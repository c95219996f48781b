"""The door to PROJ: shapes, conventions, and that it stays shut until it is needed."""

import subprocess
import sys

import numpy as np
import pytest

from tendline.almanac.geodesy import (
    Projector,
    area_m2,
    azimuth_deg,
    distance_m,
    distances_m,
    path_m,
    utm_crs,
)
from tendline.core.place import LonLat, Outline

A, B, C = LonLat(-78.1, 40.2), LonLat(-78.0, 40.25), LonLat(-77.9, 40.1)


def test_distances_stand_in_rows_for_the_first_list() -> None:
    found = distances_m([A, B], [A, B, C])
    assert found.shape == (2, 3)
    assert found[0, 0] == 0.0
    assert found[1, 2] == distance_m(B, C)


def test_no_places_give_an_empty_table() -> None:
    assert distances_m([], [A, B]).shape == (0, 2)


def test_a_path_is_as_long_as_its_pieces() -> None:
    assert path_m([A, B, C]) == pytest.approx(distance_m(A, B) + distance_m(B, C), rel=1e-12)
    assert path_m([A]) == 0.0
    assert path_m([]) == 0.0


def test_azimuth_runs_clockwise_from_north_below_360() -> None:
    assert azimuth_deg(LonLat(10, 0), LonLat(10, 1)) == pytest.approx(0.0, abs=1e-9)
    assert azimuth_deg(LonLat(10, 0), LonLat(11, 0)) == pytest.approx(90.0)
    assert azimuth_deg(LonLat(10, 0), LonLat(9, 0)) == pytest.approx(270.0)
    assert azimuth_deg(A, A) == 0.0


def test_an_area_does_not_depend_on_which_way_its_rings_run_and_loses_its_holes() -> None:
    ring = (LonLat(0, 0), LonLat(0.02, 0), LonLat(0.02, 0.02), LonLat(0, 0.02), LonLat(0, 0))
    hole = (LonLat(0.01, 0.01), LonLat(0.015, 0.01), LonLat(0.015, 0.015), LonLat(0.01, 0.01))
    whole, turned = area_m2(Outline(((ring,),))), area_m2(Outline(((ring[::-1],),)))
    assert whole == pytest.approx(turned, rel=1e-12)
    lost = area_m2(Outline(((hole,),)))
    assert area_m2(Outline(((ring, hole),))) == pytest.approx(whole - lost, rel=1e-12)
    assert area_m2(Outline(((ring,), (hole,)))) == pytest.approx(whole + lost, rel=1e-12)


def test_zones_at_the_ends_of_the_map() -> None:
    assert utm_crs(LonLat(-180, 10)) == "EPSG:32601"
    assert utm_crs(LonLat(180, 10)) == "EPSG:32660"
    assert utm_crs(LonLat(-81, 0)) == "EPSG:32617"
    assert utm_crs(LonLat(-81, -0.1)) == "EPSG:32717"


def test_onto_the_plane_and_back_one_by_one_or_many_at_once() -> None:
    turn = Projector("EPSG:32617")
    xys = turn.to_xys([A, B, C])
    assert xys.shape == (3, 2)
    assert turn.to_xy(B) == pytest.approx(tuple(xys[1]), abs=1e-9)
    for place, back in zip((A, B, C), turn.to_lonlats(xys), strict=True):
        assert distance_m(place, back) < 1e-6
    assert distance_m(turn.to_lonlat(*turn.to_xy(A)), A) < 1e-6
    assert turn.to_xys([]).shape == (0, 2)
    assert turn.to_lonlats(np.empty((0, 2))) == ()


def test_a_system_that_proj_does_not_know_is_named() -> None:
    with pytest.raises(ValueError, match="EPSG:0"):
        Projector("EPSG:0")


def test_the_rest_of_the_almanac_loads_without_proj() -> None:
    code = "import sys, tendline.almanac.travel, tendline.almanac.geodesy; sys.exit('pyproj' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
