"""Owns what spots may be expected to catch together: animals shared between spots are caught once.

Does not own how far animals roam (`almanac.tending`) or which spots there is time for (`plan.room_spots`).

An animal lives anywhere with the same chance, and goes to every spot within its reach. Animals stand as thick
as `Roaming` says. So one spot by itself has as many animals within reach as share one range, and two spots
further apart than twice the reach share none. A spot that catches p in a night catches each animal within
reach with the chance p / animals; each night is by itself, and an animal that is caught once is gone:

    value(S) = sum over places x of density * (1 - product over s in S in reach of x of (1 - q_s)^nights)

A spot more never lowers this, and adds the less the more there are already.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from tendline.plan.room_nouns import Spot

Floats = npt.NDArray[np.float64]

_FINE = 24
"""So many cells to the radius of a range: sums over them are within one part in a hundred."""


@dataclass(frozen=True)
class Reach:
    """How far the animals of one species go [m], and how many share that ground."""

    radius_m: float
    animals: float


@dataclass(frozen=True, eq=False)
class Worth:
    """What spots are worth, beside what stands already.

    Parameters
    ----------
    spots, at
        Candidates, and where they are on a plane [m], shape (n, 2).
    standing, standing_at
        Sets that stand, and where, shape (m, 2).
    reach
        By species.
    nights
        For how many nights, 1 or more.
    """

    spots: Sequence[Spot]
    at: Floats
    standing: Sequence[Spot]
    standing_at: Floats
    reach: Mapping[str, Reach]
    nights: float

    @cached_property
    def _cells(self) -> tuple[Floats, npt.NDArray[np.bool_], Floats]:
        """Give, for each sort of cell: animals there that nothing standing takes, who is in reach, chances.

        Cells within reach of the same spots are put together.
        """
        weights, rows = [np.zeros(0)], [np.zeros((0, len(self.spots)), bool)]
        for species in dict.fromkeys(spot.species for spot in self.spots):
            weight, inside = self._species(species)
            weights.append(weight)
            rows.append(inside)
        escape = np.array([self._escape(spot) for spot in self.spots], dtype=np.float64)
        return np.concatenate(weights), np.concatenate(rows), escape

    def _species(self, species: str) -> tuple[Floats, npt.NDArray[np.bool_]]:
        reach = self.reach[species]
        mine = np.array([spot.species == species for spot in self.spots])
        cells = _grid(self.at[mine], reach.radius_m)
        inside = np.zeros((len(cells), len(self.spots)), dtype=bool)
        inside[:, mine] = _within(cells, self.at[mine], reach.radius_m)
        left = np.full(len(cells), reach.animals * (reach.radius_m / _FINE) ** 2)
        left /= np.pi * reach.radius_m**2
        for spot, place in zip(self.standing, self.standing_at, strict=True):
            if spot.species == species:
                near = _within(cells, place[None, :], reach.radius_m)[:, 0]
                left[near] *= self._escape(spot)
        some = inside.any(axis=1)
        kinds, number = np.unique(inside[some], axis=0, return_inverse=True)
        animals = np.zeros(len(kinds), dtype=np.float64)
        np.add.at(animals, number.ravel(), left[some])
        return animals, np.asarray(kinds, dtype=bool)

    def _escape(self, spot: Spot) -> float:
        """Give the chance that one animal within reach of a spot is not caught there in all the nights."""
        animals = self.reach[spot.species].animals
        return float((1.0 - min(1.0, spot.per_night / animals)) ** self.nights)

    def of(self, chosen: Sequence[int]) -> float:
        """Give the expected catches of some of the spots, beyond those of what stands."""
        weights, inside, escape = self._cells
        if not len(chosen):
            return 0.0
        picked = list(chosen)
        left = np.where(inside[:, picked], escape[picked], 1.0).prod(axis=1)
        return float(weights @ (1.0 - left))

    def of_all(self) -> Floats:
        """Give the same for every subset, a number whose bit i says whether spot i is in it, shape (2^n,)."""
        weights, inside, escape = self._cells
        values = np.zeros(1 << len(self.spots))
        for weight, row in zip(weights, inside, strict=True):
            left = np.ones(1)
            for i in range(len(self.spots)):
                left = np.concatenate((left, left * (escape[i] if row[i] else 1.0)))
            values += weight * (1.0 - left)
        return values

    def adds(self, chosen: Sequence[int], spot: int) -> float:
        """Give what one spot adds to others."""
        return max(0.0, self.of([*chosen, spot]) - self.of(chosen))

    def shares(self, chosen: Sequence[int], spot: int) -> list[int]:
        """Give those of the chosen whose animals come to a spot as well, the nearest first."""
        radius = self.reach[self.spots[spot].species].radius_m
        far = np.hypot(*(self.at - self.at[spot]).T)
        near = [i for i in chosen if i != spot and self.spots[i].species == self.spots[spot].species]
        return sorted((i for i in near if far[i] < 2.0 * radius), key=lambda i: (far[i], i))


def _grid(at: Floats, radius: float) -> Floats:
    """Give the middles of cells over all that is within a radius of any of the places."""
    step = radius / _FINE
    found = set[tuple[int, int]]()
    span = np.arange(-_FINE - 1, _FINE + 2)
    for x, y in np.round(at / step).astype(np.int64).tolist():
        found.update((x + int(a), y + int(b)) for a in span for b in span)
    return (np.array(sorted(found), dtype=np.float64) + 0.5) * step


def _within(cells: Floats, at: Floats, radius: float) -> npt.NDArray[np.bool_]:
    away = cells[:, None, :] - at[None, :, :]
    near: npt.NDArray[np.bool_] = (away**2).sum(axis=2) <= radius**2
    return near
