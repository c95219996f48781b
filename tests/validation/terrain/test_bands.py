"""Current in bands is current on one grid: the same answer in as many steps, here or on a cluster."""

import numpy as np
import numpy.typing as npt
import pytest
from distributed import LocalCluster

from tendline.core.errors import Refused
from tendline.terrain.across import EVERY, Direction, across
from tendline.terrain.bands import Cut, across_in_bands, cut_into_bands


def rough(shape: tuple[int, int]) -> npt.NDArray[np.float32]:
    """Make resistances over three orders of size with holes, thin walls along and across bands, islands."""
    chance = np.random.default_rng(6)
    r = 10.0 ** chance.uniform(0, 3, shape)
    r[chance.random(shape) < 0.12] = np.inf
    r[shape[0] // 2, : shape[1] * 4 // 5] = np.inf
    r[shape[0] // 5 : shape[0] * 4 // 5, shape[1] // 3] = np.inf
    r[10:16, 10:16] = np.inf
    r[12:14, 12:14] = 1.0
    return r.astype(np.float32)


@pytest.mark.parametrize("direction", EVERY)
@pytest.mark.parametrize(("bands", "levels"), [(2, 1), (5, 2), (7, 3)])
def test_bands_give_what_one_grid_gives(direction: Direction, bands: int, levels: int) -> None:
    """Not close but the same: only the order of sums differs. Thin walls lie along the cuts too."""
    r = rough((203, 118))
    whole = across(r, direction, dx=10.0, dy=12.0, tolerance=1e-10)
    cut = cut_into_bands(r.shape, bands=bands, levels=levels)
    assert len(cut.rows) - 1 >= min(bands, 4)
    found = across_in_bands(r, direction, dx=10.0, dy=12.0, tolerance=1e-10, cut=cut)
    assert found.density == pytest.approx(whole.density, rel=1e-4, abs=1e-6 * float(whole.density.max()))
    assert found.conductance == pytest.approx(whole.conductance, rel=1e-6)
    assert found.flow.residual <= 1e-10
    assert found.flow.islands == whole.flow.islands > 0
    assert found.imbalance < 1e-6
    assert abs(found.flow.steps - whole.flow.steps) <= 3


@pytest.mark.filterwarnings("ignore")
def test_bands_on_a_cluster_give_the_same() -> None:
    r = rough((96, 70))
    cut = cut_into_bands(r.shape, bands=3, levels=1)
    here = across_in_bands(r, Direction.WEST_EAST, cut=cut)
    with LocalCluster(n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None) as cluster:
        there = across_in_bands(r, Direction.WEST_EAST, cut=cut, scheduler=cluster.scheduler_address)
    assert there.density == pytest.approx(here.density, rel=1e-12)


def test_bands_are_cut_where_levels_meet_and_are_no_more_than_there_is_room_for() -> None:
    assert cut_into_bands((100, 50), bands=3, levels=2) == Cut((0, 36, 72, 100), 2)
    assert cut_into_bands((10, 50), bands=9, levels=2) == Cut((0, 4, 8, 10), 2)
    large = cut_into_bands((10_000, 10_000))
    assert large.levels == 3
    assert 30 <= len(large.rows) - 1 <= 40


def test_nothing_across_is_refused_here_too() -> None:
    r = np.ones((40, 30), np.float32)
    r[:, 12] = np.inf
    with pytest.raises(Refused) as caught:
        across_in_bands(r, Direction.WEST_EAST, cut=cut_into_bands(r.shape, bands=2, levels=1))
    assert caught.value.faults[0].code.id == "TERR-121"
