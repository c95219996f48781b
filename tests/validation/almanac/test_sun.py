"""The sun against published values and against pvlib's copy of NREL's solar position algorithm.

Sources
-------
[SPA]    Reda, I. and Andreas, A. (2004), Solar position algorithm for solar radiation applications, Solar
         Energy 76, worked example of the appendix. Many public libraries test against the same figures.
[pvlib]  pvlib.spa, an independent program of the same algorithm (stated accuracy 0.0003 degrees).
[USNO]   United States Naval Observatory table for Atlanta, as quoted in the PyEphem manual, "Rise-set".
"""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import numpy.typing as npt
import pytest
from pvlib import spa

from tendline.almanac.sun import NoEvent, sun_position, sun_times
from tendline.core.place import LonLat

Floats = npt.NDArray[np.float64]
DELTA_T_S = 69.0
"""Terrestrial less universal time handed to pvlib [s]; right to a second for the 2020s."""

PLACES = [
    pytest.param(LonLat(-78.0, 41.5), "America/New_York", id="northern Pennsylvania"),
    pytest.param(LonLat(-88.0, 44.5), "America/Chicago", id="eastern Wisconsin"),
    pytest.param(LonLat(-100.3, 44.4), "America/Chicago", id="middle of South Dakota"),
    pytest.param(LonLat(-81.0, 34.0), "America/New_York", id="South Carolina"),
    pytest.param(LonLat(-78.5, -0.2), "America/Guayaquil", id="equator"),
    pytest.param(LonLat(179.9, -16.8), "Pacific/Fiji", id="just west of the date line"),
    pytest.param(LonLat(-176.6, 51.9), "America/Adak", id="just east of the date line"),
    pytest.param(LonLat(-68.3, -54.8), "America/Argentina/Ushuaia", id="southern winter"),
    pytest.param(LonLat(10.75, 59.9), "Europe/Oslo", id="sixty degrees north"),
]


def _spa_heights(unix: Floats, place: LonLat) -> Floats:
    """Geocentric height of the sun's centre by SPA [degrees], from its sidereal time and apparent place."""
    sidereal, ascension, declination = spa.solar_position(unix, 0, 0, 0, 0, 0, DELTA_T_S, 0, 1, sst=True)[:3]
    lat, dec = np.radians(place.lat), np.radians(declination)
    hour = np.radians(sidereal + place.lon - ascension)
    sine = np.sin(lat) * np.sin(dec) + np.cos(lat) * np.cos(dec) * np.cos(hour)
    return np.asarray(np.degrees(np.arcsin(sine)), dtype=np.float64)


def _spa_crossings(near: Sequence[datetime], bounds: Sequence[float], place: LonLat) -> Floats:
    """Find by halving, with SPA alone, when the sun passes each bound, within 20 minutes of `near` [s]."""
    middle = np.array([instant.timestamp() for instant in near])
    low, high, bound = middle - 1200, middle + 1200, np.array(bounds)
    below_first = _spa_heights(low, place) < bound
    assert (below_first != (_spa_heights(high, place) < bound)).all(), "the reference has no crossing here"
    for _ in range(16):  # 2400 s / 2^16 = 0.04 s
        middle = (low + high) / 2
        early = (_spa_heights(middle, place) < bound) == below_first
        low, high = np.where(early, middle, low), np.where(early, high, middle)
    return middle


def test_the_worked_example_of_reda_and_andreas_is_met() -> None:
    """[SPA] 2003-10-17 12:30:30 UTC-7, 39.742476 N 105.1786 W; 0.01 degrees is 3 s of time there."""
    where = sun_position(datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC), LonLat(-105.1786, 39.742476))

    assert where.elevation == pytest.approx(39.872046, abs=0.01)  # topocentric, no refraction
    assert where.azimuth == pytest.approx(194.340241, abs=0.01)
    assert where.declination == pytest.approx(
        -9.316179, abs=0.003
    )  # published one is topocentric: 0.0015 off
    assert where.right_ascension == pytest.approx(202.22704, abs=0.005)  # the same


