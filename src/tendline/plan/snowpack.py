"""Owns snow at many sets through a forecast, many times over: each member one way it may turn out.

Does not own the laws of snow (`almanac.snow`, `almanac.melt`), drawing members (`snow_draws`) or loops.

Two layers at each set: a hard base that bears the animal, and loose snow on it. New snow is loose until it
got wet and froze; then all of it is base.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tendline.almanac.datum import PACKED_LEAST, PACKED_MOST, Base
from tendline.almanac.drifts import VARIATION, log_mean, log_spread
from tendline.almanac.melt import LAPSE_C_PER_M, melt_by_rain_mm, melt_mm, snow_share
from tendline.almanac.snow import (
    SnowClass,
    cover_density,
    fresh_density_by_air,
    fresh_density_by_cloud,
    settled_by_delta_snow,
    settled_by_snow17,
)
from tendline.core.words import Surface
from tendline.plan.snow_draws import SPREAD, Floats, Spread, Weather, drawn_for, normal
from tendline.plan.spoil_nouns import AtStake, lie_of

Flags = NDArray[np.bool_]

ANIMAL_MOST = 0.8
"""Most of its depth that loose snow keeps under a walking animal; the least is `PACKED_LEAST` (common
practice, no source: a coyote sinks in powder and stays on a crust)."""


class Pack:
    """Snow at sets, in every member; arrays are sets by members.

    Parameters
    ----------
    sets
        The sets.
    members, seed
        As for `drawn_weather`.
    winter_day
        Days since 31 December, for how dense the old snow is.
    """

    def __init__(
        self, sets: Sequence[AtStake], *, members: int, seed: int, winter_day: int, spread: Spread = SPREAD
    ) -> None:
        own = np.stack([drawn_for(one.name, members=members, seed=seed) for one in sets])
        depth = np.array([one.snow.depth_m or 0.0 for one in sets])[:, None]
        bearing = np.array([one.snow.surface in _BEARING for one in sets])[:, None]
        packed = np.array([one.snow.surface is Surface.PACKED_SNOW for one in sets])[:, None]
        fresh = np.array([_loose_noted(one) for one in sets])[:, None]
        # Where nobody says what bears, the hard base may lie anywhere under what is loose.
        self.hard = np.where(bearing, depth, own[:, 0] * np.maximum(depth - fresh, 0.0))
        self.loose = depth - self.hard
        self.loose_mm = self.loose * (80.0 + 120.0 * own[:, 1])
        light, heavy = (
            cover_density(kind, depth_m=depth, winter_day=winter_day)
            for kind in (SnowClass.TAIGA, SnowClass.MARITIME)
        )
        self.hard_mm = self.hard * (light + (heavy - light) * own[:, 2])
        self.fallen = np.zeros_like(self.hard)
        self.wet: Flags = np.zeros_like(self.hard, dtype=bool)
        self.froze: Flags = np.zeros_like(self.wet)
        self.thaw_h = np.zeros_like(self.hard)
        self._trodden = PACKED_LEAST + (PACKED_MOST - PACKED_LEAST) * own[:, 3]
        self._sinks = PACKED_LEAST + (ANIMAL_MOST - PACKED_LEAST) * own[:, 4]
        self._bears = np.where(packed, 1.0, PACKED_LEAST + (1.0 - PACKED_LEAST) * own[:, 5])
        self._packed = np.where(packed, 1.0, own[:, 5])
        rng = np.random.default_rng((seed, 1))
        self._density = np.exp(spread.density * rng.standard_normal(members))
        self._settling = np.exp(spread.settling * rng.standard_normal(members))
        melting = np.exp(spread.melting * rng.standard_normal(members))
        self._told = rng.random(members) < 0.5
        shelter = np.array([_SHELTER[one.sheltered] for one in sets])[:, None]
        self._melting = melting * np.where(shelter < 0, 0.7, 1.0)
        lies = normal(own[:, 6])
        self._calm = np.exp(spread.place * lies - spread.place**2 / 2.0)
        varies = [spread.drift * VARIATION[lie_of(one)] for one in sets]
        wide = np.array([log_spread(each) for each in varies])[:, None]
        self._blown = np.exp(wide * lies + np.array([log_mean(each) for each in varies])[:, None])
        self._colder = LAPSE_C_PER_M * np.array([one.up_m for one in sets])[:, None]
        self._half = members // 2

    @property
    def depth(self) -> Floats:
        """All snow [m]."""
        deep: Floats = self.hard + self.loose
        return deep

    def surface(self, base: Base) -> Floats:
        """Give how high above the ground a surface lies [m]; it is the ground itself where no snow lies."""
        match base:
            case Base.GROUND:
                return np.zeros_like(self.hard)
            case Base.FIRST_HARD:
                return self.hard
            case Base.PACKED_SNOW:
                found: Floats = self._packed * self.hard
            case Base.FOOTPRINT:
                found = self._bears * self.hard + self._trodden * self.loose
            case Base.SNOW_SURFACE:
                found = self.depth
        return found

    def walked_on(self) -> Floats:
        """Give how high above the ground the surface lies that an animal walks on, having sunk in [m]."""
        found: Floats = self.hard + self._sinks * self.loose
        return found

    def trodden(self) -> Floats:
        """Give what the loose snow comes to under a boot [m]."""
        found: Floats = self._trodden * self.loose
        return found

    def step(self, weather: Weather) -> None:
        """Let one block of weather pass."""
        air = weather.air_c - self._colder
        rain = self._falls(weather, air)
        melt = melt_mm(weather.melt * weather.hours / 24.0 * self._melting, air_c=air)
        melt = melt + melt_by_rain_mm(rain, air_c=air)
        self._melts(melt)
        wet = (rain > _WET_MM) | ((melt > _WET_MM) & (self.depth > 0.0))
        self._settles(air, wet, weather.hours)
        self._freezes(air, wet)
        self.thaw_h += np.maximum(air, 0.0) * weather.hours

    def _falls(self, weather: Weather, air: Floats) -> Floats:
        """Let snow fall, and give the rain [mm]."""
        water, snow = weather.water_mm, weather.snow_m
        rain = np.zeros_like(self.hard)
        if water is None and snow is None:
            return rain
        half = self._half
        dense = np.concatenate(
            [fresh_density_by_cloud(air[:, :half]), fresh_density_by_air(air[:, half:])], axis=1
        )
        dense = dense * self._density
        lies = self._blown if weather.windy else self._calm
        if water is None:
            assert snow is not None
            fresh = snow * lies
            fresh_mm = fresh * dense
        else:
            share = snow_share(air)
            rain = water * (1.0 - share)
            fresh_mm = water * share * lies
            fresh = fresh_mm / dense
            if snow is not None:
                told = snow * lies
                fresh = np.where(self._told, told, fresh)
                fresh_mm = np.clip(fresh_mm, 30.0 * fresh, 300.0 * fresh)
        self.fallen += fresh
        self.loose += fresh
        self.loose_mm += fresh_mm
        return rain

    def _melts(self, melt: Floats) -> None:
        """Take melt water off the loose snow first, then off the base."""
        from_loose = np.minimum(melt, self.loose_mm)
        self.loose *= 1.0 - from_loose / np.maximum(self.loose_mm, 1e-9)
        self.loose_mm -= from_loose
        from_hard = np.minimum(melt - from_loose, self.hard_mm)
        self.hard *= 1.0 - from_hard / np.maximum(self.hard_mm, 1e-9)
        self.hard_mm -= from_hard

    def _settles(self, air: Floats, wet: Flags, hours: float) -> None:
        """Let both layers settle: half of the members by one model, half by another, wet snow twice as fast.

        The loose layer settles under its own weight, the base under both.
        """
        cold = np.minimum(air, 0.0)
        rate = np.where(wet, 2.0, 1.0) * self._settling
        half = self._half
        one, other = (slice(None), slice(None, half)), (slice(None), slice(half, None))
        for depth, water, pressing in (
            (self.loose, self.loose_mm, self.loose_mm),
            (self.hard, self.hard_mm, self.hard_mm + self.loose_mm),
        ):
            lying = np.maximum(depth[one], 1e-6)
            before = water[one] / lying
            after = settled_by_snow17(
                before, water_mm=pressing[one], snow_c=cold[one], hours=hours, rate=rate[one]
            )
            depth[one] *= before / np.maximum(after, 1e-9)
            depth[other] = settled_by_delta_snow(
                depth[other],
                water_mm=water[other],
                pressing_mm=pressing[other],
                hours=hours,
                rate=rate[other],
            )

    def _freezes(self, air: Floats, wet: Flags) -> None:
        """Turn wet snow that freezes into a hard base, and note that what was wet has frozen."""
        freezing = self.wet & (air < _FREEZES_C)
        self.froze |= freezing
        self.hard += np.where(freezing, self.loose, 0.0)
        self.hard_mm += np.where(freezing, self.loose_mm, 0.0)
        self.loose[freezing] = 0.0
        self.loose_mm[freezing] = 0.0
        self.wet = (self.wet & ~freezing) | wet


_BEARING = (Surface.PACKED_SNOW, Surface.CRUST)
_SHELTER = {None: 0, True: -1, False: 1}
_WET_MM = 0.2
"""Melt or rain in six hours that makes snow, locks and swivels wet [mm] (common practice, no source)."""

_FREEZES_C = -1.0
"""Air at which what is wet freezes [degrees Celsius] (common practice, no source)."""


def _loose_noted(one: AtStake) -> float:
    snow = one.snow
    return min(snow.new_m or 0.0, snow.depth_m or 0.0) if snow.surface is Surface.LOOSE_SNOW else 0.0
