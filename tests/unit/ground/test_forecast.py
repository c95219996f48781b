"""Forecasts as a person has them: a saved gridpoint document, a table, words; and what is wrong with them."""

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tendline.core.errors import Refused
from tendline.core.forecast import NOTHING, Between, Forecast, Step, in_blocks, telling_changes
from tendline.core.place import LonLat
from tendline.core.when import Span
from tendline.ground.forecast import forecast_in_words, read_forecast

ZONE = ZoneInfo("America/New_York")
NOW = datetime(2026, 1, 15, 18, tzinfo=UTC)  # 13:00 EST
NEAR = LonLat(-78.0, 41.5)


def gridpoint(**changes: Any) -> dict[str, Any]:
    """A document as the service gives it, cut down to what is read; the numbers are invented."""
    properties: dict[str, Any] = {
        "updateTime": "2026-01-15T16:00:00+00:00",
        "elevation": {"unitCode": "wmoUnit:m", "value": 600.0},
        "temperature": {
            "uom": "wmoUnit:degC",
            "values": [
                {"validTime": "2026-01-15T18:00:00+00:00/PT3H", "value": -2.0},
                {"validTime": "2026-01-15T21:00:00+00:00/PT9H", "value": -6.0},
                {"validTime": "2026-01-16T06:00:00+00:00/PT12H", "value": -4.0},
            ],
        },
        "quantitativePrecipitation": {
            "uom": "wmoUnit:mm",
            "values": [
                {"validTime": "2026-01-15T18:00:00+00:00/PT12H", "value": 12.0},
                {"validTime": "2026-01-16T06:00:00+00:00/P1D", "value": 0},
            ],
        },
        "snowfallAmount": {
            "uom": "wmoUnit:mm",
            "values": [{"validTime": "2026-01-15T18:00:00+00:00/PT12H", "value": 152.4}],
        },
        "windSpeed": {
            "uom": "wmoUnit:km_h-1",
            "values": [{"validTime": "2026-01-15T18:00:00+00:00/PT24H", "value": 18.5}],
        },
        **changes,
    }
    ring = [[-78.01, 41.49], [-77.99, 41.49], [-77.99, 41.51], [-78.01, 41.51], [-78.01, 41.49]]
    return {"geometry": {"type": "Polygon", "coordinates": [ring]}, "properties": properties}


def read(document: object, *, now: datetime = NOW, near: LonLat | None = NEAR) -> Forecast:
    text = document if isinstance(document, str) else json.dumps(document)
    return read_forecast(text.encode(), file_name="forecast", zone=ZONE, now=now, near=near)


def refused(call: Callable[[], object]) -> list[str]:
    with pytest.raises(Refused) as caught:
        call()
    return [fault.code.id for fault in caught.value.faults]


def test_a_gridpoint_document_is_read_with_its_units() -> None:
    found = read(gridpoint())
    assert found.span == Span(NOW, datetime(2026, 1, 16, 18, tzinfo=UTC))
    assert found.issued_at == datetime(2026, 1, 15, 16, tzinfo=UTC)
    assert found.elevation_m == 600.0
    assert found.place is not None
    assert (found.place.lon, found.place.lat) == pytest.approx((-78.0, 41.5))
    first, second, third = found.steps
    # 12 mm over 12 hours: 3 of them in the first 3 hours; 6 in of snow are 152.4 mm.
    assert first.air_c == Between(-2.0, -2.0)
    assert first.water_mm == Between(3.0, 3.0)
    assert second.snow_m is not None
    assert second.snow_m.low == pytest.approx(0.1524 * 9 / 12)
    assert third.water_mm == Between(0.0, 0.0)
    assert third.snow_m is None
    assert first.wind_kmh is not None
    assert first.wind_kmh.low == pytest.approx(18.5)


def test_a_gridpoint_document_in_other_units_comes_to_the_same() -> None:
    # 28.4 F are -2 degrees; 0.4724 in are 12 mm; 5.139 m/s are 18.5 km/h.
    document = gridpoint()
    layer = document["properties"]
    layer["temperature"]["uom"] = "unit:degF"
    for entry in layer["temperature"]["values"]:
        entry["value"] = entry["value"] * 1.8 + 32.0
    layer["windSpeed"] = {
        "uom": "wmoUnit:m_s-1",
        "values": [{"validTime": "2026-01-15T18:00:00+00:00/PT24H", "value": 18.5 / 3.6}],
    }
    found, plain = read(document), read(gridpoint())
    for one, other in zip(found.steps, plain.steps, strict=True):
        assert one.air_c.low == pytest.approx(other.air_c.low)
        assert one.wind_kmh is not None
        assert other.wind_kmh is not None
        assert one.wind_kmh.low == pytest.approx(other.wind_kmh.low)


