"""Owns wind chill, and what cold does to bare skin, in bands.

Does not own medical advice: these are cautions, and a person who is wet, tired or ill is worse off.
"""

from dataclasses import dataclass

STILL_KMH = 4.8
"""Under this wind [km/h] (3 mph) the formula does not hold: the chill is the air itself."""

WARM_C = 10.0
"""Above this [degrees Celsius] (50 F) the formula does not hold."""


def wind_chill_c(air_c: float, wind_kmh: float) -> float:
    """Give the wind chill, metric.

    Parameters
    ----------
    air_c
        Air temperature [degrees Celsius].
    wind_kmh
        Wind at 10 m, as forecasts give it [km/h].

    Returns
    -------
    float
        [degrees Celsius]; the air temperature itself where the formula does not hold.

    References
    ----------
    National Weather Service and Meteorological Service of Canada (2001); Osczevski, R. & Bluestein, M.
    (2005), The new wind chill equivalent temperature chart, Bulletin of the American Meteorological Society
    86, 1453-1458: 13.12 + 0.6215 T - 11.37 V^0.16 + 0.3965 T V^0.16.
    """
    if air_c > WARM_C or wind_kmh <= STILL_KMH:
        return air_c
    blow = float(wind_kmh**0.16)
    return 13.12 + 0.6215 * air_c - 11.37 * blow + 0.3965 * air_c * blow


def wind_chill_f(air_f: float, wind_mph: float) -> float:
    """Give the wind chill, in the units of the United States table.

    Parameters
    ----------
    air_f
        Air temperature [degrees Fahrenheit].
    wind_mph
        Wind at 10 m (33 ft) [mph].

    Returns
    -------
    float
        [degrees Fahrenheit]; the air temperature itself above 50 F and at 3 mph or less.

    References
    ----------
    National Weather Service (2001), wind chill chart: 35.74 + 0.6215 T - 35.75 V^0.16 + 0.4275 T V^0.16.
    """
    if air_f > 50.0 or wind_mph <= 3.0:
        return air_f
    blow = float(wind_mph**0.16)
    return 35.74 + 0.6215 * air_f - 35.75 * blow + 0.4275 * air_f * blow


@dataclass(frozen=True)
class ColdBand:
    """What a stretch of wind chill means for bare skin.

    Parameters
    ----------
    at_most_c
        It begins at this wind chill and below [degrees Celsius].
    risk
        In a word or two.
    says
        In a sentence.
    skin_min
        Least and most minutes until bare skin freezes; None where it is not told.
    """

    at_most_c: float
    risk: str
    says: str
    skin_min: tuple[float, float] | None


COLD_BANDS = (
    ColdBand(-55.0, "extreme", "bare skin freezes in under 2 minutes; stay indoors", (0.0, 2.0)),
    ColdBand(-48.0, "severe", "bare skin freezes in 2 to 5 minutes", (2.0, 5.0)),
    ColdBand(-40.0, "very high", "bare skin freezes in 5 to 10 minutes", (5.0, 10.0)),
    ColdBand(-28.0, "high", "bare skin can freeze in 10 to 30 minutes", (10.0, 30.0)),
    ColdBand(-10.0, "moderate", "the body cools over a long time out without warm, dry clothes", None),
)
"""Coldest first."""


def cold_band(chill_c: float) -> ColdBand | None:
    """Give the band that a wind chill falls into; None above -10 degrees Celsius.

    Parameters
    ----------
    chill_c
        [degrees Celsius]; rounded to a whole degree first, as it is told to the public.

    References
    ----------
    Bands of the Meteorological Service of Canada (-10, -28, -40, -48, -55), as seen in public courses;
    the United States chart begins its 30 minutes at about -28 degrees Celsius (-18 F) too.
    """
    told = round(chill_c)
    return next((band for band in COLD_BANDS if told <= band.at_most_c), None)


def frostbite_min(air_c: float, wind_kmh: float) -> float | None:
    """Give the minutes until bare skin freezes in the most sensitive twentieth of people.

    Kept beside the bands and shown nowhere: the constants are not sure enough to be leaned on.

    Parameters
    ----------
    air_c
        [degrees Celsius], under -4.8.
    wind_kmh
        At 10 m [km/h].

    Returns
    -------
    float or None
        [min]; None where the formula does not hold, that is from 30 minutes up.

    References
    ----------
    ((-24.5 (0.667 V + 4.8)) + 2111) (-4.8 - T)^-1.668, from memory and of low confidence.
    """
    if air_c >= -4.8:
        return None
    minutes = (-24.5 * (0.667 * wind_kmh + 4.8) + 2111.0) * (-4.8 - air_c) ** -1.668
    return minutes if 0.0 < minutes < 30.0 else None
