"""Owns the invented farms of the example: bounds, parkings, sets, barriers, drives; all names are made up.

Does not own the hills (`hills`), nor the files they are written to (`files`).
"""

from dataclasses import dataclass

import numpy as np

from tendline.core.grid import Grid
from tendline.jobs.example.hills import SOUTH, WEST

Point = tuple[float, float]

REACH_M, APART_M, STEEPEST = 300.0, 50.0, 0.45
"""How far from a parking the sets lie, how far apart [m], and the steepest ground they stand on [m/m]."""

HOME: Point = (WEST + 600.0, SOUTH + 5600.0)
"""Where the invented handler lives [m]."""


@dataclass(frozen=True)
class Farm:
    """One invented property; places in metres.

    Parameters
    ----------
    name, title, owner
        Made up.
    letter
        Its sets are called by it: ``M1``, ``M2``.
    corners
        Of its outline.
    parkings
        Name and place.
    sets
        How many.
    """

    name: str
    title: str
    owner: str
    letter: str
    corners: tuple[Point, ...]
    parkings: tuple[tuple[str, Point], ...]
    sets: int


@dataclass(frozen=True)
class Spot:
    """One invented set."""

    name: str
    farm: str
    place: Point
    landmark: str
    target: str
    loop_in: float
    bottom_in: float


def _at(*points: Point) -> tuple[Point, ...]:
    return tuple((WEST + x, SOUTH + y) for x, y in points)


FARMS = (
    Farm(
        "mill",
        "Mill Farm (invented)",
        "R. Ostrander (invented)",
        "M",
        _at((500, 3900), (1800, 3800), (2100, 5000), (700, 5150)),
        (("mill-gate", _at((620, 4300))[0]), ("mill-barn", _at((1750, 4750))[0])),
        9,
    ),
    Farm(
        "heron",
        "Heron Bottoms (invented)",
        "the Tamsin family (invented)",
        "H",
        _at((1900, 1400), (3200, 1300), (3350, 2500), (2300, 2700)),
        (("heron-lane", _at((3150, 1900))[0]),),
        7,
    ),
    Farm(
        "nook",
        "The Nook (invented)",
        "P. Ellery (invented)",
        "N",
        _at((3300, 3300), (4500, 3200), (4700, 4300), (3500, 4400)),
        (("nook-bars", _at((4450, 3500))[0]),),
        7,
    ),
    Farm(
        "tollgate",
        "Tollgate (invented)",
        "J. Abara (invented)",
        "T",
        _at((5000, 900), (6300, 700), (6500, 1900), (5200, 2100)),
        (("toll-gate", _at((5100, 1500))[0]),),
        7,
    ),
    Farm(
        "ridge",
        "Long Ridge (invented)",
        "S. Whitlow (invented)",
        "R",
        _at((5400, 3500), (7200, 3300), (7400, 4900), (5600, 5000)),
        (("ridge-low", _at((5500, 3800))[0]), ("ridge-top", _at((7250, 4300))[0])),
        10,
    ),
    Farm(
        "orchard",
        "Old Orchard (invented)",
        "M. Quill (invented)",
        "O",
        _at((4700, 5500), (5900, 5400), (6100, 6500), (4800, 6600)),
        (("orchard-yd", _at((4800, 5800))[0]),),
        6,
    ),
    Farm(
        "kiln",
        "Kiln Flats (invented)",
        "the Brandt estate (invented)",
        "K",
        _at((300, 700), (1000, 600), (1250, 2100), (350, 2300)),
        (("kiln-road", _at((420, 1200))[0]),),
        4,
    ),
)

_LANDMARKS = (
    "third post from the corner",
    "split oak on the bank",
    "culvert, left side",
    "stone pile",
    "fallen spruce",
    "saddle between two knolls",
    "end of the hedgerow",
    "bend in the two-track",
    "tin roof in line with the silo",
    "forked birch",
    "gap in the wall",
    "old hay rake",
)

