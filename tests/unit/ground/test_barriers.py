"""Barriers and crossings, joined."""

import pytest

from tendline.core.line import Barrier
from tendline.core.place import LonLat, Outline
from tendline.ground.barriers import barriers_of
from tendline.ground.brought import BroughtKind, BroughtThing
from tests.unit.ground.support import faults_of

A, B, C = LonLat(-78.0, 41.0), LonLat(-77.99, 41.0), LonLat(-77.98, 41.0)
POND = Outline((((LonLat(-77.9, 41), LonLat(-77.89, 41), LonLat(-77.89, 41.01), LonLat(-77.9, 41)),),))


def barrier(name: str, **more: object) -> BroughtThing:
    return BroughtThing(BroughtKind.BARRIER, name, **more)  # type: ignore[arg-type]


def crossing(place: LonLat | None, **more: object) -> BroughtThing:
    return BroughtThing(BroughtKind.CROSSING, place=place, where="a.geojson, feature 9", **more)  # type: ignore[arg-type]


def test_pieces_of_one_name_cost_and_form_are_one_barrier() -> None:
    things = [
        barrier("Creek", path=(A, B)),
        barrier("creek", path=(B, C)),
        barrier("creek", path=(A, C), facts={"seconds": 30.0}),
        barrier("creek", outline=POND),
        barrier("", outline=POND),
        barrier("", path=(A, B)),
        BroughtThing(BroughtKind.SET, "creek", place=A),
    ]
    assert barriers_of(things) == (
        Barrier("Creek", lines=((A, B), (B, C))),
        Barrier("creek", lines=((A, C),), seconds=30.0),
        Barrier("creek", areas=POND),
        Barrier("barrier 1", areas=POND),
        Barrier("barrier 2", lines=((A, B),)),
    )


def test_areas_of_one_name_are_joined() -> None:
    (joined,) = barriers_of([barrier("pond", outline=POND), barrier("pond", outline=POND)])
    assert joined.areas == Outline(POND.polygons * 2)


def test_a_crossing_goes_to_the_barrier_it_names_in_all_its_costs() -> None:
    things = [
        crossing(C, facts={"barrier": "CREEK"}),
        barrier("creek", path=(A, B)),
        barrier("creek", path=(A, B), facts={"seconds": 5.0}),
        barrier("fence", path=(B, C)),
    ]
    assert [found.crossings for found in barriers_of(things)] == [((C,),), ((C,),), ()]


def test_a_crossing_without_a_name_goes_to_the_nearest_barrier() -> None:
    # 0.0003 degree of latitude is 33 m, within the 50 m that are looked at.
    gate = LonLat(-77.985, 41.0003)
    bridge = (LonLat(-77.995, 40.9999), LonLat(-77.995, 41.0001))
    things = [
        barrier("creek", path=(A, B)),
        barrier("fence", path=(B, C)),
        crossing(gate),
        crossing(None, path=bridge),
    ]
    assert [found.crossings for found in barriers_of(things)] == [(bridge,), ((gate,),)]


def test_crossings_that_belong_nowhere_are_told_together() -> None:
    far = LonLat(-77.985, 41.01)
    things = [
        barrier("creek", path=(A, B)),
        crossing(A, facts={"barrier": "creak"}, wanted_name="ford"),
        crossing(far),
    ]
    first, second = faults_of(lambda: barriers_of(things))
    assert (first.code.id, first.where) == ("GND-504", "a.geojson, feature 9")
    assert "crossing 'ford' is over 'creak'" in first.what
    assert "Did you mean 'creek'?" in first.do
    assert second.code.id == "GND-505"
    assert "from the nearest barrier, 'creek'" in second.what


def test_a_crossing_without_any_barrier_is_refused() -> None:
    (fault,) = faults_of(lambda: barriers_of([crossing(A)]))
    assert fault.code.id == "GND-505"
    assert "there is no barrier" in fault.what


@pytest.mark.parametrize("things", [[], [BroughtThing(BroughtKind.TRACK, path=(A, B))]])
def test_no_barriers_are_no_fault(things: list[BroughtThing]) -> None:
    assert barriers_of(things) == ()
