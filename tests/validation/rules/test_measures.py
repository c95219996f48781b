"""Measures, chances, days and zones against published tables and independent libraries."""

import math
from datetime import date, timedelta
from fractions import Fraction

import pytest
import shapely
from dateutil.relativedelta import relativedelta  # type: ignore[import-untyped]
from dateutil.rrule import DAILY, FR, MO, TH, TU, WE, rrule  # type: ignore[import-untyped]
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod
from scipy.stats import norm, rayleigh

from tendline.core.place import LonLat
from tendline.core.source import Citation, Status
from tendline.rules.areas import answers_at, border_m, holds, overlap
from tendline.rules.business import business_days_after, days_after
from tendline.rules.dated import Quantity
from tendline.rules.facts import Measure
from tendline.rules.meet_measures import R95_PER_SIGMA, inside, inside_by_chance
from tendline.rules.meet_paper import years_before
from tendline.rules.needs import Bounds
from tendline.rules.outcome import Met
from tendline.rules.quantities import in_si, written
from tendline.rules.rule import Area, MonthDay
from tendline.rules.seasons import on_year, spanning

INCH = 0.0254


def _quantity(text: str, exact: Fraction | int, unit: str) -> Quantity:
    return Quantity(text, unit, Fraction(exact))


def _at_least(metres: Fraction | int) -> Bounds:
    return Bounds(at_least=_quantity(f"{metres} m", metres, "m"))


@pytest.mark.parametrize(
    ("around_in", "across_in"),
    [(38.0, 12.0958), (8.0, 2.5465), (7.8540, 2.5), (13.3518, 4.25), (47.1239, 15.0)],
)
def test_round_and_across_agree_with_the_published_table(around_in: float, across_in: float) -> None:
    """Conversions of circumference and diameter worked to four places: 38 in round is 12.0958 in across."""
    assert across_in == pytest.approx(Measure(around_in * INCH).scaled(1 / math.pi).value / INCH, abs=5e-5)


@pytest.mark.parametrize(
    ("quantity", "expected"),
    [
        # NIST SP 811 (2008), appendix B.8: inch 2.54 E-02, foot 3.048 E-01, yard 9.144 E-01,
        # mile 1.609344 E+03 m, pound-force 4.448222 E+00, kilogram-force 9.80665 E+00 N
        (_quantity("1 in", 1, "in"), 2.54e-2),
        (_quantity("1 ft", 1, "ft"), 3.048e-1),
        (_quantity("150 yd", 150, "yd"), 150 * 9.144e-1),
        (_quantity("1 mi", 1, "mi"), 1.609344e3),
        (_quantity("350 lb", 350, "lb"), 350 * 4.448222),
        (_quantity("158.8 kg", Fraction(1588, 10), "kg"), 158.8 * 9.80665),
    ],
)
def test_a_quantity_is_what_the_standard_says(quantity: Quantity, expected: float) -> None:
    assert float(in_si(quantity)) == pytest.approx(expected, rel=2e-7)  # the table has seven figures


def test_loads_of_two_countries_compare_as_published() -> None:
    """122.5 kg is 270 lb and 158.8 kg is 350 lb to the pound, and not exactly: 350 lb is 158.757 kg."""
    pound, kilo = in_si(_quantity("1 lb", 1, "lb")), in_si(_quantity("1 kg", 1, "kg"))
    assert [round(float(kg * kilo / pound)) for kg in (Fraction(1225, 10), Fraction(1588, 10))] == [270, 350]
    assert in_si(_quantity("158.8 kg", Fraction(1588, 10), "kg")) > in_si(_quantity("350 lb", 350, "lb"))


def test_the_radius_of_95_in_100_is_that_of_the_circular_normal_law() -> None:
    """Against SciPy's Rayleigh law, and the published ratio of the 95 % to the 50 % radius, 2.0789."""
    assert rayleigh.ppf(0.95) == pytest.approx(R95_PER_SIGMA, rel=1e-12)
    assert pytest.approx(R95_PER_SIGMA / rayleigh.ppf(0.5), abs=5e-5) == 2.0789


