"""Outlines: validity, what holds what, how far, what overlaps."""

import pytest

from tendline.core.errors import FaultList
from tendline.core.line import Barrier, Parcel
from tendline.core.place import LonLat, Outline, Polygon, Ring
from tendline.ground.shapes import (
    checked_outline,
    distance_to_barrier_m,
    distance_to_outline_m,
    outline_holds,
    overlaps_of,
    parcel_holding,
)


def ring(*corners: tuple[float, float]) -> Ring:
    return tuple(LonLat(*corner) for corner in (*corners, corners[0]))


def box(west: float, south: float, east: float, north: float) -> Ring:
    return ring((west, south), (east, south), (east, north), (west, north))


def parcel(name: str, *polygons: Polygon) -> Parcel:
    return Parcel(name, name, Outline(polygons))


def fault_of(*polygons: Polygon) -> tuple[str, str]:
    faults = FaultList()
    assert checked_outline(polygons, where="a.geojson, feature 1", faults=faults) is None
    (fault,) = faults.found
    assert fault.where == "a.geojson, feature 1"
    return fault.code.id, fault.what


FARM = box(-78.0, 41.0, -77.98, 41.02)


def test_a_sound_outline_comes_back_as_it_was() -> None:
    faults = FaultList()
    polygon = (FARM, box(-77.995, 41.005, -77.99, 41.01))
    assert checked_outline((polygon,), where="", faults=faults) == Outline((polygon,))
    assert faults.found == []


@pytest.mark.parametrize(
    ("polygon", "said"),
    [
        # The diagonals of a unit square meet at (0.5, 0.5).
        (
            (ring((10, 10), (11, 11), (11, 10), (10, 11)),),
            "crosses itself near longitude 10.500000, latitude 10.5",
        ),
        # The third corner lies on the first side.
        (
            (ring((10, 10), (12, 10), (12, 12), (11, 10), (10, 12)),),
            "touches itself near longitude 11.000000, latitude 10.0",
        ),
        ((box(10, 10, 11, 11), box(12, 12, 13, 13)), "a hole lies outside the outline"),
        (
            (box(10, 10, 14, 14), box(11, 11, 13, 13), box(11.5, 11.5, 12, 12)),
            "a hole lies inside another hole",
        ),
        ((box(10, 10, 14, 14), ring((10, 12), (12, 14), (14, 12), (12, 10))), "holes cut the area in two"),
    ],
)
def test_an_outline_that_is_not_simple_is_refused_with_the_place(polygon: Polygon, said: str) -> None:
    # OGC 06-103r4, section 6.1.11.1, says what a valid polygon is.
    code, what = fault_of(polygon)
    assert code == "GND-501"
    assert said in what


def test_an_outline_over_the_180th_meridian_is_refused() -> None:
    assert fault_of((box(-179.9, 52.0, 179.9, 52.1),))[0] == "GND-502"


@pytest.mark.parametrize(
    "flat", [ring((10, 10), (11, 11), (12, 12)), ring((10, 10), (10, 10), (10, 10)), ring((10, 10), (11, 11))]
)
def test_an_outline_without_area_is_refused(flat: Ring) -> None:
    assert fault_of((flat,))[0] == "GND-503"


def test_every_polygon_with_a_fault_is_told() -> None:
    faults = FaultList()
    bow = ring((10, 10), (11, 11), (11, 10), (10, 11))
    checked_outline(((bow,), (FARM,), (bow,)), where="", faults=faults)
    assert [fault.code.id for fault in faults.found] == ["GND-501", "GND-501"]


def test_an_edge_belongs_to_its_outline_and_a_hole_does_not() -> None:
    outline = Outline(((FARM, box(-77.995, 41.005, -77.99, 41.01)),))
    assert outline_holds(outline, LonLat(-77.999, 41.001))
    assert outline_holds(outline, LonLat(-78.0, 41.01))
    assert outline_holds(outline, LonLat(-78.0, 41.0))
    assert not outline_holds(outline, LonLat(-77.993, 41.007))
    assert not outline_holds(outline, LonLat(-78.001, 41.01))


def test_lots_that_share_a_side_are_one_outline() -> None:
    outline = Outline(((box(-78.0, 41.0, -77.99, 41.02),), (box(-77.99, 41.0, -77.98, 41.02),)))
    assert outline_holds(outline, LonLat(-77.99, 41.01))
    # The shared side is no edge: the nearest is 0.01 degree of latitude away, to the north or south.
    assert distance_to_outline_m(LonLat(-77.99, 41.01), outline) > 800.0


def test_the_smallest_of_several_parcels_that_hold_a_place_is_named() -> None:
    farm = parcel("farm", (FARM,))
    lot = parcel("house", (box(-77.99, 41.0, -77.985, 41.005),))
    assert parcel_holding([farm, lot], LonLat(-77.987, 41.002)) == "house"
    assert parcel_holding([lot, farm], LonLat(-77.995, 41.015)) == "farm"
    assert parcel_holding([lot, farm], LonLat(-77.97, 41.0)) is None
    assert parcel_holding([], LonLat(-77.97, 41.0)) is None
    twin = parcel("a", (FARM,))
    assert parcel_holding([farm, twin], LonLat(-77.995, 41.015)) == "a"


def test_the_distance_to_an_outline_is_the_same_sign_inside_and_out() -> None:
    outline = Outline(((FARM,),))
    inside = distance_to_outline_m(LonLat(-77.99, 41.001), outline)
    outside = distance_to_outline_m(LonLat(-77.99, 40.999), outline)
    # 0.001 degree of latitude at 41 N is 111.06 m (WGS84, GeographicLib); the side bulges by 3 cm.
    assert inside == pytest.approx(111.06, abs=0.1)
    assert outside == pytest.approx(111.06, abs=0.1)


def test_the_distance_to_a_barrier_counts_lines_and_areas() -> None:
    creek = Barrier("creek", lines=((LonLat(-78.0, 41.0), LonLat(-77.98, 41.0)),))
    pond = Barrier("pond", areas=Outline(((FARM,),)))
    assert distance_to_barrier_m([LonLat(-77.99, 41.001)], creek) == pytest.approx(111.06, abs=0.1)
    assert distance_to_barrier_m([LonLat(-77.99, 41.001)], pond) == 0.0
    bridge = [LonLat(-77.99, 40.9999), LonLat(-77.99, 41.0001)]
    assert distance_to_barrier_m(bridge, creek) == 0.0


def test_overlaps_are_told_with_their_area_and_slivers_are_not() -> None:
    one = parcel("b", (FARM,))
    other = parcel("a", (box(-77.981, 41.0, -77.96, 41.02),))
    # A hair of 1e-6 degree, 0.08 m wide and 2.2 km long: 190 m2.
    hair = parcel("c", (box(-78.02, 41.0, -77.999999, 41.02),))
    (overlap,) = overlaps_of([one, other, hair], at_least_m2=500.0)
    assert (overlap.first, overlap.second) == ("a", "b")
    # 0.001 degree of longitude at 41.01 N is 84.11 m, 0.02 degree of latitude 2221.2 m (GeographicLib):
    # 84.11 x 2221.2 = 186,825 m2.
    assert overlap.area_m2 == pytest.approx(186_825, rel=1e-3)
    assert len(overlaps_of([one, other, hair])) == 2
    assert overlaps_of([one, parcel("d", (box(-78.02, 41.0, -78.0, 41.02),))]) == ()