LOCATIONS = {
    "third post from the corner": "fence crossing",
    "split oak on the bank": "stream bank",
    "culvert, left side": "stream bank",
    "stone pile": "field edge",
    "fallen spruce": "trail",
    "saddle between two knolls": "saddle",
    "end of the hedgerow": "field edge",
    "bend in the two-track": "trail",
    "tin roof in line with the silo": "field edge",
    "forked birch": "trail",
    "gap in the wall": "fence crossing",
    "old hay rake": "field edge",
}
"""What kind of place a set near each landmark stands in."""


def spots(ground: Grid, seed: int = 7) -> tuple[Spot, ...]:
    """Place the sets: inside the bounds, along a walk from a parking, on ground that is not too steep.

    Parameters
    ----------
    ground
        The hills.
    seed
        The same seed gives the same places.
    """
    chance = np.random.default_rng(seed + 1)
    slope = _slope(ground)
    made: list[Spot] = []
    for farm in FARMS:
        places: list[Point] = []
        while len(places) < farm.sets:
            place = _near(farm.parkings[len(places) % len(farm.parkings)][1], chance)
            cell = ground.cell_of(*place)
            apart = all(np.hypot(place[0] - p[0], place[1] - p[1]) > APART_M for p in places)
            if cell is not None and slope[cell] < STEEPEST and apart and _inside(place, farm.corners):
                places.append(place)
        for number, place in enumerate(sorted(places), start=1):
            fox = chance.random() < 0.3
            made.append(
                Spot(
                    f"{farm.letter}{number}",
                    farm.name,
                    place,
                    str(chance.choice(_LANDMARKS)),
                    "red fox" if fox else "coyote",
                    9.0 if fox else 11.0,
                    8.0 if fox else 10.0,
                )
            )
    return tuple(made)


def _near(parking: Point, chance: np.random.Generator) -> Point:
    """Give a random place within a short walk of a parking."""
    angle, far = chance.uniform(0, 2 * np.pi), REACH_M * np.sqrt(chance.uniform(0.02, 1))
    return round(parking[0] + far * float(np.cos(angle)), 1), round(
        parking[1] + far * float(np.sin(angle)), 1
    )


def _inside(place: Point, corners: tuple[Point, ...]) -> bool:
    """Say whether a place lies inside a convex outline whose corners run one way round."""
    sides = [
        (bx - ax) * (place[1] - ay) - (by - ay) * (place[0] - ax)
        for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True)
    ]
    return all(side > 0 for side in sides) or all(side < 0 for side in sides)


def _slope(ground: Grid) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    dy, dx = np.gradient(ground.z.astype(np.float64), ground.dy, ground.dx)
    slope: np.ndarray[tuple[int, int], np.dtype[np.float64]] = np.hypot(dx, dy)
    return slope


QUARRY = _at((6500, 4300), (6750, 4250), (6800, 4500), (6550, 4550))
"""An invented quarry: nobody walks through it [m]."""

BRIDGES = (_at((2230, 2210))[0], _at((3420, 4720))[0], _at((1300, 750))[0])
"""Where the creek can be crossed on foot [m]."""

DRIVES = (
    ("home", "mill-gate", 6),
    ("home", "mill-barn", 8),
    ("mill-gate", "mill-barn", 5),
    ("mill-barn", "nook-bars", 11),
    ("home", "nook-bars", 15),
    ("nook-bars", "ridge-low", 6),
    ("ridge-low", "ridge-top", 7),
    ("home", "kiln-road", 12),
    ("kiln-road", "heron-lane", 10),
    ("heron-lane", "toll-gate", 7),
    ("toll-gate", "ridge-low", 9),
    ("ridge-top", "orchard-yd", 8),
    ("orchard-yd", "home", 16),
)
"""Minutes the invented handler has noted; the other ways are estimated."""
