"""Feet called metres, told by what recorders of GPS wrote of the same places."""

import numpy as np
import pytest

from tendline.ground.gps_heights import gps_heights, times_as_high

FOOT = 0.3048


def gpx(*elevations: object) -> bytes:
    points = "".join(
        f'<trkpt lat="{41 + k / 1000}" lon="-78.5"><ele>{ele}</ele></trkpt>'
        for k, ele in enumerate(elevations)
    )
    return (
        '<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
        f'<wpt lat="41" lon="-78.5"><ele>321.5</ele></wpt><wpt lat="41" lon="-78.5"/>'
        f"<trk><trkseg>{points}</trkseg></trk></gpx>"
    ).encode()


def test_heights_are_read_and_what_is_none_is_passed_over() -> None:
    found = gps_heights(gpx(300, "x", 0, "nan", 12000, 310.25), file_name="a.gpx")
    assert found.tolist() == [[-78.5, 41.0, 321.5], [-78.5, 41.0, 300.0], [-78.5, 41.005, 310.25]]
    assert gps_heights(gpx(), file_name="a.gpx").shape == (1, 3)
    assert 1000 < len(gps_heights(gpx(*range(100, 5100)), file_name="a.gpx")) <= 2000


@pytest.mark.parametrize("off", [-35.0, 0.0, 50.0])
@pytest.mark.parametrize("relief", [5.0, 120.0])
def test_feet_are_told_from_metres_with_a_recorder_that_is_off(off: float, relief: float) -> None:
    """One foot is 0.3048 m; recorders are off as a whole and by some metres point by point."""
    chance = np.random.default_rng(3)
    truth = 420.0 + relief * chance.random(200)
    gps = truth + off + chance.normal(0.0, 4.0, 200)
    assert times_as_high(truth, gps) is None
    assert times_as_high(truth / FOOT, gps) == pytest.approx(1 / FOOT)
    assert times_as_high(truth * FOOT, gps) == pytest.approx(FOOT)


def test_too_little_says_nothing() -> None:
    truth = np.array([400.0, 410.0, 420.0, 430.0])
    assert times_as_high(truth / FOOT, truth) is None
    low = np.linspace(3.0, 12.0, 50)  # by the sea, feet and metres are both within what a recorder is off
    assert times_as_high(low / FOOT, low) is None
    assert times_as_high(np.full(50, np.nan), low) is None
