"""Wind chill and frostbite against the published table, the published bands and a reference library."""

import pytest
from metpy.calc import windchill
from metpy.units import units

from tendline.almanac.cold import cold_band, frostbite_min, wind_chill_c, wind_chill_f


@pytest.mark.parametrize(
    ("air", "wind", "table", "worked"),
    [
        (40, 5, 36, 36.47),
        (20, 25, 3, 2.65),
        (10, 10, -4, -3.54),
        (0, 15, -19, -19.40),
        (-10, 20, -35, -35.11),
        (-20, 15, -45, -45.02),
        (-20, 30, -53, -53.03),
        (-45, 60, -98, -98.10),
    ],
)
def test_wind_chill_is_that_of_the_weather_services_table(
    air: float, wind: float, table: int, worked: float
) -> None:
    # National Weather Service wind chill chart (2001), as seen in two copies.
    found = wind_chill_f(air, wind)
    assert found == pytest.approx(worked, abs=0.006)
    assert round(found) == table


@pytest.mark.parametrize(("air", "wind", "chill"), [(-20, 20, -30.48), (-5, 10, -9.29), (-45, 40, -67.56)])
def test_wind_chill_in_metric_units_is_the_published_one(air: float, wind: float, chill: float) -> None:
    assert wind_chill_c(air, wind) == pytest.approx(chill, abs=0.006)


@pytest.mark.parametrize("air", [-40.0, -22.0, -5.0, 8.0])
@pytest.mark.parametrize("wind", [6.0, 25.0, 70.0])
def test_metpy_says_the_same(air: float, wind: float) -> None:
    # MetPy, metpy.calc.windchill: the metric equation in its own code. The two published equations
    # are rounded apart, and differ by up to a tenth of a degree.
    theirs = windchill(units.Quantity(air, "degC"), units.Quantity(wind, "km/hr")).to("degC").magnitude
    assert wind_chill_c(air, wind) == pytest.approx(float(theirs), abs=0.001)
    fahrenheit, mph = air * 1.8 + 32.0, wind / 1.609344
    assert wind_chill_f(fahrenheit, mph) == pytest.approx(float(theirs) * 1.8 + 32.0, abs=0.1)


def test_without_wind_or_cold_there_is_no_chill() -> None:
    assert wind_chill_c(-20.0, 4.8) == -20.0
    assert wind_chill_c(11.0, 40.0) == 11.0
    assert wind_chill_f(0.0, 3.0) == 0.0
    assert wind_chill_f(51.0, 30.0) == 51.0


@pytest.mark.parametrize(
    ("chill", "risk"),
    [
        (-9.4, None),
        (-10, "moderate"),
        (-27, "moderate"),
        (-28, "high"),
        (-39, "high"),
        (-40, "very high"),
        (-47, "very high"),
        (-48, "severe"),
        (-54, "severe"),
        (-55, "extreme"),
    ],
)
def test_the_bands_are_those_of_the_canadian_service(chill: float, risk: str | None) -> None:
    band = cold_band(chill)
    assert (band.risk if band else None) == risk


def test_zero_fahrenheit_at_15_mph_is_in_the_30_minute_band() -> None:
    # The chart marks -19 F as freezing in 30 minutes.
    band = cold_band((wind_chill_f(0.0, 15.0) - 32.0) / 1.8)
    assert band is not None
    assert band.skin_min == (10.0, 30.0)


@pytest.mark.parametrize(
    ("air", "wind", "minutes"), [(-25, 40, 8.9), (-30, 40, 6.2), (-35, 40, 4.6), (-20, 25, 16.9)]
)
def test_the_formula_for_frostbite_agrees_with_the_bands(air: float, wind: float, minutes: float) -> None:
    found = frostbite_min(air, wind)
    assert found is not None
    assert found == pytest.approx(minutes, abs=0.06)
    band = cold_band(wind_chill_c(air, wind))
    assert band is not None
    assert band.skin_min is not None
    # Formula and bands come from different hands; they agree within a minute and a half.
    assert band.skin_min[0] - 1.5 <= found <= band.skin_min[1] + 1.5


def test_where_the_formula_does_not_hold_it_says_nothing() -> None:
    assert frostbite_min(0.0, 40.0) is None
    assert frostbite_min(-10.0, 10.0) is None
