"""Removal estimates against the worked examples of the papers and of an open reference package's tests."""

import pytest

from tendline.core.errors import Refused
from tendline.season.leslie import delury, leslie
from tendline.season.removal import (
    carle_strub,
    moran,
    running,
    seber_three,
    seber_two,
    stop_rule,
    taken_within,
    zippin,
)


def test_carle_and_strub_as_printed() -> None:
    # Carle & Strub 1978, Biometrics 34:621-630, examples 1 and 2.
    first = carle_strub([38, 26, 12])
    assert (first.number, first.p, first.se) == pytest.approx((91, 0.444, 9.7), abs=0.02)
    second = carle_strub([5, 7, 8])
    assert (second.number, second.p) == pytest.approx((44, 0.174), abs=5e-4)
    # FSA package (R), tests of removal(): 77, 50, 37.
    third = carle_strub([77, 50, 37])
    assert (third.number, third.p, third.se) == pytest.approx((233, 0.3313131, 31.35785), rel=1e-6)


def test_moran_and_zippin() -> None:
    assert moran([77, 50, 37]).number == pytest.approx(237.5965, abs=5e-4)  # FSA
    assert moran([77, 50, 37]).p == pytest.approx(0.3223336, abs=1e-6)
    assert moran([38, 26, 12]).number == pytest.approx(92.1506, abs=5e-4)
    found = zippin([38, 26, 12])
    assert (found.number, found.p, found.se) == pytest.approx((94.9260, 0.41581, 11.7396), abs=5e-4)
    # Zippin 1958, J. Wildl. Manage. 22:82-90: 165, 101, 54; read from a graph as about 400 (from memory).
    assert zippin([165, 101, 54]).number == pytest.approx(400, abs=5)


def test_catches_that_do_not_fall_have_no_finite_answer_but_one() -> None:
    assert zippin([5, 7, 8]).number is moran([5, 7, 8]).number is None
    assert seber_two([5, 7]).number is None
    assert seber_three([1, 2, 30]).number is None
    assert seber_three([5, 3]).number is None
    assert carle_strub([5, 7, 8]).number == 44


def test_seber() -> None:
    # Seber 1982, example 7.4: 79, 28. Cowx 1983, p. 75: 72, 56, 46.
    two = seber_two([79, 28])
    assert (two.number, two.p, two.se) == pytest.approx((122, 0.65, 8.8), abs=0.4)
    assert two.number == pytest.approx(122.3725, abs=5e-5)
    assert seber_three([72, 56, 46]).number == pytest.approx(353, abs=0.5)
    assert seber_three([72, 56, 46]).number == pytest.approx(zippin([72, 56, 46]).number, rel=1e-6)
    fsa = seber_two([77, 37])
    assert (fsa.number, fsa.p, fsa.se) == pytest.approx((148.225, 0.5194805, 19.0118725), rel=1e-6)


BASS = [131.0, 69.0, 99.0, 78.0, 56.0, 76.0, 49.0, 42.0, 63.0, 47.0]
"""Smallmouth bass, Omand 1951 in Ricker 1975; effort 7 in each round."""


def test_leslie_on_the_smallmouth_bass() -> None:
    found = leslie(BASS, [7.0] * 10)
    assert (found.number, found.se) == pytest.approx((1060.2956, 169.2676), abs=5e-4)
    assert (found.low, found.high) == pytest.approx((669.9638, 1450.627), abs=5e-3)
    assert (found.q, found.q_se) == pytest.approx((0.01484403, 0.003520491), rel=1e-6)
    assert found.r2 == pytest.approx(0.6896648, abs=1e-6)
    other = leslie(BASS, [7.0] * 10, ricker=True)
    assert (other.number, other.se, other.q) == pytest.approx((1077.571, 177.8035, 0.01525078), rel=1e-5)


def test_delury_on_the_smallmouth_bass() -> None:
    found = delury(BASS, [7.0] * 10)
    assert (found.number, found.se) == pytest.approx((1098.503, 191.6049), rel=1e-5)
    assert (found.low, found.high) == pytest.approx((656.66, 1540.35), abs=0.01)
    assert (found.q, found.q_se) == pytest.approx((0.01319375, 0.003585777), rel=1e-6)
    assert delury(BASS, [7.0] * 10, ricker=True).number == pytest.approx(1150.420, abs=5e-3)


def test_rising_catches_tell_nothing() -> None:
    assert leslie([1, 2, 3, 4], [1.0] * 4).number is None
    assert delury([1, 2, 3, 4], [1.0] * 4).number is None
    assert delury([3, 0, 1], [1.0] * 3).number is None


@pytest.mark.parametrize("rounds", [[], [3], [3, -1], [0, 0]])
def test_what_is_no_list_of_rounds_is_refused(rounds: list[int]) -> None:
    with pytest.raises(Refused) as caught:
        carle_strub(rounds)
    assert caught.value.faults[0].code.id == "SEA-201"


@pytest.mark.parametrize(
    ("catches", "effort"), [([3, 2], [1, 1]), ([3, 2, 1], [1, 1]), ([3, 2, 1], [1, 0, 1])]
)
def test_effort_that_does_not_match_is_refused(catches: list[float], effort: list[float]) -> None:
    with pytest.raises(Refused) as caught:
        leslie(catches, effort)
    assert caught.value.faults[0].code.id == "SEA-201"


def test_the_stop_rule_is_the_chance_of_nothing_in_a_row() -> None:
    # Geometric: at 0.1 a night, 0.9^28 = 0.0523 and 0.9^29 = 0.0471: 29 nights.
    rule = stop_rule(0.1)
    assert rule is not None
    assert rule.nights == 29
    assert taken_within(0.1, (28, 29)) == pytest.approx((1 - 0.0523, 1 - 0.0471), abs=5e-5)
    assert stop_rule(0.0) is None
    assert running([3, 2, 1]) == (0, 3, 5)
