"""Places, outlines, grids, errors: what they refuse."""

import numpy as np
import pytest

from tendline.core.errors import Code, Damaged, Fault, FaultList, Refused, TendlineError
from tendline.core.grid import Grid
from tendline.core.place import LonLat, Outline
from tendline.core.source import Citation, Status


@pytest.mark.parametrize(("lon", "lat"), [(181, 0), (0, 91), (float("nan"), 0), (0, float("inf"))])
def test_a_place_must_be_on_the_earth(lon: float, lat: float) -> None:
    with pytest.raises(Refused) as caught:
        LonLat(lon, lat)
    assert caught.value.faults[0].code.id == "CORE-301"


def test_an_outline_must_be_closed() -> None:
    a, b, c = LonLat(0, 0), LonLat(1, 0), LonLat(1, 1)
    assert Outline((((a, b, c, a),),)).bbox == (0, 0, 1, 1)
    with pytest.raises(Refused) as caught:
        Outline((((a, b, c),),))
    assert caught.value.faults[0].code.id == "CORE-302"


def test_a_grid_knows_its_cells_and_their_centres() -> None:
    grid = Grid(np.zeros((3, 4), np.float32), "EPSG:32617", west=100.0, north=50.0, dx=10.0, dy=5.0)
    assert grid.cell_of(100.0, 50.0) == (0, 0)
    assert grid.cell_of(139.9, 35.1) == (2, 3)
    assert grid.cell_of(140.0, 50.0) is None
    assert grid.cell_of(float("inf"), 50.0) is None
    assert grid.centre_of(0, 0) == (105.0, 47.5)
    cut = grid.window(1, 9, -3, 2)
    assert cut.shape == (2, 2)
    assert (cut.west, cut.north) == (100.0, 45.0)
    with pytest.raises(ValueError, match="float32"):
        Grid(np.zeros((3, 4)), "EPSG:32617", west=0, north=0, dx=1, dy=1)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="positive"):
        Grid(np.zeros((3, 4), np.float32), "EPSG:32617", west=0, north=0, dx=0, dy=1)


def test_faults_are_collected_and_told_together() -> None:
    faults = FaultList()
    faults.refuse()
    code = Code("TEST-1", "A test.")
    faults.add(code, "first.", "row 1", "Mend it.")
    faults.add(code, "second.", "row 2", "Mend it.")
    with pytest.raises(Refused) as caught:
        faults.refuse()
    assert caught.value.exit_code == 2
    assert str(caught.value) == "TEST-1 row 1: first. Mend it.\nTEST-1 row 2: second. Mend it."
    assert Damaged(Fault(code, "x", "", "")).exit_code == 3
    with pytest.raises(ValueError, match="at least one"):
        TendlineError()


def test_only_what_was_seen_may_bind() -> None:
    assert Status.SECONDARY.may_bind
    assert not Status.MEMORY.may_bind
    assert not Status.UNKNOWN.may_bind
    cite = Citation("Example Act", "12(3)", "law.example/12", None, Status.TEXT)
    assert str(cite) == "Example Act, 12(3) (text seen)"
