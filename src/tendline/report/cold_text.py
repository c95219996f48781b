"""Owns the cautions of cold on a round, in words.

Does not own the cold (`plan.cold_out`) or its bands (`almanac.cold`).
"""

from zoneinfo import ZoneInfo

from tendline.core.units import Units
from tendline.core.when import clock_text
from tendline.plan.cold_out import ColdOut
from tendline.report.weather_tables import degrees

NOT_TOLD = "Cold: the forecast tells nothing of the hours of this outing."


def cold_words(cold: ColdOut, units: Units, zone: ZoneInfo) -> tuple[str, ...]:
    """Write what the cold means for bare skin; nothing where it is milder than the mildest band.

    Where no wind is told, that is said instead of a wind chill.
    """
    if cold.band is None:
        return ()
    at = clock_text(cold.at, zone)
    how = "noted" if cold.seen else "forecast, not measured"
    what = f"wind chill {degrees(cold.chill_c, units)}"
    if not cold.wind_told:
        what = f"air {degrees(cold.air_c, units)} and no wind told, with wind it is colder"
    ends = "" if cold.whole or cold.seen else " The forecast does not cover the whole outing."
    return (f"Cold, {at}: {what} ({how}): {cold.band.says}; wet or tired it is worse.{ends}",)