def test_sunrise_and_sunset_of_the_worked_example_are_met() -> None:
    """[SPA] 06:12:43 and 17:20:19 (from memory of the header of SPA's own code); 3 s as below.

    SPA works by the day of universal time, so that its sunset for 17 October, 00:20:19 UT, is what a clock in
    Colorado shows in the evening of the 16th; sunset moves by 87 s a day there: the two are easily told
    apart.
    """
    place, zone = LonLat(-105.1786, 39.742476), ZoneInfo("Etc/GMT+7")
    sunrise = sun_times(place, date(2003, 10, 17), zone).sunrise
    sunset = sun_times(place, date(2003, 10, 16), zone).sunset

    assert sunrise is not None
    assert sunset is not None
    assert abs(sunrise - datetime(2003, 10, 17, 13, 12, 43, tzinfo=UTC)) < timedelta(seconds=3)
    assert abs(sunset - datetime(2003, 10, 17, 0, 20, 19, tzinfo=UTC)) < timedelta(seconds=3)


def test_the_sun_stands_within_a_hundredth_of_a_degree_of_spa_all_over_the_earth() -> None:
    """[pvlib] 1,500 instants from 1950 to 2100 at places all over; 0.01 degrees of arc on the sky."""
    count = 1500
    chance = np.random.default_rng(12)
    first, last = datetime(1950, 1, 1, tzinfo=UTC), datetime(2100, 1, 1, tzinfo=UTC)
    unix = np.sort(chance.uniform(first.timestamp(), last.timestamp(), count)).round()
    lats = np.degrees(np.arcsin(chance.uniform(-1, 1, count)))
    lons = chance.uniform(-180, 180, count)
    years = np.array([datetime.fromtimestamp(u, UTC).year for u in unix])
    delta_t = spa.calculate_deltat(years, np.full(count, 6))
    # rows of the answer: zenith and elevation with and without refraction, azimuth
    reference = np.array(
        [
            spa.solar_position(
                np.array([u]), lat, lon, 0.0, 1013.0, 10.0, np.array([dt]), -99.0, 1, sst=False
            )[:, 0]
            for u, lat, lon, dt in zip(unix, lats, lons, delta_t, strict=True)
        ]
    )
    height, azimuth = reference[:, 3], reference[:, 4]

    ours = [
        sun_position(datetime.fromtimestamp(u, UTC), LonLat(lon, lat))
        for u, lon, lat in zip(unix, lons, lats, strict=True)
    ]

    off_height = np.array([mine.elevation for mine in ours]) - height
    turn = (np.array([mine.azimuth for mine in ours]) - azimuth + 180) % 360 - 180
    off_side = turn * np.cos(np.radians(height))  # straight overhead a bearing means little
    assert len(ours) == count
    assert np.abs(off_height).max() < 0.01
    assert np.abs(off_side).max() < 0.01


@pytest.mark.parametrize(("place", "zone"), PLACES)
def test_the_four_times_of_a_day_agree_with_spa(place: LonLat, zone: str) -> None:
    """[pvlib] Every fifth day of two years. 0.005 degrees of arc at 15 an hour are 1.2 s; 4 s at 60 N."""
    instants: list[datetime] = []
    bounds: list[float] = []
    for step in range(0, 730, 5):
        times = sun_times(place, date(2026, 1, 1) + timedelta(days=step), ZoneInfo(zone))
        for instant, bound in (
            (times.dawn, -6.0),
            (times.sunrise, -0.8333),
            (times.sunset, -0.8333),
            (times.dusk, -6.0),
        ):
            if instant is not None:
                instants.append(instant)
                bounds.append(bound)
    off = np.array([instant.timestamp() for instant in instants]) - _spa_crossings(instants, bounds, place)

    assert len(instants) == 4 * 146 or (
        place.lat > 59 and len(instants) > 4 * 120
    )  # Oslo's light June nights
    assert np.abs(off).max() < (4.0 if abs(place.lat) > 52 else 2.0)