def values(uom: str, *pairs: tuple[str, Any]) -> dict[str, Any]:
    return {"uom": uom, "values": [{"validTime": when, "value": value} for when, value in pairs]}


T1, T2 = "2026-01-15T18:00:00+00:00/PT6H", "2026-01-16T00:00:00+00:00/PT6H"


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"temperature": values("wmoUnit:furlong", (T1, 1.0))}, ["GND-703"]),
        ({"temperature": values("", (T1, 1.0))}, ["GND-703"]),
        ({"temperature": values("wmoUnit:degC", ("yesterday", 1.0))}, ["GND-702"]),
        ({"temperature": values("wmoUnit:degC", ("2026-01-15T18:00:00/PT6H", 1.0))}, ["GND-702"]),
        ({"temperature": values("wmoUnit:degC", (T1, None))}, ["GND-708"]),
        ({"temperature": values("wmoUnit:degC", (T1, True))}, ["GND-708"]),
        ({"temperature": values("wmoUnit:degC", (T1, 200.0))}, ["GND-708"]),
        ({"snowfallAmount": values("wmoUnit:mm", (T1, -5.0))}, ["GND-708"]),
        ({"temperature": {"uom": "wmoUnit:degC", "values": []}}, ["GND-710"]),
        ({"quantitativePrecipitation": None}, ["GND-710"]),
        (
            {"temperature": values("wmoUnit:degC", (T1, 1.0), ("2026-01-16T03:00:00+00:00/PT6H", 1.0))},
            ["GND-705"],
        ),
        (
            {"temperature": values("wmoUnit:degC", (T1, 1.0), ("2026-01-15T23:00:00+00:00/PT6H", 1.0))},
            ["GND-705"],
        ),
        # Several at once: all are told.
        (
            {"temperature": values("wmoUnit:degC", (T1, 99.0)), "windSpeed": values("knots", (T1, 1.0))},
            ["GND-708", "GND-703"],
        ),
    ],
)
def test_a_broken_gridpoint_document_is_refused_by_name(changes: dict[str, Any], codes: list[str]) -> None:
    assert refused(lambda: read(gridpoint(**changes))) == codes


def test_json_that_is_no_forecast_is_refused() -> None:
    assert refused(lambda: read({"type": "FeatureCollection", "features": []})) == ["GND-701"]
    assert refused(lambda: read("[1, 2]")) == ["GND-701"]
    assert refused(lambda: read('{"properties": ')) == ["GND-201"]


def test_a_forecast_in_the_past_is_refused() -> None:
    assert refused(lambda: read(gridpoint(), now=NOW + timedelta(days=3))) == ["GND-704"]


def test_a_forecast_that_begins_too_late_has_a_gap() -> None:
    assert refused(lambda: read(gridpoint(), now=NOW - timedelta(hours=20))) == ["GND-705"]


def test_a_forecast_for_another_place_is_refused_with_the_distance() -> None:
    # One degree of latitude is 111 km (69 mi).
    with pytest.raises(Refused) as caught:
        read(gridpoint(), near=LonLat(-78.0, 42.5))
    (fault,) = caught.value.faults
    assert fault.code.id == "GND-707"
    assert "111 km (69 mi)" in fault.what


def test_a_forecast_for_the_next_valley_is_read_and_says_so() -> None:
    found = read(gridpoint(), near=LonLat(-78.0, 41.75))  # a quarter of a degree: 28 km
    assert any("28 km" in note for note in found.notes)


def test_an_old_forecast_says_so() -> None:
    found = read(gridpoint(), now=NOW + timedelta(hours=20))
    assert found.notes == ("the forecast is 22 hours old",)


TABLE = """time,temp_f,snow_in,precip_in,wind_mph
2026-01-15 13:00,30,1,0.1,5
2026-01-15 19:00,20,5,0.4,10
2026-01-16 01:00,14,0,0,10
"""


