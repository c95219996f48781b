"""What a profile holds of its agency's guidance: told as it stands, verified only by the person's word."""

from dataclasses import replace
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tendline.core.settings import Confirmation, Settings
from tendline.jobs.guidance import carried_guidance
from tendline.jobs.profile_values import values_of
from tendline.rules.load import load_profile, shipped_profiles

DAY = date(2026, 12, 1)
PACKS = {name: load_profile(name) for name in shipped_profiles()}
SETTINGS = Settings("line", zone=ZoneInfo("America/New_York"))


def told(settings: Settings, name: str = "xx-demo", day: date = DAY) -> dict[str, Any]:
    (found,) = carried_guidance({name: PACKS[name]}, settings=settings, day=day)
    return dict(found["steps"])


def confirmed(**doubts: str) -> Settings:
    named = {key.replace("_", "-").replace("fact-", "fact."): said for key, said in doubts.items()}
    word = Confirmation("xx-demo", date(2026, 10, 1), date(2027, 3, 31), doubts=named)
    return replace(SETTINGS, confirmations=(word,))


def test_only_what_was_gone_through_is_verified() -> None:
    assert not told(SETTINGS)["verified"]
    assert told(confirmed())["verified"]
    assert not told(confirmed(), day=date(2027, 4, 1))["verified"]  # the word was for that season
    doubted = told(confirmed(fact_release_steps="the office has a new leaflet"))
    assert (doubted["verified"], doubted["note"]) == (False, "the office has a new leaflet")
    assert len(doubted["lines"]) == 4


def test_it_is_gone_through_when_the_profile_is_confirmed() -> None:
    named = {value.rule for value in values_of(PACKS["xx-demo"], DAY)}
    assert {"fact.release-steps", "fact.whom-to-call"} <= named


@pytest.mark.parametrize("name", sorted(set(PACKS) - {"xx-demo"}))
def test_what_a_profile_does_not_hold_is_never_made_up(name: str) -> None:
    held = {"release-steps", "whom-to-call"} & set(PACKS[name].facts)
    assert bool(told(SETTINGS, name)["lines"]) == bool("release-steps" in held)
