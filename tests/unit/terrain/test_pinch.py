"""Pinch points on ground whose pinch is known: gaps, strips, corners, crossings; what lowers them."""

from dataclasses import replace

import numpy as np
import pytest
from distributed import LocalCluster

from tendline.almanac.geodesy import Projector
from tendline.core.feature import Feature
from tendline.core.grid import Grid
from tendline.core.line import Barrier
from tendline.core.place import LonLat, Outline
from tendline.core.words import FeatureClass
from tendline.terrain import bands, scouting
from tendline.terrain.draw import Mask
from tendline.terrain.layers import lay_down
from tendline.terrain.pinch import Spot, peaks
from tendline.terrain.scouting import Asked, Scouted, coarse, scout
from tendline.terrain.scouting_each import Area, scout_each
from tendline.terrain.surface import resistance
from tendline.terrain.weights import AnimalWeights, Weight

CELL, SIZE = 10.0, 100
WEST, NORTH = 500_000.0, 4_500_000.0
CRS = "EPSG:32617"
TURN = Projector(CRS)
LEVEL = Grid(np.full((SIZE, SIZE), 200.0, np.float32), CRS, WEST, NORTH, CELL, CELL)
INSIDE: Mask = np.zeros((SIZE, SIZE), np.bool_)
INSIDE[15:-15, 15:-15] = True


def at(x: float, y: float) -> LonLat:
    """Give a place by metres from the north-west corner, y southward."""
    return TURN.to_lonlat(WEST + x, NORTH - y)


def ring(*corners: tuple[float, float]) -> Outline:
    places = tuple(at(*corner) for corner in corners)
    return Outline((((*places, places[0]),),))


def weights(**things: float) -> AnimalWeights:
    made = {name.replace("_", "-"): Weight(factor, 1.3, 0.0, "test") for name, factor in things.items()}
    return AnimalWeights("coyote", (0.0, 1.0), (1.0, 10.0), 1.2, "test", made)


def scouted(
    features: tuple[Feature, ...], told: AnimalWeights, *barriers: Barrier, grid: Grid = LEVEL
) -> Scouted:
    layers = lay_down(grid, features, barriers)
    return scout(grid, layers, told, within=INSIDE, asked=Asked(count=5, variations=3))


def words(spot: Spot) -> list[str]:
    return [reason.word for reason in spot.reasons]


LAKE_WEST = Feature("", FeatureClass.WATER, outline=ring((0, 480), (420, 480), (420, 560), (0, 560)))
LAKE_EAST = Feature("", FeatureClass.WATER, outline=ring((500, 480), (1000, 480), (1000, 560), (500, 560)))


def test_a_gap_between_two_waters_is_the_first_spot_and_says_how_wide() -> None:
    found = scouted((LAKE_WEST, LAKE_EAST), weights(water=50.0))
    first = found.spots[0]
    # The gap runs from x 420 to 500 m: its middle is column 46, rows 48 to 55.
    assert abs(first.cell[1] - 45.5) <= 5
    assert 46 <= first.cell[0] <= 58
    narrow = next(reason for reason in first.reasons if reason.word == "narrow")
    assert narrow.metres == pytest.approx(80.0, abs=25.0)
    assert narrow.between == ("water",)
    assert found.stability[0].kept == 1.0
    assert found.stability[0].variations == 3
    assert first.density > 3.0


@pytest.mark.filterwarnings("ignore")
def test_several_areas_come_out_as_each_alone_in_threads_and_on_a_cluster() -> None:
    areas = [
        Area(LEVEL, lay_down(LEVEL, features, ()), weights(water=factor), INSIDE)
        for features, factor in (((LAKE_WEST, LAKE_EAST), 50.0), ((LAKE_WEST,), 5.0), ((LAKE_EAST,), 20.0))
    ]
    asked = Asked(count=5, variations=2)
    alone = [scout(one.grid, one.layers, one.weights, within=one.within, asked=asked) for one in areas]
    with LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster:
        found = [
            scout_each(areas, asked),
            scout_each(areas, replace(asked, scheduler=cluster.scheduler_address)),
        ]
    for several in found:
        for one, expected in zip(several, alone, strict=True):
            assert np.array_equal(one.density, expected.density)
            assert one.spots == expected.spots
            assert one.stability == expected.stability


def test_open_ground_has_no_pinch() -> None:
    found = scouted((), weights(water=50.0))
    assert found.spots == ()
    assert 0.6 < found.density[INSIDE].min() < found.density[INSIDE].max() < 1.2


def test_what_lowers_a_spot_puts_it_behind_another() -> None:
    """Two gaps alike but for a footpath through one of them."""
    lakes = (
        Feature("", FeatureClass.WATER, outline=ring((0, 480), (220, 480), (220, 560), (0, 560))),
        Feature("", FeatureClass.WATER, outline=ring((300, 480), (700, 480), (700, 560), (300, 560))),
        Feature("", FeatureClass.WATER, outline=ring((780, 480), (1000, 480), (1000, 560), (780, 560))),
    )
    trail = Feature("", FeatureClass.TRAIL, path=(at(260, 100), at(260, 900)))
    told = replace(weights(water=50.0), rank={"trail": Weight(0.5, 1.0, 60.0, "test")})
    found = scouted((*lakes, trail), told)
    first, second = found.spots[:2]
    assert first.cell[1] > 60
    assert second.cell[1] < 40
    assert second.density == pytest.approx(first.density, rel=0.05)
    assert [each.what for each in second.against] == ["trail"]
    assert second.worth == pytest.approx(second.density * 0.5)


