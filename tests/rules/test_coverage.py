"""The shipped packs as a whole: each loads, cites every value, answers nothing by guess, is in the register.

The statuses in `READ` were written down by hand from notes on the sources, not from the packs.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from itertools import product
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tendline.core.source import Citation, Status
from tendline.core.words import DeviceClass
from tendline.rules.answer import Verdict
from tendline.rules.ask import due
from tendline.rules.dated import History
from tendline.rules.facts import Facts
from tendline.rules.finding import Holds
from tendline.rules.forms import NotKnown
from tendline.rules.judge import judge
from tendline.rules.load import load_profile, shipped_profiles
from tendline.rules.needs import DistanceNeed, MeasureNeed, NotHeld
from tendline.rules.shape import Profile
from tools.make_coverage import PAGE, coverage_page, how_known, lines
from tools.rule_standard import CATCH, DEVICE, Told, confirmed

DOCS = Path(__file__).parents[2] / "docs" / "reference"
BINDING = (Holds.PASS, Holds.FAIL, Holds.DUE, Holds.OVERDUE, Holds.CLOSE, Holds.PROHIBITED)
READ_ON = date(2026, 11, 25)

READ = (
    ("us-pa", "tended", None, "secondary"),
    ("us-pa", "bottom", None, "text seen"),
    ("us-pa", "loop-open", "at most 38 in", "secondary"),
    ("us-pa", "loop-closed", "at least 8 in", "secondary"),
    ("us-pa", "breakaway", "at most 375 lb", "secondary"),
    ("us-pa", "cable-diameter", "at least 3/32 in", "secondary"),
    ("us-pa", "den", "at least 5 ft", "secondary"),
    ("us-pa", "targets", None, "text seen"),
    ("us-pa", "bobcat-fisher", None, "agency page"),
    ("us-pa", "dwelling", None, "not found"),
    ("us-pa", "leave", None, "not found"),
    ("us-mi", "live", None, "secondary"),
    ("us-mi", "official", None, "not found"),
    ("us-mi", "loop-open", "at most 15 in", "agency page"),
    ("us-mi", "stop", "at least 4 1/4 in", "agency page"),
    ("us-mi", "swivel-halfway", None, "secondary"),
    ("us-mi", "seal-first", None, "secondary"),
    ("us-mo", "attended", None, "text seen"),
    ("us-mo", "loop-open", "at most 12 in", "agency page"),
    ("us-mo", "stop", "at least 2 1/2 in", "agency page"),
    ("us-mo", "dwelling", "at least 150 ft", "agency page"),
    ("us-mo", "restraints", None, "not found"),
    ("us-va", "visit", None, "text seen"),
    ("us-va", "loop-open", "at most 38 in", "text seen"),
    ("us-va", "breakaway-if-high", "at most 285 lb", "text seen"),
    ("us-va", "material", None, "secondary"),
    ("us-va", "snares", None, "not found"),
    ("us-sd", "east", None, "secondary"),
    ("us-sd", "stop-or-breakaway", None, "text seen"),
    ("us-sd", "loop-open", None, "not found"),
    ("us-oh", "guide", None, "agency page"),
    ("us-oh", "summary", None, "secondary"),
    ("us-oh", "loop-open", "at most 15 in", "agency page"),
    ("us-oh", "dwelling-summary", "at least 150 ft", "secondary"),
    ("us-oh", "at-once", None, "secondary"),
    ("us-ny", "snares", None, "secondary"),
    ("us-ny", "south", None, "text seen"),
    ("us-sc", "land-snares", None, "text seen"),
    ("us-sc", "visit", None, "text seen"),
    ("ca-on", "interval", None, "not found"),
    ("ca-on", "breakaway", "at most 158.8 kg", "agency page"),
    ("ca-on", "stop", "at least 8.9 cm", "agency page"),
    ("us-wi", "daily", None, "from memory"),
    ("us-wi", "bait", "at least 25 ft", "text seen"),
    ("us-wi", "foot-breakaway", "at most 350 lb", "text seen"),
    ("us-wi", "neck-loop", "at most 38 in", "from memory"),
    ("us-wi", "neck-bottom", None, "from memory"),
    ("us-mn", "daily", None, "from memory"),
    ("us-mn", "night", None, "text seen"),
    ("us-mn", "ordinary-loop", "at most 10 in", "unknown"),
    ("us-mn", "wolf-cable", "at least 7/64 in", "text seen"),
    ("us-mn", "top", None, "from memory"),
    ("us-ia", "visit", None, "text seen"),
    ("us-ia", "breakaway", "at most 350 lb", "from memory"),
    ("us-ia", "owner", None, "not found"),
    ("us-in", "visit", None, "text seen"),
    ("us-in", "loop-open", "at most 15 in", "from memory"),
    ("us-ks", "visit", None, "agency page"),
    ("us-ks", "road", "at least 50 ft", "agency page"),
    ("us-ky", "visit", None, "text seen"),
    ("us-ky", "spacing", "at least 10 ft", "secondary"),
    ("us-tn", "visit", None, "secondary"),
    ("us-tn", "cable", "at least 5/64 in and at most 3/32 in", "secondary"),
    ("us-tx", "visit", None, "agency page"),
    ("us-tx", "school", "at least 400 yd", "agency page"),
    ("us-ne", "land", None, "secondary"),
    ("us-ne", "dwelling", "at least 100 yd", "agency page"),
    ("us-ne", "roadside", None, "text seen"),
    ("us-me", "visit", None, "text seen"),
    ("us-me", "land-snares", None, "from memory"),
    ("us-nh", "visit", None, "text seen"),
    ("us-nh", "snares", None, "from memory"),
    ("us-nj", "visit", None, "secondary"),
    ("us-nj", "coyote", None, "secondary"),
    ("us-nj", "raised-set", None, "text seen"),
)
"""Profile, rule, the limit as the source writes it where there is one, and how surely it was read."""


def _all(profile: Profile) -> Iterator[tuple[str, History[Any]]]:
    held: list[Any] = [*profile.bans, *profile.checks, *profile.who, *profile.rules, *profile.facts.values()]
    yield from ((rule.id, rule.history) for rule in held)
    for name, either in (("closed", profile.closed_stops), ("distance", profile.distance_counts)):
        if either is not None:
            yield name, either


def _guessed(history: History[Any], day: date) -> bool:
    term = history.on(day)
    return term is not None and (isinstance(term.value, NotHeld | NotKnown) or not term.status.may_bind)


def _variants(profile: Profile) -> Iterator[Facts]:
    """Give the standard set with each answer, subtype, class of device and animal told apart."""
    ends = [{q.id: list(q.answers)[end] for q in profile.questions.values()} for end in (0, -1)]
    made = datetime(2027, 1, 10, 8, tzinfo=ZoneInfo("America/New_York"))
    subtypes = ("neck-type", "foot-type", "wolf-snare", None)
    classes = (DeviceClass.LIVE_RESTRAINT, DeviceClass.FOOTHOLD)
    for answers, subtype, kind in product(ends, subtypes, classes):
        for species, alive in (("coyote", True), ("raccoon", False)):
            told = Told(
                device=replace(DEVICE, subtype=subtype), catch=replace(CATCH, species=species, alive=alive)
            )
            yield told.on(profile, made, answers=answers, device_class=kind)


@pytest.mark.parametrize("name", shipped_profiles())
def test_every_value_of_every_pack_says_where_it_was_read_and_when(name: str) -> None:
    profile = load_profile(name)
    held = list(_all(profile))
    assert held
    for rule, history in held:
        assert history.terms, rule
        for term in history.terms:
            assert term.cites, rule
            assert all(isinstance(cite, Citation) for cite in term.cites)
    for key, cite in profile.cites.items():
        assert (cite.status is Status.INVENTED) == profile.invented, key
        if cite.status in (Status.TEXT, Status.AGENCY, Status.SECONDARY):
            assert cite.retrieved == READ_ON, key
            assert cite.address, key


@pytest.mark.parametrize("name", shipped_profiles())
def test_nothing_from_memory_unknown_or_not_found_ever_answers(name: str) -> None:
    profile = load_profile(name)
    now = datetime(2027, 1, 10, 18, tzinfo=ZoneInfo("America/New_York"))
    guessed = {rule for rule, history in _all(profile) if _guessed(history, now.date())}
    for facts in _variants(profile):
        for finding in judge(profile, facts, now=now, confirmation=confirmed(profile)):
            if finding.rule in guessed or not finding.status.may_bind:
                assert finding.holds not in BINDING, f"{finding.rule}: {finding.holds}, {finding.said}"
            if finding.holds is Holds.NOT_VERIFIED:
                assert not finding.verified
                assert finding.confirm, f"{finding.rule}: it must say what to do"
        assert facts.watched is not None
        answer = due(profile, facts.watched, now=now, confirmation=confirmed(profile))
        if answer.verdict in (Verdict.DUE, Verdict.OVERDUE, Verdict.PROHIBITED, Verdict.NO_CLOCK):
            assert answer.citations
            assert answer.status.may_bind


@pytest.mark.parametrize("name", shipped_profiles())
def test_nothing_is_verified_until_the_person_has_confirmed_the_profile(name: str) -> None:
    profile = load_profile(name)
    now = datetime(2027, 1, 10, 18, tzinfo=ZoneInfo("America/New_York"))
    found = judge(profile, next(_variants(profile)), now=now)
    assert found
    assert not any(finding.verified for finding in found)


@pytest.mark.parametrize("name", [name for name in shipped_profiles() if name != "xx-demo"])
def test_every_real_pack_is_a_draft_that_names_its_gaps_and_ends_with_the_season(name: str) -> None:
    profile = load_profile(name)
    assert profile.state.value == "draft"
    assert profile.reviewed == READ_ON
    assert profile.good_until == date(2027, 6, 30)
    assert "to be confirmed" in profile.about
    assert "2026-27" in profile.about


@pytest.mark.parametrize(("name", "rule", "limit", "status"), READ)
def test_a_value_carries_the_limit_and_the_status_with_which_it_was_read(
    name: str, rule: str, limit: str | None, status: str
) -> None:
    histories = [history for found, history in _all(load_profile(name)) if found == rule]
    assert len(histories) == 1
    assert status == how_known(histories[0])
    if limit is not None:
        value = histories[0].terms[-1].value
        assert isinstance(value, MeasureNeed | DistanceNeed)
        assert limit == value.bounds.words


def test_the_register_of_coverage_is_up_to_date() -> None:
    assert coverage_page() == PAGE.read_text(encoding="utf-8"), "run: python -m tools.make_coverage"


@pytest.mark.parametrize("page", ["coverage.md", "rule-profiles.md"])
def test_the_list_of_shipped_profiles_is_that_of_the_pages(page: str) -> None:
    text = (DOCS / page).read_text(encoding="utf-8")
    listed = re.findall(r"^\| `((?:us|ca|xx)-[a-z]+)` \|", text, re.MULTILINE)
    assert list(shipped_profiles()) == listed


def test_a_value_not_found_is_never_counted_as_read() -> None:
    """Missouri's season: the dates of 2016 were read, those in force now were not."""
    held = {name: known for _, name, _, known, _ in lines(load_profile("us-mo"))}
    assert held["restraints"] == "not found"
    assert held["coyote-spring"] == "text seen"
