"""The unit of heights: who may say it, and that it is never guessed."""

import pytest

from tendline.ground.height_units import HeightUnit, axis_unit, decide_unit
from tests.unit.ground.support import codes_of, faults_of

# NIST SP 811 (2008), appendix B.8 and footnotes: foot 0.3048 m, US survey foot 1200/3937 m.
SURVEY = 1200.0 / 3937.0


def decide(told: str | None = None, band: str = "", vertical: tuple[str, float] | None = None) -> HeightUnit:
    return decide_unit(told=told, band=band, vertical=vertical, file_name="a.tif")[0]


@pytest.mark.parametrize(
    ("band", "name", "metres"),
    [
        ("m", "metre", 1.0),
        (" Metre ", "metre", 1.0),
        ("meters", "metre", 1.0),
        ("ft", "foot", 0.3048),
        ("foot", "foot", 0.3048),
        ("US survey foot", "US survey foot", SURVEY),
        ("us-ft", "US survey foot", SURVEY),
        ("dm", "decimetre", 0.1),
        ("cm", "centimetre", 0.01),
        ("mm", "millimetre", 0.001),
    ],
)
def test_the_tag_of_the_band_says_it(band: str, name: str, metres: float) -> None:
    unit = decide(band=band)
    assert (unit.name, unit.said_by) == (name, "its unit tag")
    assert unit.metres == pytest.approx(metres, rel=1e-15)


def test_the_vertical_axis_says_it() -> None:
    assert decide(vertical=axis_unit("metre")).metres == 1.0
    # As PROJ writes EPSG 6360, NAVD88 height (ftUS), in PROJJSON.
    axis = {"type": "LinearUnit", "name": "US survey foot", "conversion_factor": 0.304800609601219}
    found = decide(vertical=axis_unit(axis))
    assert found.metres == pytest.approx(SURVEY, rel=1e-14)
    assert found.said_by == "the vertical axis of its coordinate system"


@pytest.mark.parametrize(("told", "metres"), [("m", 1.0), ("ft", 0.3048), ("FT", 0.3048), ("us-ft", SURVEY)])
def test_the_person_may_say_it(told: str, metres: float) -> None:
    assert decide(told=told) == HeightUnit(
        {"m": "metre", "ft": "foot"}.get(told.lower(), "US survey foot"), metres, "--elevation-unit"
    )


def test_nobody_saying_it_is_refused_with_the_option_to_use() -> None:
    (fault,) = faults_of(decide)
    assert fault.code.id == "GND-404"
    assert "--elevation-unit m or --elevation-unit ft" in fault.do


@pytest.mark.parametrize(
    ("told", "band", "vertical"),
    [
        ("ft", "m", None),
        ("m", "ft", None),
        ("m", "", ("US survey foot", SURVEY)),
        (None, "m", ("US survey foot", SURVEY)),
    ],
)
def test_two_that_disagree_are_refused(
    told: str | None, band: str, vertical: tuple[str, float] | None
) -> None:
    (fault,) = faults_of(lambda: decide(told, band, vertical))
    assert fault.code.id == "GND-405"


@pytest.mark.parametrize(("told", "band"), [("ft", "US survey foot"), ("us-ft", "ft")])
def test_of_two_kinds_of_foot_the_survey_foot_is_taken(told: str, band: str) -> None:
    assert decide(told, band).metres == pytest.approx(SURVEY, rel=1e-15)


def test_an_unknown_word_of_the_person_is_refused_and_one_of_the_file_is_read_over() -> None:
    assert codes_of(lambda: decide("furlong")) == ["GND-406"]
    assert codes_of(lambda: decide(band="furlong")) == ["GND-404"]
    unit, notes = decide_unit(told="m", band="furlong", vertical=None, file_name="a.tif")
    assert unit.name == "metre"
    assert notes == ("a.tif: the unit tag 'furlong' is not known; it was read over.",)
