"""Recorded walks out of GPX: points with times, whatever else the file holds."""

from datetime import UTC, datetime

import numpy as np
import pytest

from tendline.ground.recording import read_recordings
from tests.unit.ground.support import codes_of

START = datetime(2027, 1, 6, 12, tzinfo=UTC)


def gpx(points: str, *, name: str = "round", version: str = "1/1") -> bytes:
    space = f'xmlns="http://www.topografix.com/GPX/{version}"'
    body = f"<trk><name>{name}</name><trkseg>{points}</trkseg></trk>"
    return f'<?xml version="1.0"?><gpx version="1.1" creator="test" {space}>{body}</gpx>'.encode()


def point(k: int, time: str | None = None) -> str:
    when = time if time is not None else f"2027-01-06T12:00:{k:02d}Z"
    return f'<trkpt lat="{40 + k * 1e-4:.4f}" lon="-81.0"><ele>300</ele><time>{when}</time></trkpt>'


@pytest.mark.parametrize("version", ["1/0", "1/1"])
def test_places_and_times_are_read_as_they_stand(version: str) -> None:
    (found,) = read_recordings(gpx("".join(map(point, range(12))), version=version), file_name="a.gpx")
    assert (found.name, found.file_name, found.begun) == ("round", "a.gpx", START)
    np.testing.assert_array_equal(found.seconds, np.arange(12.0))
    np.testing.assert_allclose(found.lonlat[:, 1], 40 + np.arange(12) * 1e-4)
    assert np.all(found.lonlat[:, 0] == -81.0)


def test_points_that_tell_nothing_are_passed_over() -> None:
    good = [point(k) for k in range(14)]
    bad = [
        '<trkpt lat="40.0" lon="-81.0"/>',  # no time
        '<trkpt lat="95" lon="-81.0"><time>2027-01-06T12:00:03Z</time></trkpt>',  # no place
        point(3, "yesterday"),
        point(2),  # back in time
    ]
    (found,) = read_recordings(gpx("".join([*good[:6], *bad, *good[6:]])), file_name="a.gpx")
    np.testing.assert_array_equal(found.seconds, np.arange(14.0))


def test_times_with_an_offset_are_turned_into_utc() -> None:
    points = "".join(point(k, f"2027-01-06T07:00:{k:02d}-05:00") for k in range(12))
    (found,) = read_recordings(gpx(points), file_name="a.gpx")
    assert found.begun == START


def test_a_track_without_times_or_too_short_is_no_recording() -> None:
    drawn = "".join(f'<trkpt lat="40.{k}" lon="-81.0"/>' for k in range(20))
    assert read_recordings(gpx(drawn), file_name="a.gpx") == ()
    assert read_recordings(gpx("".join(map(point, range(9)))), file_name="a.gpx") == ()


def test_harmful_or_broken_xml_is_refused() -> None:
    assert codes_of(lambda: read_recordings(b"<gpx><trk>", file_name="a.gpx")) == ["GND-101"]
    entity = b'<!DOCTYPE gpx [<!ENTITY a "b">]><gpx/>'
    assert codes_of(lambda: read_recordings(entity, file_name="a.gpx")) == ["GND-102"]
