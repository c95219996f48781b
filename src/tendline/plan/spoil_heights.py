"""Owns following every loop through the members: lowest and highest in each band, what is under the snow.

Does not own how the snow changes (`snowpack`) or what to do about it (`spoil_advice`).

h(t) = h_now - (D(t) - D_now), D the height of the surface the band is measured from: the loop hangs from its
support, the snow comes and goes under it.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tendline.almanac.datum import Base
from tendline.core.forecast import Between
from tendline.plan.snow_draws import Floats, place_in_range
from tendline.plan.snowpack import Pack
from tendline.plan.spoil_advice import Reach, SetReach
from tendline.plan.spoil_nouns import AtStake, Band, BandDay, Point

THAW_DEGREE_HOURS = 24.0
"""Thaw after which an anchor driven in frost is tried again: a degree for a day (common practice)."""

ANIMAL_SLACK_M = 0.05
"""How far outside its band a loop may hang before it is put right for the animal: two inches (common
practice, no source; the bands of the tables are an inch or two wide)."""

_ORDER = (Base.GROUND, Base.FIRST_HARD, Base.PACKED_SNOW, Base.FOOTPRINT, Base.SNOW_SURFACE)
_WALK = None


@dataclass
class _Slot:
    """All bands of one kind: which sets, where their loop hangs above the ground, and the extremes so far."""

    base: Base | None
    rows: NDArray[np.intp]
    bands: list[Band]
    hangs: Floats
    day_low: Floats
    day_high: Floats
    all_low: Floats
    all_high: Floats


@dataclass(frozen=True)
class _Begin:
    """How things stand now: where in its range each height lies, and every surface [m]."""

    place: Floats
    surfaces: Mapping[Base, Floats]


class Watch:
    """Follows loops through days.

    Parameters
    ----------
    sets, pack
        The sets, and the snow at them as it is now.
    members, seed
        As the pack was drawn with.
    """

    def __init__(self, sets: Sequence[AtStake], pack: Pack, *, members: int, seed: int) -> None:
        self._sets, self._pack = sets, pack
        place = np.stack([place_in_range(one.name, members=members, seed=seed) for one in sets])
        grouped: dict[tuple[Base | None, Point], list[tuple[int, Band]]] = defaultdict(list)
        for i, one in enumerate(sets):
            for band in one.laws:
                grouped[band.base, band.point].append((i, band))
            if one.animal is not None:
                grouped[_WALK, one.animal.point].append((i, one.animal))
        begin = _Begin(place, {base: pack.surface(base) for base in _ORDER})
        self._slots: list[_Slot] = []
        for (base, point), held in grouped.items():
            known = [(i, b) for i, b in held if _hung(sets[i], point, base) is not None]
            if known:
                self._slots.append(_slot(sets, known, (base, point), begin))
        self._loops = {
            point: np.stack([_hangs(one, (None, point), i, begin) for i, one in enumerate(sets)])
            for point in Point
        }
        marks = np.array([np.nan if one.landmark_m is None else one.landmark_m for one in sets])
        self._marks = np.broadcast_to(marks[:, None], place.shape)
        self._deepest = pack.depth.copy()
        self._begun = False

    def new_day(self) -> None:
        """Forget the extremes of the day before; on the first day, look at how things stand now."""
        for slot in self._slots:
            slot.day_low = np.full_like(slot.hangs, np.inf)
            slot.day_high = np.full_like(slot.hangs, -np.inf)
        self._deepest = np.zeros_like(self._deepest)
        if not self._begun:
            self._begun = True
            self.look()

    def look(self) -> None:
        """Take in how high each loop hangs now."""
        surfaces: dict[Base | None, Floats] = {}
        for slot in self._slots:
            if slot.base not in surfaces:
                walk = slot.base is None
                surfaces[slot.base] = (
                    self._pack.walked_on() if walk else self._pack.surface(slot.base or Base.GROUND)
                )
            height = slot.hangs - surfaces[slot.base][slot.rows]
            np.minimum(slot.day_low, height, out=slot.day_low)
            np.maximum(slot.day_high, height, out=slot.day_high)
            np.minimum(slot.all_low, height, out=slot.all_low)
            np.maximum(slot.all_high, height, out=slot.all_high)
        np.maximum(self._deepest, self._pack.depth, out=self._deepest)

    def law_days(self) -> list[tuple[BandDay, ...]]:
        """Give, for each set, how its loop stood in each band of the law this day."""
        found: list[list[BandDay]] = [[] for _ in self._sets]
        for slot in self._slots:
            if slot.base is not _WALK:
                for row, day in _band_days(slot):
                    found[row].append(day)
        return [tuple(days) for days in found]

    def animal_days(self) -> list[BandDay | None]:
        """Give, for each set, how its loop stood for its animal this day."""
        found: list[BandDay | None] = [None for _ in self._sets]
        for slot in self._slots:
            if slot.base is _WALK:
                for row, day in _band_days(slot):
                    found[row] = day
        return found

    def buried(self) -> list[tuple[float | None, float | None, float | None]]:
        """Give, for each set, the chance this day that snow reaches over bottom, top and landmark."""
        bars = (self._loops[Point.BOTTOM], self._loops[Point.TOP], self._marks)
        chances = [
            np.where(np.isnan(bar).any(axis=1), np.nan, (self._deepest > bar).mean(axis=1)) for bar in bars
        ]
        lists = [[None if np.isnan(c) else float(c) for c in chance] for chance in chances]
        return list(zip(*lists, strict=True))

    def thawed(self) -> Floats:
        """Give, for each set, the chance that the ground has thawed by now."""
        found: Floats = (self._pack.thaw_h >= THAW_DEGREE_HOURS).mean(axis=1)
        return found

    def to_fix(self) -> Floats:
        """Say for each set and member whether it needs a hand this day: 1 or 0."""
        bad = np.zeros_like(self._deepest, dtype=bool)
        for slot in self._slots:
            low, high = _bounds(slot)
            wrong = (slot.day_low < low - _CLOSE) | (slot.day_high > high + _CLOSE)
            np.logical_or.at(bad, slot.rows, wrong)
        with np.errstate(invalid="ignore"):
            bad |= self._deepest > self._loops[Point.BOTTOM] + ANIMAL_SLACK_M
        bad |= self._pack.froze
        working = np.array([one.working for one in self._sets])[:, None]
        found: Floats = (bad & working).astype(np.float64)
        return found

    def reach(self) -> Reach:
        """Give, for each set, how far its loop has to be moved to have stood right until now."""
        found: list[list[SetReach]] = [[] for _ in self._sets]
        for slot in self._slots:
            law = slot.base is not _WALK
            low, high = _bounds(slot)
            up = np.percentile(np.maximum(low - slot.all_low, -_FAR_M), 80.0, axis=1)
            down = np.percentile(np.minimum(high - slot.all_high, _FAR_M), 20.0, axis=1)
            for k, row in enumerate(slot.rows):
                found[row].append(SetReach(law, float(up[k]), float(down[k])))
        return Reach(tuple(tuple(each) for each in found))


def _bounds(slot: _Slot) -> tuple[Floats, Floats]:
    """Give the bounds of every band, widened for an animal."""
    slack = ANIMAL_SLACK_M if slot.base is _WALK else 0.0
    low = np.array([-np.inf if b.least_m is None else b.least_m - slack for b in slot.bands])[:, None]
    high = np.array([np.inf if b.most_m is None else b.most_m + slack for b in slot.bands])[:, None]
    return low, high


_FAR_M = 10.0
"""Stands for no bound [m]."""

_CLOSE = 1e-9
"""A height is not wrong by the last bits of a number [m]."""


def _band_days(slot: _Slot) -> list[tuple[int, BandDay]]:
    low, high = _bounds(slot)
    under = (slot.day_low < low - _CLOSE).mean(axis=1)
    over = (slot.day_high > high + _CLOSE).mean(axis=1)
    least = np.percentile(slot.day_low, 10.0, axis=1)
    most = np.percentile(slot.day_high, 90.0, axis=1)
    return [
        (
            int(row),
            BandDay(slot.bands[k], float(least[k]), float(most[k]), float(under[k]), float(over[k])),
        )
        for k, row in enumerate(slot.rows)
    ]


def _slot(
    sets: Sequence[AtStake],
    known: Sequence[tuple[int, Band]],
    kind: tuple[Base | None, Point],
    begin: _Begin,
) -> _Slot:
    hangs = np.stack([_hangs(sets[i], kind, i, begin) for i, _ in known])
    none, most = np.full_like(hangs, np.inf), np.full_like(hangs, -np.inf)
    rows = np.array([i for i, _ in known], dtype=np.intp)
    return _Slot(kind[0], rows, [b for _, b in known], hangs, none.copy(), most.copy(), none, most)


def _hung(one: AtStake, point: Point, base: Base | None) -> tuple[Base, Between] | None:
    """Choose from which surface a height is carried on: the ground, else the band's own, else any."""
    held = one.heights.get(point, {})
    order = _ORDER if base is None else (Base.GROUND, base, *_ORDER)
    return next(((b, held[b]) for b in order if b in held), None)


def _hangs(one: AtStake, kind: tuple[Base | None, Point], row: int, begin: _Begin) -> Floats:
    """Give how high above the ground a loop hangs, by member; not a number when it cannot be told."""
    found = _hung(one, kind[1], kind[0])
    if found is None:
        return np.full(begin.place.shape[1], np.nan)
    above, height = found
    hangs: Floats = height.low + (height.high - height.low) * begin.place[row] + begin.surfaces[above][row]
    return hangs