@pytest.mark.parametrize(
    ("distance", "sigma", "expected"),
    [(3, 3, 0.84134), (5, 3, 0.95221), (6, 3, 0.97725), (10, 3.3, 0.99878)],
)
def test_the_chance_of_being_inside_a_line_is_as_published(
    distance: float, sigma: float, expected: float
) -> None:
    outcome = inside_by_chance(
        Measure(100.0 + distance), _at_least(100), "it", error95_m=sigma * R95_PER_SIGMA, sure=0.99
    )
    assert outcome.probability == pytest.approx(expected, abs=5e-6)


@given(st.floats(-40, 40), st.floats(0.1, 20), st.sampled_from([0.9, 0.95, 0.99]))
@settings(max_examples=100, deadline=None)
def test_the_call_agrees_with_scipy(offset: float, sigma: float, sure: float) -> None:
    outcome = inside_by_chance(
        Measure(100.0 + offset), _at_least(100), "it", error95_m=sigma * R95_PER_SIGMA, sure=sure
    )
    chance = norm.cdf(offset / sigma)
    assert outcome.probability == pytest.approx(chance, abs=1e-9)
    if min(abs(chance - sure), abs(chance - 1 + sure)) > 1e-9:
        assert outcome.met is (Met.YES if chance >= sure else Met.NO if chance <= 1 - sure else Met.CLOSE)


def test_the_margin_for_99_in_100_of_a_phone_is_as_published() -> None:
    """A displayed 68 % radius of 5 m needs 7.705 m: sigma is 5 / 1.50959, and 2.3263 sigma is the margin."""
    error95 = 5 / 1.50959 * R95_PER_SIGMA
    for metres, met in ((7.706, Met.YES), (7.704, Met.CLOSE)):
        found = inside_by_chance(Measure(100 + metres), _at_least(100), "it", error95_m=error95, sure=0.99)
        assert found.met is met


