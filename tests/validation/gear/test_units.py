"""Units as people write them, against a reference library of units (pint, as MetPy ships it)."""

from collections.abc import Callable
from typing import Any

import pytest
from metpy.units import units as library

from tendline.core.units import parse_length
from tendline.ground.forecast_checks import DEPTHS_MM, SPEEDS, TEMPERATURES
from tendline.jobs.words_in import force_value, mass_value, torque_value


def length(text: str, where: str) -> float:
    return parse_length(text, where=where)


SI: list[tuple[Callable[..., float], str, str, str]] = [
    (length, "38 in", "38 inch", "m"),
    (length, "3/32 in", "0.09375 inch", "m"),
    (length, "1000ft", "1000 foot", "m"),
    (length, "2.5 cm", "2.5 cm", "m"),
    (force_value, "285 lb", "285 pound_force", "newton"),
    (force_value, "129 kg", "129 kilogram_force", "newton"),
    (force_value, "1.25 kN", "1.25 kilonewton", "newton"),
    (mass_value, "12 g", "12 gram", "kilogram"),
    (mass_value, "0.5 oz", "0.5 ounce", "kilogram"),
    (mass_value, "35 lb", "35 pound", "kilogram"),
    (torque_value, "40 ftlb", "40 foot * pound_force", "newton * meter"),
    (torque_value, "300 inlb", "300 inch * pound_force", "newton * meter"),
]


@pytest.mark.parametrize(("read", "text", "same", "unit"), SI, ids=[row[1] for row in SI])
def test_gear_is_read_into_si(read: Callable[..., float], text: str, same: str, unit: str) -> None:
    value, _, name = same.partition(" ")
    wanted: Any = (float(value) * library.parse_expression(name)).to(unit).magnitude
    assert read(text, "") == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("name", "same"), [("mph", "mile / hour"), ("ms", "meter / second"), ("kt", "knot"), ("kmh", "km / hour")]
)
def test_wind_is_read_into_km_an_hour(name: str, same: str) -> None:
    wanted: Any = (15.0 * library.parse_expression(same)).to("km / hour").magnitude
    assert SPEEDS[name](15.0) == pytest.approx(wanted)


@pytest.mark.parametrize(("name", "same"), [("in", "inch"), ("cm", "cm"), ("mm", "mm")])
def test_depths_are_read_into_millimetres(name: str, same: str) -> None:
    wanted: Any = (6.0 * library.parse_expression(same)).to("mm").magnitude
    assert DEPTHS_MM[name](6.0) == pytest.approx(wanted)


@pytest.mark.parametrize("degrees", [-40.0, 0.0, 20.0, 34.0, 98.6])
def test_fahrenheit_is_read_into_celsius(degrees: float) -> None:
    wanted: Any = library.Quantity(degrees, "degF").to("degC").magnitude
    assert TEMPERATURES["f"](degrees) == pytest.approx(wanted)
