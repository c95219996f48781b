"""What holds of every flow of current, whatever the ground.

Doyle and Snell (1984), Random Walks and Electric Networks, chapter 4: Rayleigh's monotonicity law.
Kirchhoff's laws for the rest.
"""

import numpy as np
import numpy.typing as npt
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.errors import Refused
from tendline.terrain.across import EVERY, Crossing, Direction, across

Floats = npt.NDArray[np.float32]


@st.composite
def grounds(draw: st.DrawFn) -> Floats:
    """Make ground of some size, over up to six orders of resistance, with up to a third of it closed."""
    chance = np.random.default_rng(draw(st.integers(0, 2**32)))
    shape = (draw(st.integers(2, 45)), draw(st.integers(2, 45)))
    r = 10.0 ** chance.uniform(0, draw(st.sampled_from([0.0, 2.0, 6.0])), shape)
    r[chance.random(shape) < draw(st.sampled_from([0.0, 0.1, 0.33]))] = np.inf
    return r.astype(np.float32)


def crossed(r: Floats, direction: Direction) -> Crossing | None:
    """Give the current, or None where no way leads across."""
    try:
        return across(r, direction, tolerance=1e-11)
    except Refused as problem:
        if [fault.code.id for fault in problem.faults] != ["TERR-121"]:
            raise
        return None


@settings(max_examples=60, deadline=None)
@given(grounds(), st.sampled_from(EVERY))
def test_what_enters_leaves_and_scale_does_not_matter(r: Floats, direction: Direction) -> None:
    found = crossed(r, direction)
    if found is None:
        return
    assert found.imbalance < 1e-3
    assert np.all(np.isfinite(found.density))
    assert np.all(found.density[np.isinf(r)] == 0.0)
    harder = crossed(r * np.float32(4.0), direction)
    assert harder is not None
    assert np.isclose(harder.conductance * 4.0, found.conductance, rtol=1e-3)
    assert np.allclose(harder.density, found.density, atol=1e-2 * float(found.density.max()))


@settings(max_examples=60, deadline=None)
@given(grounds(), st.sampled_from(EVERY), st.integers(0, 2**32))
def test_making_a_cell_harder_never_lets_more_across(r: Floats, direction: Direction, pick: int) -> None:
    """Rayleigh: raising any resistance cannot raise the conductance between the ends."""
    found = crossed(r, direction)
    if found is None:
        return
    harder = r.copy()
    cells = np.argwhere(np.isfinite(r))
    row, col = cells[pick % len(cells)]
    harder[row, col] *= np.float32(100.0)
    after = crossed(harder, direction)
    assert after is not None
    assert after.conductance <= found.conductance * (1.0 + 1e-4)