@pytest.mark.parametrize(
    ("place", "zone", "day", "printed"),
    [
        ((-78.0, 41.5), "America/New_York", date(2025, 12, 26), ("07:37", "16:48")),
        ((-78.0, 41.5), "America/New_York", date(2026, 1, 15), ("07:36", "17:07")),
        ((-78.0, 41.5), "America/New_York", date(2026, 3, 1), ("06:46", "18:02")),
        ((-88.0, 44.5), "America/Chicago", date(2025, 12, 26), ("07:27", "16:18")),
        ((-88.0, 44.5), "America/Chicago", date(2026, 2, 15), ("06:51", "17:20")),
    ],
)
def test_the_light_of_a_trappers_morning_is_right(
    place: tuple[float, float], zone: str, day: date, printed: tuple[str, str]
) -> None:
    """[pvlib] Sunrise and sunset printed by pvlib.solarposition.sun_rise_set_transit_spa, cut to the minute.

    With work at seven the whole morning round is in the dark until mid-February. 1 minute for the cut.
    """
    times = sun_times(LonLat(*place), day, ZoneInfo(zone))
    for instant, clock in zip((times.sunrise, times.sunset), printed, strict=True):
        assert instant is not None
        expected = datetime.combine(day, time.fromisoformat(clock), tzinfo=ZoneInfo(zone))
        assert timedelta(0) <= instant - expected < timedelta(seconds=61)


def test_atlanta_agrees_with_the_naval_observatorys_table() -> None:
    """[USNO] 33.8 N 84.4 W, 2009-09-06: 6:50, 7:15, 19:56, 20:21, transit 13:36; printed to the minute."""
    zone = ZoneInfo("America/New_York")
    times = sun_times(LonLat(-84.4, 33.8), date(2009, 9, 6), zone)

    def off(instant: datetime | None, hour: int, minute: int) -> float:
        assert instant is not None
        return abs((instant - datetime(2009, 9, 6, hour, minute, tzinfo=zone)).total_seconds())

    assert off(times.dawn, 6, 50) < 60
    assert off(times.sunrise, 7, 15) < 60
    assert off(times.highest, 13, 36) < 60
    assert off(times.sunset, 19, 56) < 60
    assert off(times.dusk, 20, 21) < 60


@pytest.mark.parametrize(
    ("day", "why"), [(date(2026, 12, 21), NoEvent.NEVER_RISES), (date(2026, 6, 21), NoEvent.NEVER_SETS)]
)
def test_beyond_the_polar_circle_the_sun_is_said_not_to_rise_or_not_to_set(day: date, why: NoEvent) -> None:
    """[pvlib] Utqiagvik, Alaska, 71.3 N: SPA's height keeps to one side of the bound all the day."""
    place, zone = LonLat(-156.8, 71.3), ZoneInfo("America/Anchorage")
    times = sun_times(place, day, zone)
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=zone).timestamp()
    heights = _spa_heights(np.linspace(noon - 43200.0, noon + 43200.0, 145), place)

    assert (times.sunrise, times.sunset) == (None, None)
    assert times.why["sunrise"] is times.why["sunset"] is why
    if why is NoEvent.NEVER_RISES:
        assert heights.max() < -0.8333
        assert times.dawn is not None  # noon twilight: the sun comes within 6 degrees of the horizon
    else:
        assert heights.min() > -0.8333
        assert times.dawn is None
    assert any(why.value in sentence for sentence in times.said)


@pytest.mark.parametrize("lat", [90.0, -90.0])
def test_at_the_poles_there_is_an_answer(lat: float) -> None:
    """Six months of each (common knowledge, no source)."""
    summer = date(2026, 6, 21) if lat > 0 else date(2026, 12, 21)
    times = sun_times(LonLat(0.0, lat), summer, ZoneInfo("UTC"))

    assert set(times.why.values()) == {NoEvent.NEVER_SETS}


def test_a_northern_midsummer_sunset_may_fall_after_midnight() -> None:
    """[pvlib] Fairbanks, 64.8 N: the sunset after the day's noon belongs to the day; 15 s, for it grazes."""
    place, zone = LonLat(-147.7, 64.84), ZoneInfo("America/Anchorage")
    times = sun_times(place, date(2026, 6, 21), zone)

    assert times.sunset is not None
    assert times.sunset.astimezone(zone).date() == date(2026, 6, 22)
    assert abs(times.sunset.timestamp() - _spa_crossings([times.sunset], [-0.8333], place)[0]) < 15


@pytest.mark.parametrize("day", [date(2026, 3, 8), date(2026, 11, 1)])
def test_a_change_of_the_clocks_does_not_move_the_sun(day: date) -> None:
    """The same day counted in a zone without summer time gives the same instants."""
    place = LonLat(-78.0, 41.5)
    assert sun_times(place, day, ZoneInfo("America/New_York")).sunrise == pytest.approx(
        sun_times(place, day, ZoneInfo("Etc/GMT+5")).sunrise, abs=timedelta(seconds=0.1)
    )
