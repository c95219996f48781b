"""How cold it gets while somebody is out; the chills are those of the published table."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tendline.core.forecast import Between, Forecast, Step
from tendline.core.units import METRES_PER_MILE, Units
from tendline.core.when import Span
from tendline.plan.cold_out import cold_seen, coldest_forecast
from tendline.report.cold_text import cold_words

FIVE = datetime(2027, 1, 15, 10, tzinfo=UTC)
ZONE = ZoneInfo("America/New_York")
MPH = METRES_PER_MILE / 1000.0


def step(hour: int, air_f: float, wind_mph: float | None) -> Step:
    span = Span(FIVE + timedelta(hours=hour), FIVE + timedelta(hours=hour + 1))
    air = (air_f - 32.0) / 1.8
    wind = None if wind_mph is None else Between(wind_mph * MPH / 2.0, wind_mph * MPH)
    return Step(span, Between(air, air + 5.0), wind_kmh=wind)


def outing(start: float, end: float) -> Span:
    return Span(FIVE + timedelta(hours=start), FIVE + timedelta(hours=end))


AHEAD = Forecast("made up", (step(0, 10, 10), step(1, 0, 15), step(2, -10, 20), step(3, 20, 25)))


@pytest.mark.parametrize(
    # National Weather Service wind chill chart (2001): 10 F and 10 mph, 0 and 15, -10 and 20.
    ("end", "table", "hour"),
    [(1.0, -4, 0), (2.0, -19, 1), (2.5, -35, 2), (4.0, -35, 2)],
)
def test_the_coldest_hour_of_the_outing_is_the_tables(end: float, table: int, hour: int) -> None:
    found = coldest_forecast(AHEAD, outing(0.0, end))
    assert found is not None
    assert round(found.chill_c * 1.8 + 32.0) == table
    assert found.at == FIVE + timedelta(hours=hour)
    assert found.whole


def test_an_outing_that_nothing_tells_of_has_no_cold() -> None:
    assert coldest_forecast(AHEAD, outing(4.0, 6.0)) is None
    half = coldest_forecast(AHEAD, outing(3.0, 6.0))
    assert half is not None
    assert not half.whole


def test_the_words_say_how_long_bare_skin_has_and_where_it_is_from() -> None:
    found = coldest_forecast(AHEAD, outing(0.0, 4.0))
    assert found is not None
    (said,) = cold_words(found, Units.US, ZONE)
    # The same chart prints -35 F in its band of 10 to 30 minutes, from -18 F down.
    assert "Fri 15 Jan 07:00" in said
    assert "wind chill -35 F (forecast, not measured)" in said
    assert "10 to 30 minutes" in said
    half = coldest_forecast(AHEAD, outing(2.0, 6.0))
    assert half is not None
    assert "does not cover the whole outing" in cold_words(half, Units.METRIC, ZONE)[0]


def test_without_a_wind_no_chill_is_told() -> None:
    (said,) = cold_words(cold_seen(FIVE, -30.0, None), Units.METRIC, ZONE)
    assert "no wind told" in said
    assert "wind chill" not in said
    assert "noted" in said


def test_mild_air_needs_no_word() -> None:
    assert cold_words(cold_seen(FIVE, 2.0, 10.0), Units.US, ZONE) == ()
