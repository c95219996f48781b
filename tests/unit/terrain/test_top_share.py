"""Areas of the densest travel hold the share they say."""

import numpy as np
import pytest
import shapely

from tendline.almanac.geodesy import Projector
from tendline.core.grid import Grid
from tendline.terrain.top_share import top_shares


def test_the_areas_hold_about_the_share_they_say_and_rings_run_as_geojson_wants() -> None:
    """RFC 7946, section 3.1.6: outer rings counter-clockwise, holes clockwise."""
    y, x = np.mgrid[0:120, 0:150]
    density = (np.sin(x / 9.0) + np.cos(y / 13.0) + 3.0 + x / 100.0).astype(np.float32)
    grid = Grid(np.zeros(density.shape, np.float32), "EPSG:32617", 500_000.0, 4_500_000.0, 10.0, 10.0)
    turn = Projector(grid.crs)
    within = np.ones(density.shape, np.bool_)
    found = top_shares(grid, density, within, (0.3, 0.1))
    for share, areas in found:
        held = 0.0
        for rings in areas:
            flat = [turn.to_xys(ring) for ring in rings]
            assert shapely.LinearRing(flat[0]).is_ccw
            assert not any(shapely.LinearRing(hole).is_ccw for hole in flat[1:])
            held += shapely.Polygon(flat[0], flat[1:]).area
        assert held / (120 * 150 * 100) == pytest.approx(share, abs=0.02)
    assert top_shares(grid, density, ~within) == []
