"""Current on grids, against resistances known in closed form and against scipy's direct solver."""

import math

import numpy as np
import numpy.typing as npt
import pytest
from scipy.sparse import coo_array
from scipy.sparse.linalg import splu

from tendline.terrain.across import EVERY, Direction, across, ends
from tendline.terrain.current import Ties, solve, ties_of

Floats = npt.NDArray[np.float64]


def between(ties: Ties, ground: Floats, a: tuple[int, int], b: tuple[int, int]) -> float:
    """Give the resistance between two nodes: the difference of potential that carries one."""
    into = np.zeros(ties.shape)
    into[a], into[b] = 1.0, -1.0
    v = solve(ties, ground, into, tolerance=1e-11).v
    return float(v[a] - v[b])


@pytest.mark.parametrize(
    ("place", "expected"),
    [((1, 0), 1 / 2), ((1, 1), 2 / math.pi), ((2, 0), 2 - 4 / math.pi), ((2, 1), 4 / math.pi - 1 / 2)],
)
def test_the_infinite_square_lattice(place: tuple[int, int], expected: float) -> None:
    """Atkinson and van Steenwijk (1999), Infinite resistive lattices, Am. J. Phys. 67, 486-492, table I.

    The lattice is cut off at a grounded rim. The error that makes falls with the square of the size.
    """
    off = []
    for size in (101, 201):
        ground = np.zeros((size, size))
        ground[[0, -1]] = ground[:, [0, -1]] = 1.0
        middle = size // 2
        found = between(
            ties_of(np.ones((size, size))), ground, (middle, middle), (middle + place[0], middle + place[1])
        )
        off.append(abs(found - expected))
    assert off[1] < 1e-4
    assert off[0] / off[1] == pytest.approx(4.0, rel=0.05)


def test_layers_in_series_add_their_resistances_and_strips_side_by_side_their_conductances() -> None:
    """Kirchhoff: n columns in series are the sum of resistances; rows in parallel the sum of conductances."""
    column = np.array([1, 2, 4, 8, 16, 2, 1, 64, 32, 1, 2], np.float64)
    rows = 7
    layers = np.tile(column, (rows, 1))
    # Half a cell at both ends is counted by the edges, so the whole is the sum of all columns.
    series = across(layers, Direction.WEST_EAST, tolerance=1e-12).conductance
    assert series == pytest.approx(rows / column.sum(), rel=1e-7)
    strips = np.tile(column[:, None], (1, 9))
    parallel = across(strips, Direction.WEST_EAST, tolerance=1e-12).conductance
    assert parallel == pytest.approx(np.sum(1 / column) / 9, rel=1e-9)


def test_oblong_cells_conduct_as_a_sheet_does() -> None:
    """A sheet of resistance one per square carries height over length."""
    found = across(np.ones((12, 30)), Direction.WEST_EAST, dx=3.0, dy=5.0, tolerance=1e-11).conductance
    assert found == pytest.approx(12 * 5 / (30 * 3), rel=1e-6)