def test_a_table_tells_its_units_in_the_header() -> None:
    found = read(TABLE)
    first, second, third = found.steps
    assert first.span == Span(NOW, NOW + timedelta(hours=6))
    assert first.air_c.low == pytest.approx(-1.1111, abs=1e-4)  # (30 - 32) / 1.8
    assert second.snow_m is not None
    assert second.snow_m.high == pytest.approx(0.127)  # 5 in
    assert second.water_mm is not None
    assert second.water_mm.high == pytest.approx(10.16)  # 0.4 in
    assert second.wind_kmh is not None
    assert second.wind_kmh.high == pytest.approx(16.09344)
    assert third.span.end == NOW + timedelta(hours=18)  # as long as the row before it


def test_a_table_may_give_ranges_place_and_hours() -> None:
    text = (
        "time;hours;temp_low_c;temp_high_c;snow_low_cm;snow_high_cm;lon;lat;elevation_ft\n"
        "2026-01-15T18:00Z;24;-8;-2;10;20;-78;41.5;1000\n"
    )
    found = read(text)
    assert found.steps[0].air_c == Between(-8.0, -2.0)
    assert found.steps[0].snow_m == Between(0.1, 0.2)
    assert found.span.seconds == 24 * 3600
    assert found.place == LonLat(-78.0, 41.5)
    assert found.elevation_m == pytest.approx(304.8)
    assert found.notes == ("it tells snow alone: rain is not counted",)


@pytest.mark.parametrize(
    ("change", "codes"),
    [
        (("temp_f", "temp"), ["GND-703"]),
        (("temp_f", "temp_k"), ["GND-703"]),
        (("temp_f", "warmth_f"), ["GND-302", "GND-710"]),
        (("snow_in,precip_in", "note,words"), ["GND-302", "GND-302", "GND-710"]),
        (("2026-01-15 19:00", "2026-01-15"), ["GND-702"]),
        (("2026-01-15 19:00", "19:00"), ["GND-702"]),
        (("2026-01-15 19:00", "2026-13-15 19:00"), ["CORE-201"]),
        (("2026-01-15 19:00", "2026-01-15T19:00+01:00"), ["GND-706"]),
        (("2026-01-15 19:00,20,5", "2026-01-15 19:00,20,-5"), ["GND-708"]),
        (("2026-01-15 19:00,20,5", "2026-01-15 19:00,cold,lots"), ["GND-708", "GND-708", "GND-710"]),
        (("2026-01-15 19:00,20", "2026-01-15 19:00,"), ["GND-710"]),
        (("2026-01-15 19:00", "2026-01-15 12:00"), ["GND-705"]),
        (("2026-01-16 01:00", "2026-01-16 19:00"), ["GND-705"]),
    ],
)
def test_a_broken_table_is_refused_by_name(change: tuple[str, str], codes: list[str]) -> None:
    text = TABLE.replace(*change)
    assert text != TABLE
    assert refused(lambda: read(text)) == codes


def test_a_gap_is_told_against_the_usual_step() -> None:
    more = TABLE + "2026-01-16 07:00,10,0,0,5\n2026-01-16 22:00,10,0,0,5\n"
    assert refused(lambda: read(more)) == ["GND-705"]


def test_of_two_steps_the_shorter_is_the_usual_one() -> None:
    rows = "2026-01-15 13:00,30,1,0,5\n2026-01-15 19:00,20,5,0,10\n2026-01-16 13:00,14,0,0,10\n"
    assert refused(lambda: read(TABLE.splitlines()[0] + "\n" + rows)) == ["GND-705"]


def test_a_table_without_rows_or_with_a_single_one_cannot_be_used() -> None:
    head, one = TABLE.splitlines()[:2]
    assert refused(lambda: read(head + "\n")) == ["GND-710"]
    assert refused(lambda: read(f"{head}\n{one}\n")) == ["GND-710"]


def test_a_range_the_wrong_way_round_is_refused() -> None:
    text = "time,hours,temp_low_c,temp_high_c,snow_cm\n2026-01-15 13:00,12,5,-5,0\n"
    assert "GND-708" in refused(lambda: read(text))
    assert "GND-708" in refused(lambda: read(text.replace("12,5,-5", "200,-5,5")))


def words(text: str, *, now: datetime = NOW) -> Forecast:
    return forecast_in_words(text, zone=ZONE, now=now)


def total(found: Forecast, pick: str) -> tuple[float, float]:
    told = [getattr(step, pick) for step in found.steps]
    return sum(t.low for t in told if t), sum(t.high for t in told if t)


