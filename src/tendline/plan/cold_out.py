"""Owns how cold it gets while somebody is out: the coldest wind chill in a stretch of time, as far as told.

Does not own the formula and its bands (`almanac.cold`) or the wording (`report.cold_text`).
"""

from dataclasses import dataclass
from datetime import datetime

from tendline.almanac.cold import ColdBand, cold_band, wind_chill_c
from tendline.core.forecast import Forecast
from tendline.core.when import Span


@dataclass(frozen=True)
class ColdOut:
    """The coldest of an outing.

    Parameters
    ----------
    at
        When it is.
    air_c, chill_c
        Air and wind chill then [degrees Celsius]; the chill is the air itself where no wind is told.
    wind_told
        Whether a wind is told for it.
    seen
        A person noted it; else it is forecast.
    whole
        What was told covers the whole outing.
    """

    at: datetime
    air_c: float
    chill_c: float
    wind_told: bool
    seen: bool
    whole: bool

    @property
    def band(self) -> ColdBand | None:
        """What it means for bare skin; None where it is milder than that."""
        return cold_band(self.chill_c)


def coldest_forecast(forecast: Forecast, span: Span) -> ColdOut | None:
    """Find the coldest of a forecast within an outing; None where it tells nothing of it.

    The lower bound of the air and the upper bound of the wind are taken: what it may come to, not what it
    will.
    """
    found: list[ColdOut] = []
    whole = forecast.span.start <= span.start and span.end <= forecast.span.end
    for step in forecast.steps:
        shared = step.span.meet(span)
        if shared is None or shared.seconds <= 0.0:
            continue
        wind = None if step.wind_kmh is None else step.wind_kmh.high
        found.append(_cold(shared.start, step.air_c.low, wind, seen=False, whole=whole))
    return min(found, key=lambda cold: cold.chill_c, default=None)


def cold_seen(at: datetime, air_c: float, wind_kmh: float | None) -> ColdOut:
    """Give what a person noted of air and wind [degrees Celsius, km/h], as a note for an outing to come."""
    return _cold(at, air_c, wind_kmh, seen=True, whole=False)


def _cold(at: datetime, air_c: float, wind_kmh: float | None, *, seen: bool, whole: bool) -> ColdOut:
    chill = wind_chill_c(air_c, wind_kmh or 0.0)
    return ColdOut(at, air_c, chill, wind_kmh is not None, seen, whole)
