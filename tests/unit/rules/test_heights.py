"""Which height rules look at a set, with their bounds: the shipped profiles, and what is left open."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from tendline.core.settings import Confirmation
from tendline.core.words import DeviceClass
from tendline.rules.facts import Datum, DeviceFacts, Facts, SetFacts
from tendline.rules.heights import HeightRule, height_rules
from tendline.rules.load import load_profile

NOW = datetime(2027, 1, 15, 18, tzinfo=UTC)
ZONE = ZoneInfo("America/New_York")


def asked(
    profile: str, *, device: DeviceClass = DeviceClass.LIVE_RESTRAINT, confirmed: bool = True
) -> tuple[HeightRule, ...]:
    facts = Facts(
        zone=ZONE, device=DeviceFacts("1", device_class=device), set=SetFacts("N1", species="coyote")
    )
    given = Confirmation(profile, date(2026, 11, 26), date(2027, 3, 1)) if confirmed else None
    return height_rules(load_profile(profile), facts, now=NOW, confirmation=given, sure=0.99)


def test_pennsylvania_has_a_band_for_the_bottom() -> None:
    # 58 Pa. Code 141.66 (e): 6 to 12 in above the first surface beneath.
    (rule,) = asked("us-pa")
    assert (rule.point, rule.above) == ("bottom", Datum.FIRST_HARD)
    assert (rule.least_m, rule.most_m) == pytest.approx((0.1524, 0.3048))
    assert "141.66" in str(rule.citation)


def test_michigan_has_a_highest_top_measured_in_snow_from_a_footprint() -> None:
    (rule,) = asked("us-mi")
    assert (rule.point, rule.above, rule.least_m) == ("top", Datum.FOOTPRINT, None)
    assert rule.most_m == pytest.approx(0.6096)


def test_what_is_not_confirmed_or_only_remembered_is_marked() -> None:
    assert asked("us-pa")[0].verified
    assert not asked("us-pa", confirmed=False)[0].verified
    # The Wisconsin band is held from memory only.
    assert [rule.verified for rule in asked("us-wi")] == [False]


def test_an_invented_law_is_never_verified() -> None:
    rules = asked("xx-demo")
    assert {rule.point for rule in rules} == {"bottom", "top"}
    assert not any(rule.verified for rule in rules)


def test_a_rule_on_another_kind_of_device_is_left_out() -> None:
    assert asked("us-pa", device=DeviceClass.FOOTHOLD) == ()