def test_a_crossing_opens_a_barrier_and_is_named() -> None:
    creek = Barrier("creek", lines=((at(0, 500), at(1000, 500)),), crossings=((at(305, 500),),))
    told = weights(barrier=50.0)
    told = replace(told, things={**told.things, "crossing": Weight(0.5, 1.2, 20.0, "test")})
    first = scouted((), told, creek).spots[0]
    assert "crossing" in words(first)
    assert abs(first.cell[1] - 30) <= 3


def test_a_field_corner_and_a_strip_of_brush_are_named() -> None:
    field = Feature("", FeatureClass.FIELD, outline=ring((0, 0), (500, 0), (500, 500), (0, 500)))
    brush = Feature("", FeatureClass.BRUSH, outline=ring((500, 0), (540, 0), (540, 1000), (500, 1000)))
    field_east = Feature("", FeatureClass.FIELD, outline=ring((540, 0), (1000, 0), (1000, 1000), (540, 1000)))
    found = scouted((field, brush, field_east), weights(field=4.0, brush=0.5))
    assert any("narrow of a brush strip" in words(spot) for spot in found.spots)
    corner = next(spot for spot in found.spots if "field corner" in words(spot))
    assert np.hypot(corner.cell[0] - 50, corner.cell[1] - 50) <= 5


def test_ground_where_nothing_is_known_is_closed_and_steep_ground_is_hard() -> None:
    z = LEVEL.z.copy()
    z[:, 70:] += np.arange(30, dtype=np.float32) * 5.0
    z[10:20, 10:20] = np.nan
    grid = replace(LEVEL, z=z)
    r = resistance(grid, lay_down(grid, ()), weights())
    assert np.all(np.isinf(r[10:20, 10:20]))
    # Half a metre a metre lies half way from 1 to 10.
    assert r[50, 90] == pytest.approx(5.5)
    assert r[50, 30] == pytest.approx(1.0)


def test_a_thing_fades_with_distance() -> None:
    house = Feature("", FeatureClass.DWELLING, place=at(505, 505))
    told = weights()
    told = replace(told, things={"dwelling": Weight(4.0, 1.0, 100.0, "test")})
    r = resistance(LEVEL, lay_down(LEVEL, (house,)), told)
    assert r[50, 50] == pytest.approx(4.0)
    assert r[50, 55] == pytest.approx(4.0)
    assert r[50, 60] == pytest.approx(2.0)
    assert r[50, 66] == pytest.approx(1.0)


def test_spots_lie_apart_and_a_flank_is_none() -> None:
    density = np.zeros((60, 60), np.float32)
    density[10, 10], density[10, 14], density[30, 40] = 9.0, 8.0, 5.0
    found = peaks(density, apart=(10, 10), most=9)
    assert found.tolist() == [[10, 10], [30, 40]]
    assert peaks(density, apart=(3, 3), most=2).tolist() == [[10, 10], [10, 14]]


def test_the_same_seed_varies_the_weights_alike() -> None:
    told = weights(water=50.0, brush=0.5)
    one, other = (told.varied(np.random.default_rng(4)) for _ in range(2))
    assert one == other
    assert told.varied(np.random.default_rng(5)) != one
    logs = [
        np.log(told.varied(np.random.default_rng(k)).things["water"].factor / 50.0) / np.log(1.3)
        for k in range(400)
    ]
    assert np.mean(logs) == pytest.approx(0.0, abs=0.15)
    assert np.std(logs) == pytest.approx(1.0, abs=0.12)


def test_a_coarser_surface_keeps_walls() -> None:
    r = np.ones((8, 8), np.float32)
    r[:, 2:4] = np.inf
    r[4:, 6:] = 4.0
    found = coarse(r, 2)
    assert found.shape == (4, 4)
    assert np.all(np.isinf(found[:, 1]))
    assert found[3, 3] == pytest.approx(4.0)
    assert coarse(r, 3).shape == (3, 3)


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_scouts_alike() -> None:
    layers, told = lay_down(LEVEL, (LAKE_WEST, LAKE_EAST)), weights(water=50.0)
    here = scout(LEVEL, layers, told, within=INSIDE, asked=Asked(count=3, variations=2))
    with LocalCluster(n_workers=1, threads_per_worker=2, processes=False, dashboard_address=None) as cluster:
        asked = Asked(count=3, variations=2, scheduler=cluster.scheduler_address)
        there = scout(LEVEL, layers, told, within=INSIDE, asked=asked)
    assert there.spots == here.spots
    assert there.stability == here.stability


def test_more_cells_than_one_piece_takes_are_scouted_alike_in_bands(monkeypatch: pytest.MonkeyPatch) -> None:
    layers, told = lay_down(LEVEL, (LAKE_WEST, LAKE_EAST)), weights(water=50.0)
    asked = Asked(count=3, variations=0)
    whole = scout(LEVEL, layers, told, within=INSIDE, asked=asked)
    monkeypatch.setattr(scouting, "WHOLE_CELLS", SIZE * SIZE - 1)
    monkeypatch.setattr(bands, "BAND_CELLS", SIZE * SIZE // 3)
    cut = scout(LEVEL, layers, told, within=INSIDE, asked=asked)
    assert [spot.cell for spot in cut.spots] == [spot.cell for spot in whole.spots]
    assert cut.density == pytest.approx(whole.density, abs=1e-3)