def rough(seed: int, shape: tuple[int, int]) -> Floats:
    """Make resistances over three orders of size, walls with gaps, holes, and an island."""
    chance = np.random.default_rng(seed)
    r = 10.0 ** chance.uniform(0, 3, shape)
    r[chance.random(shape) < 0.15] = np.inf
    r[shape[0] // 3, : shape[1] * 3 // 4] = np.inf
    r[5:12, 5:12] = np.inf
    r[7:10, 7:10] = 1.0
    return r


def matrix(ties: Ties, ground: Floats) -> coo_array:
    """Assemble the equations from the ties, one by one."""
    rows, cols = ties.shape
    number = np.arange(rows * cols).reshape(rows, cols)
    parts = [
        (number[:, :-1], number[:, 1:], ties.e[1:-1, 1:-2]),
        (number[:-1], number[1:], ties.s[1:-2, 1:-1]),
    ]
    if ties.se.size:
        parts.append((number[:-1, :-1], number[1:, 1:], ties.se[1:-2, 1:-2]))
        parts.append((number[:-1, 1:], number[1:, :-1], ties.sw[1:-2, 2:-1]))
    i = np.concatenate([a.ravel() for a, _, _ in parts])
    j = np.concatenate([b.ravel() for _, b, _ in parts])
    c = np.concatenate([tie.ravel() for _, _, tie in parts]).astype(np.float64)
    n = np.arange(rows * cols)
    entries = np.concatenate([c, c, -c, -c, ground.ravel()])
    where = (np.concatenate([i, j, i, j, n]), np.concatenate([i, j, j, i, n]))
    return coo_array((entries, where), shape=(rows * cols, rows * cols))


@pytest.mark.parametrize("neighbours", [4, 8])
@pytest.mark.parametrize("shape", [(40, 53), (61, 38), (1, 30), (30, 1), (64, 64)])
def test_the_same_as_a_direct_solver(neighbours: int, shape: tuple[int, int]) -> None:
    """scipy.sparse.linalg.splu on the same equations, without what is tied to nothing that is grounded."""
    r = rough(3, shape) if min(shape) > 20 else np.linspace(1.0, 5.0, 30).reshape(shape)
    ties = ties_of(r, neighbours=neighbours)
    ground, into = np.zeros(shape), np.zeros(shape)
    ground[:, -1] = ground[0] = 0.5
    ground[np.isinf(r)] = 0.0
    found = solve(ties, ground, into + ground * 0.25, tolerance=1e-12)
    live = ~np.isnan(found.v).ravel()
    whole = matrix(ties, ground).tocsr()
    direct = splu(whole[live][:, live].tocsc()).solve((ground * 0.25).ravel()[live])
    assert np.max(np.abs(found.v.ravel()[live] - direct)) < 1e-9
    # What was left out has no tie to what was kept.
    assert abs(whole[live][:, ~live]).sum() == 0
    passable = np.isfinite(r).ravel()
    tied = abs(whole - np.diag(whole.diagonal())).sum(axis=1) > 0
    assert found.islands == int(np.sum(passable & ~live & np.asarray(tied).ravel()))
    if min(shape) > 20:
        assert found.islands >= 9


def test_what_goes_in_comes_out_and_nothing_is_beyond_the_ends() -> None:
    """Kirchhoff's current law over the whole, and the maximum principle."""
    r = rough(11, (120, 90))
    for direction in EVERY:
        found = across(r, direction)
        assert found.imbalance < 1e-5
        assert across(r, direction, tolerance=1e-12).imbalance < 1e-8
        assert np.nanmin(found.flow.v) >= -1e-7
        assert np.nanmax(found.flow.v) <= 1 + 1e-7
        assert found.flow.residual <= 1e-8
        assert np.all(found.density[np.isinf(r)] == 0)


def test_swapping_ends_gives_the_same_resistance() -> None:
    """Reciprocity: the potential at b for current at a is that at a for current at b."""
    r = rough(5, (50, 60))
    ties = ties_of(r)
    ground = np.zeros(r.shape)
    ground[:, 0] = 1.0
    ground[np.isinf(r)] = 0
    live = ~np.isnan(solve(ties, ground, ground).v)
    a, b = (tuple(map(int, spot)) for spot in np.argwhere(live)[[900, 2000]])
    one, other = np.zeros(r.shape), np.zeros(r.shape)
    one[a], other[b] = 1.0, 1.0
    there = solve(ties, ground, one, tolerance=1e-12).v[b]
    back = solve(ties, ground, other, tolerance=1e-12).v[a]
    assert there == pytest.approx(back, rel=1e-8)


def test_all_current_passes_a_gap_and_an_even_sheet_is_even() -> None:
    """Of one in all, a gap one cell wide in a wall carries one: density is width over gap."""
    r = np.ones((41, 61))
    r[:, 30] = np.inf
    r[20, 30] = 1.0
    found = across(r, Direction.WEST_EAST)
    assert found.density[20, 30] == pytest.approx(41.0, rel=1e-5)
    assert np.argmax(found.density) == 20 * 61 + 30
    even = across(np.ones((30, 30)), Direction.NORTH_SOUTH).density
    assert even == pytest.approx(1.0, abs=1e-5)


@pytest.mark.parametrize("direction", EVERY)
def test_turning_the_ground_turns_the_answer(direction: Direction) -> None:
    """A mirror image carries the mirror image: nothing depends on the order in which cells are solved."""
    r = rough(2, (60, 60))
    mirrored = {
        Direction.WEST_EAST: Direction.WEST_EAST,
        Direction.NORTH_SOUTH: Direction.NORTH_SOUTH,
        Direction.NORTHWEST_SOUTHEAST: Direction.SOUTHWEST_NORTHEAST,
        Direction.SOUTHWEST_NORTHEAST: Direction.NORTHWEST_SOUTHEAST,
    }
    found = across(r, direction, tolerance=1e-11).density
    image = across(r[::-1], mirrored[direction], tolerance=1e-11).density[::-1]
    assert image == pytest.approx(found, abs=1e-3 * float(found.max()))


def test_the_ends_of_a_direction_lie_on_opposite_sides() -> None:
    for direction in EVERY:
        held = ends(direction, (7, 10))
        enters, leaves = held.west.sum() + held.first.sum(), held.east.sum() + held.last.sum()
        assert enters == leaves > 0
