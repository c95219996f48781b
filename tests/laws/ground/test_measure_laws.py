"""What must hold for the distance from any place to any feature."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.almanac.geodesy import distance_m as geodesic_m
from tendline.core.feature import Feature
from tendline.core.place import LonLat
from tendline.core.words import Edge, FeatureClass
from tendline.ground.measure import away, distance_m, nearest

places = st.builds(LonLat, st.floats(-78.02, -77.98), st.floats(41.48, 41.52))
FAST = settings(max_examples=40, deadline=None)


def road(a: LonLat, b: LonLat, width_m: float | None = None) -> Feature:
    return Feature("road", FeatureClass.ROAD, path=(a, b), edge=Edge.CENTRE, width_m=width_m)


@FAST
@given(places, places, places)
def test_a_line_is_never_farther_than_either_end(here: LonLat, a: LonLat, b: LonLat) -> None:
    assert distance_m(here, road(a, b)) <= min(geodesic_m(here, a), geodesic_m(here, b)) + 0.01


@FAST
@given(places, places, places, places)
def test_a_step_changes_a_distance_by_no_more_than_the_step(
    here: LonLat, there: LonLat, a: LonLat, b: LonLat
) -> None:
    """Give or take half a metre: lines of five kilometres, straight on two planes, part by up to that."""
    apart = abs(distance_m(here, road(a, b)) - distance_m(there, road(a, b)))
    assert apart <= geodesic_m(here, there) * 1.0001 + 0.6


@FAST
@given(places, places, places, st.floats(1.0, 40.0))
def test_no_edge_is_farther_than_the_middle_and_no_best_below_the_least(
    here: LonLat, a: LonLat, b: LonLat, width: float
) -> None:
    for each in (*away(here, road(a, b, width)), *away(here, road(a, b))):
        assert 0.0 <= each.least_m <= each.metres <= distance_m(here, road(a, b)) + 1e-9
    told = {each.edge: each for each in away(here, road(a, b, width))}
    assert told[Edge.OUTSIDE].metres == pytest.approx(max(0.0, told[Edge.CENTRE].metres - width / 2))


@FAST
@given(places, st.lists(st.tuples(places, places, st.sampled_from(FeatureClass)), max_size=6))
def test_what_is_passed_over_is_neither_near_nor_the_nearest_of_its_class(
    here: LonLat, drawn: list[tuple[LonLat, LonLat, FeatureClass]]
) -> None:
    """Against measuring every one of them."""
    features = [Feature(str(k), kind, path=(a, b)) for k, (a, b, kind) in enumerate(drawn)]
    metres = {f.name: distance_m(here, f) for f in features}
    wanted = {f.name for f in features if metres[f.name] <= 500.0}
    for kind in {f.feature_class for f in features}:
        wanted.add(min((metres[f.name], int(f.name), f.name) for f in features if f.feature_class is kind)[2])
    found = nearest(here, features, within_m=500.0)
    assert {each.feature.name for each in found} == wanted
    assert [each.metres for each in found] == sorted(each.metres for each in found)