@given(st.integers(1, 4000), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
@settings(max_examples=200, deadline=None)
def test_a_value_in_inches_turned_to_metres_still_meets_its_own_limit(above: int, below: int) -> None:
    """What was written in inches passes at_most and at_least of the same number, and no strict bound."""
    exact = Fraction(above, below)
    limit = _quantity(f"{exact} in", exact, "in")
    measure = Measure(float(exact) * INCH)
    assert inside(measure, Bounds(at_most=limit, at_least=limit), "it").met is Met.YES
    assert inside(measure, Bounds(more_than=limit), "it").met is Met.NO
    assert inside(measure, Bounds(less_than=limit), "it").met is Met.NO
    beyond = Measure(float(exact) * INCH * (1 + 1e-6))
    assert inside(beyond, Bounds(at_most=limit), "it").met is Met.NO
    assert written(beyond.value, "in", beside=limit) != written(measure.value, "in", beside=limit)


@given(
    st.dates(date(2020, 1, 1), date(2035, 12, 31)),
    st.integers(1, 15),
    st.sets(st.integers(1, 25), max_size=4),
)
@settings(max_examples=150, deadline=None)
def test_business_days_agree_with_dateutil(day: date, number: int, off: set[int]) -> None:
    holidays = frozenset(day + timedelta(days=n) for n in off)
    rule = rrule(
        DAILY, byweekday=(MO, TU, WE, TH, FR), dtstart=day + timedelta(days=1), count=number + len(off)
    )
    working = [moment.date() for moment in rule if moment.date() not in holidays]
    assert working[number - 1] == business_days_after(day, number, holidays=holidays)
    assert business_days_after(day, number) <= working[number - 1]  # without holidays never later


@given(st.dates(date(2020, 1, 1), date(2035, 12, 31)), st.integers(1, 60))
@settings(max_examples=60, deadline=None)
def test_days_and_years_agree_with_dateutil(day: date, number: int) -> None:
    assert day + relativedelta(days=number) == days_after(day, number)
    assert day - relativedelta(years=number % 5) == years_before(day, number % 5)


@given(
    st.dates(date(2023, 1, 1), date(2029, 12, 31)),
    st.dates(date(2023, 1, 1), date(2023, 12, 31)),
    st.dates(date(2023, 1, 1), date(2023, 12, 31)),
)
@settings(max_examples=200, deadline=None)
def test_a_window_of_the_year_is_the_plain_comparison_of_month_and_day(
    day: date, start: date, end: date
) -> None:
    """Written out with months and days alone: across New Year it is "after or before"."""
    first, last, asked = (start.month, start.day), (end.month, end.day), (day.month, day.day)
    plain = first <= asked <= last if first <= last else asked >= first or asked <= last
    found = spanning(MonthDay(*first), MonthDay(*last), day)
    assert plain is (found is not None)
    if found is not None:
        assert found.first is not None
        assert found.last is not None
        assert found.first <= day <= found.last


def test_29_february_is_the_last_of_february_elsewhere() -> None:
    assert [on_year(MonthDay(2, 29), year).day for year in (2027, 2028)] == [28, 29]


_CORNERS = st.lists(st.tuples(st.integers(-6, 6), st.integers(-6, 6)), min_size=3, max_size=6, unique=True)


def _ring(corners: list[tuple[int, int]]) -> tuple[LonLat, ...] | None:
    shape = shapely.MultiPoint(corners).convex_hull
    if shape.geom_type != "Polygon":
        return None
    return tuple(LonLat(x, y) for x, y in shape.exterior.coords)


def _shape(ring: tuple[LonLat, ...]) -> shapely.Polygon:
    return shapely.Polygon([(p.lon, p.lat) for p in ring])


@given(_CORNERS, _CORNERS)
@settings(max_examples=300, deadline=None)
def test_overlap_agrees_with_shapely(one: list[tuple[int, int]], other: list[tuple[int, int]]) -> None:
    first, second = _ring(one), _ring(other)
    if first is None or second is None:
        return
    assert overlap(first, second) is bool(_shape(first).intersection(_shape(second)).area > 1e-9)


def test_hollow_shapes_that_fit_into_one_another_do_not_overlap() -> None:
    """A notched square and the square that fills the notch, against Shapely."""
    notched = tuple(
        LonLat(x, y) for x, y in [(0, 0), (6, 0), (6, 6), (4, 6), (4, 2), (2, 2), (2, 6), (0, 6), (0, 0)]
    )
    plug = tuple(LonLat(x, y) for x, y in [(2, 2), (4, 2), (4, 6), (2, 6), (2, 2)])
    assert _shape(notched).intersection(_shape(plug)).area == 0
    assert not overlap(notched, plug)
    assert overlap(notched, tuple(LonLat(p.lon + 0.5, p.lat) for p in plug))
    assert overlap(plug, plug)


@given(_CORNERS, st.floats(-7, 7), st.floats(-7, 7))
@settings(max_examples=200, deadline=None)
def test_a_place_in_a_zone_agrees_with_shapely(corners: list[tuple[int, int]], x: float, y: float) -> None:
    ring = _ring(corners)
    if ring is None or _shape(ring).boundary.distance(shapely.Point(x, y)) < 1e-9:
        return
    assert holds(ring, LonLat(x, y)) is bool(_shape(ring).contains(shapely.Point(x, y)))


@given(st.floats(-60, 60), st.floats(-0.02, 0.02), st.floats(-0.02, 0.02))
@settings(max_examples=100, deadline=None)
def test_the_distance_to_a_border_agrees_with_the_ellipsoid(lat: float, x: float, y: float) -> None:
    """Against geodesics on WGS 84 (pyproj) to points sampled along the border, to 1 in 100 and a metre."""
    corners = [(-1.0, lat - 0.02), (1.0, lat - 0.02), (1.0, lat + 0.02), (-1.0, lat + 0.02)]
    ring = tuple(LonLat(lon, lat_) for lon, lat_ in [*corners, corners[0]])
    place = LonLat(x, lat + y)
    geod = Geod(ellps="WGS84")
    edges = [lat - 0.02, lat + 0.02]  # the others lie a degree off
    nearest = min(geod.inv(place.lon, place.lat, place.lon, edge)[2] for edge in edges)
    assert border_m(ring, place) == pytest.approx(nearest, rel=0.01, abs=1.0)


def test_a_zone_answers_only_where_its_border_is_far_enough() -> None:
    cites = (Citation("Act", "", "", None, Status.INVENTED),)
    ring = tuple(LonLat(x, y) for x, y in [(0, 0), (1, 0), (1, 1), (0, 1), (0, 0)])
    area = Area("a", "side", "east", ring, cites)
    inside_by_20_m = LonLat(20 / 111320, 0.5)
    assert answers_at([area], inside_by_20_m) == {"side": "east"}
    assert answers_at([area], inside_by_20_m, margin_m=19.9) == {"side": "east"}
    assert answers_at([area], inside_by_20_m, margin_m=20.1) == {}
