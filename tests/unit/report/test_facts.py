from dataclasses import replace
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from tendline.almanac.sun import sun_times
from tendline.core.errors import Refused
from tendline.core.place import LonLat
from tendline.report.facts import RuleNote, check_facts, dark_looks, is_dark
from tests.unit.report.example_round import example_facts, example_plan, local, sun

SUN = sun(local(7, 5), local(17, 35))


def test_every_set_without_facts_is_named_at_once() -> None:
    facts = example_facts()
    kept = {name: known for name, known in facts.sets.items() if name not in ("mill-1", "N-3")}
    with pytest.raises(Refused) as refused:
        check_facts(example_plan(), replace(facts, sets=kept))
    assert [fault.code.id for fault in refused.value.faults] == ["REP-101", "REP-101"]
    assert [fault.where for fault in refused.value.faults] == ["set mill-1", "set N-3"]


def test_it_is_dark_outside_civil_twilight_and_its_ends_are_light() -> None:
    hours = [local(7, 4), local(7, 5), local(17, 35), local(17, 36)]
    assert [is_dark(hour, SUN) for hour in hours] == [True, False, False, True]


def test_a_day_without_dawn_is_dark_in_the_polar_night_and_light_in_the_polar_day() -> None:
    # Longyearbyen, 78.22 N: no civil twilight around 21 December, midnight sun around 21 June (from memory).
    place, zone = LonLat(15.63, 78.22), ZoneInfo("Arctic/Longyearbyen")
    winter, summer = (sun_times(place, date(2026, month, 21), zone) for month in (12, 6))
    assert is_dark(datetime(2026, 12, 21, 11, tzinfo=UTC), winter)
    assert not is_dark(datetime(2026, 6, 21, 23, tzinfo=UTC), summer)


def test_dark_looks_are_not_counted_where_the_sun_was_not_worked_out() -> None:
    assert dark_looks(example_plan(), None) is None
    # Looks are at 05:08 to 06:32 (13 of them), 06:56 and 07:01 before civil dawn at 07:05, three after it.
    assert dark_looks(example_plan(), SUN) == 15


def test_a_confirmation_holds_on_its_last_day_and_not_after() -> None:
    rule = RuleNote("corran", "a look a day.", "Invented", date(2026, 1, 2), date(2026, 2, 28))
    assert [
        rule.holds(day) for day in (date(2026, 1, 1), date(2026, 1, 2), date(2026, 2, 28), date(2026, 3, 1))
    ] == [
        False,
        True,
        True,
        False,
    ]
    assert rule.standing(date(2026, 2, 28)) == "Confirmed 2026-01-02, good until 2026-02-28."
    assert rule.standing(date(2026, 3, 1)).startswith("NOT VERIFIED")
    assert replace(rule, until=None).standing(date(2026, 1, 5)).startswith("NOT VERIFIED: nobody")