def test_words_are_made_out() -> None:
    found = words("6 in tonight, 20 to 34 F")
    assert total(found, "snow_m") == pytest.approx((0.1524, 0.1524))
    # From now, 13:00, until tomorrow 18:00; the snow falls from 18:00 to 06:00.
    assert found.span == Span(NOW, datetime(2026, 1, 16, 23, tzinfo=UTC))
    snowy = [step.span for step in found.steps if step.snow_m is not None]
    assert snowy[0].start == datetime(2026, 1, 15, 23, tzinfo=UTC)
    assert snowy[-1].end == datetime(2026, 1, 16, 11, tzinfo=UTC)
    # 20 F are -6.67, 34 F 1.11 degrees; coldest round six in the morning.
    air = [step.air_c.middle for step in found.steps]
    assert -6.67 <= min(air) < -6.2
    assert 0.8 < max(air) <= 1.12


def test_words_may_name_ranges_rain_wind_and_days() -> None:
    found = words("today dry, 1 to 3 C; 4 to 8 in of snow, wind 10 to 20 mph; tomorrow: rain 12 mm")
    assert total(found, "snow_m") == pytest.approx((0.1016, 0.2032))
    assert total(found, "water_mm") == pytest.approx((12.0, 12.0))
    windy = [step.wind_kmh for step in found.steps if step.wind_kmh is not None]
    assert windy[0].high == pytest.approx(32.187, abs=0.001)


def test_after_midnight_tonight_is_the_night_that_is_on() -> None:
    found = words("2 in tonight, -5 C", now=datetime(2026, 1, 16, 8, tzinfo=UTC))  # 03:00 EST
    assert found.steps[-1].span.end == datetime(2026, 1, 16, 23, tzinfo=UTC)
    assert total(found, "snow_m") == pytest.approx((0.0508, 0.0508))


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "GND-709"),
        ("a lot of snow", "GND-709"),
        ("6 in tonight", "GND-709"),
        ("6 in tonight, 20 to 34", "GND-703"),
        ("6 in tonight, 20 to 34 K", "GND-703"),
        ("6 in, 30 F, wind 20", "GND-703"),
        ("-3 in tonight, 20 F", "GND-708"),
        ("900 in tonight, 20 F", "GND-708"),
        ("3 in, 300 F", "GND-708"),
        ("tomorrow 3 in, 30 F", "GND-705"),
        ("tonight 3 in, 30 F; tonight 5 in", "GND-705"),
        ("today 1 in, 30 F; tomorrow 5 in", "GND-705"),
    ],
)
def test_words_that_cannot_be_made_out_are_refused(text: str, code: str) -> None:
    assert code in refused(lambda: words(text))


def test_blocks_keep_what_falls_and_the_mean_of_the_air() -> None:
    found = read(TABLE)
    edges = [NOW, NOW + timedelta(hours=9), NOW + timedelta(hours=18)]
    first, second = in_blocks(found.steps, edges)
    # Six hours at 1 in and three of the six hours at 5 in.
    assert first.snow_m is not None
    assert first.snow_m.low == pytest.approx(0.0254 * 3.5)
    assert second.snow_m is not None
    assert second.snow_m.low == pytest.approx(0.0254 * 2.5)
    assert first.air_c.low == pytest.approx(((30 - 32) * 6 + (20 - 32) * 3) / 9 / 1.8)


def test_an_amount_told_in_part_is_not_told_and_the_cut_comes_where_that_changes() -> None:
    hours = [Span(NOW + timedelta(hours=i), NOW + timedelta(hours=i + 1)) for i in range(3)]
    one = Step(hours[0], Between(0, 0), NOTHING, None, Between(10, 10))
    two = Step(hours[1], Between(0, 0), None, Between(0.1, 0.1))
    (block,) = in_blocks([one, two], [hours[0].start, hours[1].end])
    assert block.water_mm is None
    assert block.snow_m is None
    assert block.wind_kmh == Between(10, 10)
    assert telling_changes([one, two, Step(hours[2], Between(0, 0), None, NOTHING)]) == (hours[1].start,)


def test_a_forecast_is_never_empty_or_torn() -> None:
    with pytest.raises(ValueError, match="lower bound"):
        Between(2.0, 1.0)
    with pytest.raises(ValueError, match="at least one"):
        Forecast("x", ())
    one = Step(Span(NOW, NOW + timedelta(hours=1)), Between(0, 0))
    with pytest.raises(ValueError, match="follow"):
        Forecast("x", (one, one))
