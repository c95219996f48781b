"""What people write for the fields of an event, and what is kept."""

from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tendline.core.errors import Refused
from tendline.jobs.words_in import field_value, option_name, place_value
from tendline.logbook.field_types import Field, FieldType

ZONE = ZoneInfo("America/New_York")
NOW = datetime(2027, 1, 15, 11, tzinfo=UTC)


def read(kind: FieldType, text: str) -> Any:
    return field_value(Field("x", kind, "."), text, zone=ZONE, now=NOW)


@pytest.mark.parametrize(
    ("kind", "text", "kept"),
    [
        (FieldType.LENGTH, "10 in", 0.254),
        (FieldType.MASS, "16 kg", 16.0),
        (FieldType.MASS, "250 g", 0.25),
        (FieldType.CELSIUS, "-7C", -7.0),
        (FieldType.CELSIUS, "32 °F", 0.0),
        (FieldType.SECONDS, "6 min", 360.0),
        (FieldType.SECONDS, "1.5 h", 5400.0),
        (FieldType.FLAG, "Yes", True),
        (FieldType.FLAG, "n", False),
        (FieldType.NAMES, "N1, N2 N3;N4", ["N1", "N2", "N3", "N4"]),
        (FieldType.COUNT, "3", 3),
        (FieldType.AMOUNT, "$1,036.50", 1036.5),
        (FieldType.ANSWERS, "river-side=east; profile = us-sd", {"river-side": "east", "profile": "us-sd"}),
        (FieldType.DAY, "2027-01-15", "2027-01-15"),
        (FieldType.INSTANT, "05:40", "2027-01-15T10:40:00+00:00"),
        (FieldType.OUTLINE, "0,0 1,0 1,1", [[[[0, 0], [1, 0], [1, 1], [0, 0]]]]),
        (FieldType.TEXT, "as it is", "as it is"),
        (FieldType.FORCE, "285 lb", 1267.74320),  # 285 x 4.4482216152605 N
        (FieldType.FORCE, "158.8 kg", 1557.29602),  # 158.8 x 9.80665 N
        (FieldType.FORCE, "1.2 kN", 1200.0),
        (FieldType.DEGREES, "20 deg", 20.0),
        (FieldType.DEGREES, "12.5°", 12.5),
        (FieldType.TEXTS, "red fox, gray fox; coyote", ["red fox", "gray fox", "coyote"]),
        (FieldType.CHOICES, "name,address", ["name", "address"]),
        (FieldType.LENGTHS, "den=10in; exposed-bait = 30 ft", {"den": 0.254, "exposed-bait": 9.144}),
    ],
)
def test_a_value_is_read_into_si(kind: FieldType, text: str, kept: Any) -> None:
    assert read(kind, text) == (pytest.approx(kept) if isinstance(kept, float) else kept)


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        (FieldType.MASS, "heavy"),
        (FieldType.MASS, "16"),
        (FieldType.CELSIUS, "20"),
        (FieldType.SECONDS, "a while"),
        (FieldType.FLAG, "perhaps"),
        (FieldType.COUNT, "3.5"),
        (FieldType.AMOUNT, "a lot"),
        (FieldType.ANSWERS, "east"),
        (FieldType.OUTLINE, "0,0 north"),
        (FieldType.FORCE, "285"),
        (FieldType.DEGREES, "steep"),
        (FieldType.LENGTHS, "den 6ft"),
    ],
)
def test_a_value_that_cannot_be_read_is_refused_with_an_example(kind: FieldType, text: str) -> None:
    with pytest.raises(Refused) as caught:
        read(kind, text)
    assert caught.value.faults[0].code.id == "JOB-301"
    assert caught.value.faults[0].where == "--x"


def test_a_place_has_longitude_first_and_may_have_an_accuracy() -> None:
    fix = place_value("-78.01,41.52,8", where="--at-place")
    assert (fix.place.lon, fix.place.lat, fix.accuracy_m) == (-78.01, 41.52, 8)
    for wrong in ("41.52", "a,b", "-78,41,8,9", "-78,141"):
        with pytest.raises(Refused) as caught:
            place_value(wrong, where="--at-place")
        assert caught.value.faults[0].code.id == "JOB-301"


@pytest.mark.parametrize(
    ("name", "option"),
    [
        ("loop_m", "loop"),
        ("weight_kg", "weight"),
        ("air_c", "air"),
        ("minutes_s", "minutes"),
        ("how_sure", "how-sure"),
    ],
)
def test_an_option_has_no_unit_in_its_name(name: str, option: str) -> None:
    assert option_name(Field(name, FieldType.TEXT, ".")) == option
