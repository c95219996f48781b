"""A profile is read whole or refused whole, with every fault by file and key path."""

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from tendline.core.errors import Code, Refused
from tendline.core.source import Status
from tendline.core.words import DeviceClass
from tendline.rules import faults, load_forms
from tendline.rules.dated import Began, Quantity
from tendline.rules.forms import ElapsedHours, FullCalendarDays
from tendline.rules.load import load_profile, read_profile, shipped_profiles
from tendline.rules.needs import Bounds, MeasureNeed
from tendline.rules.shape import Profile

HEAD = """
format = 1
[profile]
id = "us-xy"
title = "Test"
about = "For the tests."
country = "us"
region = "xy"
state = "draft"
reviewed = 2026-11-25
good_until = 2027-06-30
[legal_time]
zone = "place"
[cite.act]
title = "Act"
address = "law.example/act"
retrieved = 2026-11-25
status = "text seen"
"""

RULE = """
[check.visit]
meaning = "Visited."
severity = "duty"
classes = ["live-restraint"]
[[check.visit.since]]
day = 2020-01-01
form = "elapsed-hours"
limit = "24 h"
cite = ["act"]
"""


def _faults(text: str) -> list[tuple[str, str]]:
    """Code and place of every fault of a profile."""
    with pytest.raises(Refused) as refused:
        read_profile(text, file="own.toml")
    return [(fault.code.id, fault.where) for fault in refused.value.faults]


def _one(text: str) -> tuple[str, str]:
    found = _faults(text)
    assert len(found) == 1, found
    return found[0]


def test_the_head_and_the_rule_of_these_tests_are_fine_by_themselves() -> None:
    assert read_profile(HEAD + RULE, file="own.toml").id == "us-xy"


@pytest.mark.parametrize("name", shipped_profiles())
def test_every_shipped_profile_reads_and_says_where_each_value_is_from(name: str) -> None:
    profile = load_profile(name)

    assert profile.id == name
    histories = [rule.history.terms for rule in profile.checks]
    histories += [fact.history.terms for fact in profile.facts.values()]  # type: ignore[misc]
    assert all(terms and all(term.cites for term in terms) for terms in histories)
    assert all((cite.status is Status.INVENTED) == profile.invented for cite in profile.cites.values())


def test_twenty_states_a_province_and_the_invented_county_are_shipped() -> None:
    states = "ia in ks ky me mi mn mo ne nh nj ny oh pa sc sd tn tx va wi"
    assert shipped_profiles() == ("ca-on", *(f"us-{state}" for state in states.split()), "xx-demo")


def test_pennsylvania_holds_what_was_read_with_the_status_it_was_read_with() -> None:
    """The archive's copies of 58 Pa. Code 141.66, a leaflet, and a summary of 34 Pa.C.S. 2361-2364."""
    profile = load_profile("us-pa")
    (tended,) = profile.checks
    (term,) = tended.history.terms

    assert isinstance(term.value, ElapsedHours)
    assert term.value.words == "every 36 hours"
    assert term.began is Began.SEEN
    assert term.status is Status.SECONDARY
    held = {rule.id: rule.history.terms[0] for rule in profile.rules}
    assert held["cable-diameter"].value == MeasureNeed(
        "cable-diameter", Bounds(at_least=Quantity("3/32 in", "in", Fraction(3, 32)))
    )
    assert held["bottom"].status is Status.TEXT
    assert held["trapping"].status is Status.AGENCY


def test_south_dakota_counts_full_calendar_days_by_the_side_of_the_river() -> None:
    profile = load_profile("us-sd")

    assert [rule.history.terms[0].value for rule in profile.checks] == [
        FullCalendarDays(2),
        FullCalendarDays(3),
    ]
    assert {rule.history.terms[0].status for rule in profile.checks} == {Status.SECONDARY}
    assert all(rule.scope.classes == {DeviceClass.LIVE_RESTRAINT} for rule in profile.checks)
    assert list(profile.questions["river-side"].answers) == ["east", "west"]


def test_a_profile_of_ones_own_is_read_from_its_path(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text(HEAD + RULE, encoding="utf-8")

    assert load_profile(path).id == load_profile(str(path)).id == "us-xy"


def test_an_unknown_id_tells_which_profiles_there_are() -> None:
    with pytest.raises(Refused, match=r"RULE-102.*us-pa, us-sc, us-sd.*xx-demo"):
        load_profile("us-zz")


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="RULE-101"):
        load_profile(tmp_path / "none.toml")


def test_a_file_that_is_not_utf8_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_bytes(b'title = "caf\xe9"')
    with pytest.raises(Refused, match=r"RULE-101.*UTF-8"):
        load_profile(path)


def test_what_is_not_toml_is_refused_with_its_line() -> None:
    with pytest.raises(Refused, match=r"RULE-101.*line 2"):
        read_profile("format = 1\nthis is not toml", file="own.toml")


@pytest.mark.parametrize(
    ("after", "where"),
    [
        ("colour = 3\n", "cite.act.colour"),  # still inside [cite.act]
        ("[extra]\na = 1\n", "extra"),
        (RULE + "hours = 3\n", "check.visit.since[0].hours"),
        (RULE.replace("severity", 'severty = "duty"\nseverity'), "check.visit.severty"),
        ('[question.side]\nask = "?"\nhint = "x"\nanswers = { a = "A" }\n', "question.side.hint"),
    ],
)
def test_a_key_that_means_nothing_is_a_fault_with_its_path(after: str, where: str) -> None:
    found = _faults(HEAD + after + ("" if "check.visit" in after else RULE))
    assert ("RULE-103", f"own.toml: {where}") in found
    assert len(found) == 1


def test_the_message_of_an_unknown_key_says_what_is_known_there() -> None:
    with pytest.raises(Refused, match=r"RULE-103 own\.toml: check\.visit\.clases: .*Known here: .*classes"):
        read_profile(HEAD + RULE.replace("classes", "clases"), file="own.toml")


@pytest.mark.parametrize(
    ("text", "code", "where"),
    [
        (HEAD.replace('title = "Test"', "") + RULE, "RULE-104", "profile.title"),
        (HEAD + RULE.replace("day = 2020-01-01", ""), "RULE-104", "check.visit.since[0].day"),
        (HEAD.replace('address = "law.example/act"', "") + RULE, "RULE-104", "cite.act.address"),
        (HEAD + RULE.replace("2020-01-01", '"2020-01-01"'), "RULE-105", "check.visit.since[0].day"),
        (HEAD + RULE.replace("2020-01-01", "2020-01-01T00:00:00"), "RULE-105", "check.visit.since[0].day"),
        (HEAD + RULE.replace('"24 h"', "24"), "RULE-105", "check.visit.since[0].limit"),
        (HEAD + RULE.replace('"24 h"', '"24 hrs"'), "RULE-105", "check.visit.since[0].limit"),
        (HEAD + RULE.replace('"24 h"', '"0 h"'), "RULE-105", "check.visit.since[0].limit"),
        (HEAD + RULE.replace('"24 h"', '"-24 h"'), "RULE-105", "check.visit.since[0].limit"),
        (HEAD + RULE.replace('["live-restraint"]', "[]"), "RULE-105", "check.visit.classes"),
        (HEAD + RULE.replace('["live-restraint"]', '"live-restraint"'), "RULE-105", "check.visit.classes"),
        (HEAD + RULE.replace("Visited.", " "), "RULE-105", "check.visit.meaning"),
        (HEAD + RULE.replace("live-restraint", "noose"), "RULE-106", "check.visit.classes"),
        (HEAD + RULE.replace("elapsed-hours", "sometimes"), "RULE-106", "check.visit.since[0].form"),
        (HEAD + RULE.replace('"duty"', '"law"'), "RULE-106", "check.visit.severity"),
        (HEAD.replace("format = 1", "format = 2") + RULE, "RULE-106", "format"),
        (HEAD + RULE.replace('["act"]', '["act", "x"]'), "RULE-107", "check.visit.since[0].cite"),
        (HEAD + RULE.replace("]]\nday", "]]\nseen = 2020-01-01\nday"), "RULE-113", "check.visit.since[0].seen"),  # noqa: E501
        (HEAD.replace("us-xy", "us-xx") + RULE, "RULE-111", "profile.id"),
        (HEAD.replace("good_until = 2027", "good_until = 2026") + RULE, "RULE-109", "profile.good_until"),
        (HEAD.replace('zone = "place"', 'zone = "Mars/Olympus"') + RULE, "CORE-202", "legal_time.zone"),
        (HEAD.replace('"text seen"', '"invented"') + RULE, "RULE-112", "cite.act.status"),
    ],
)  # fmt: skip
def test_each_kind_of_fault_names_its_place(text: str, code: str, where: str) -> None:
    assert _one(text) == (code, f"own.toml: {where}")


def test_a_limit_without_a_citation_is_refused() -> None:
    found = _faults(HEAD + RULE.replace('cite = ["act"]', ""))
    assert found == [
        ("RULE-107", "own.toml: check.visit.since[0].cite"),
        ("RULE-108", "own.toml: cite.act"),  # and so nothing rests on the citation
    ]


def test_a_citation_that_nothing_rests_on_is_refused() -> None:
    spare = '[cite.spare]\ntitle = "Spare"\nstatus = "unknown"\n'
    assert _one(HEAD + spare + RULE) == ("RULE-108", "own.toml: cite.spare")


def test_dates_that_run_backwards_are_refused() -> None:
    earlier = RULE[RULE.index("[[") :].replace("2020", "2019")
    assert _one(HEAD + RULE + earlier) == ("RULE-109", "own.toml: check.visit.since[1].day")
    same = RULE[RULE.index("[[") :]
    assert _one(HEAD + RULE + same) == ("RULE-109", "own.toml: check.visit.since[1].day")


def test_a_rule_may_only_name_questions_answers_and_rules_that_are_there() -> None:
    question = '[question.side]\nask = "Which?"\nanswers = { east = "E", west = "W" }\n'
    classes = 'classes = ["live-restraint"]'
    wrong = RULE.replace(classes, classes + '\nrival = "other"\nzones = { side = ["north"], river = ["x"] }')
    assert _faults(HEAD + question + wrong) == [
        ("RULE-110", "own.toml: check.visit.zones.side"),
        ("RULE-110", "own.toml: check.visit.zones.river"),
        ("RULE-110", "own.toml: check.visit.rival"),
    ]


def test_a_remote_system_may_only_stand_in_for_rules_that_are_there() -> None:
    system = (
        '[check.system]\nmeaning = "m"\nseverity = "duty"\nclasses = ["cage"]\n[[check.system.since]]\n'
        'day = 2020-01-01\nform = "remote"\nreport_every = "24 h"\nalert_within = "1 h"\n'
        'visit_after_alert = "24 h"\nvisit_after_contact = "24 h"\nin_place_of = ["visits"]\ncite = ["act"]\n'
    )
    assert _one(HEAD + RULE + system) == ("RULE-110", "own.toml: check.system.since[0].in_place_of")


@pytest.mark.parametrize(
    ("form", "code", "key"),
    [
        ('form = "curfew"\nfrom = "22:00"\nto = "22:00"', "RULE-113", "to"),
        ('form = "curfew"\nfrom = "10 pm"\nto = "05:00"', "RULE-105", "from"),
        ('form = "curfew"\nfrom = "22:00"\nto = "24:00"', "RULE-105", "to"),
        ('form = "full-calendar-days"\ndays = 0', "RULE-105", "days"),
        ('form = "full-calendar-days"\ndays = true', "RULE-105", "days"),
        ('form = "calendar-days"\ndays = 1', "RULE-105", "days"),
        ('form = "calendar-week"\nbegins = "moonday"', "RULE-106", "begins"),
        ('form = "sun-window"\nbefore_sunrise = "2 h"\nafter_sunset = "two"', "RULE-105", "after_sunset"),
        ('form = "advice"\nsays = "early"', "RULE-113", None),
    ],
)
def test_each_form_checks_its_own_keys(form: str, code: str, key: str | None) -> None:
    text = HEAD + RULE.replace('form = "elapsed-hours"\nlimit = "24 h"', form)
    place = f"check.visit.since[0].{key}" if key else "check.visit.severity"
    assert _one(text) == (code, f"own.toml: {place}")


def test_a_sun_window_at_a_place_off_the_earth_is_refused() -> None:
    form = (
        'form = "sun-window"\nbefore_sunrise = "2 h"\nafter_sunset = "2 h"\n'
        'at = { name = "Nowhere", lon = -81, lat = 134.0 }'
    )
    assert _faults(HEAD + RULE.replace('form = "elapsed-hours"\nlimit = "24 h"', form))[0][0] == "CORE-301"


@pytest.mark.parametrize(
    ("value", "code", "key"),
    [
        ('quantity = "3/32 inn"', "RULE-105", "quantity"),
        ('quantity = "about 3"', "RULE-105", "quantity"),
        ('quantity = "3/0 in"', "RULE-105", "quantity"),
        ("", "RULE-113", "text"),
        ('quantity = "3 in"\nflag = true', "RULE-113", "flag"),
    ],
)
def test_a_fact_has_one_value_in_a_known_unit(value: str, code: str, key: str) -> None:
    fact = f'[fact.size]\nmeaning = "m"\n[[fact.size.since]]\nday = 2020-01-01\n{value}\ncite = ["act"]\n'
    assert _one(HEAD + RULE + fact) == (code, f"own.toml: fact.size.since[0].{key}")


@pytest.mark.parametrize(
    ("written", "exact"),
    [
        ("3/32 in", Fraction(3, 32)),
        ("2 1/2 in", Fraction(5, 2)),
        ("158.8 kg", Fraction(1588, 10)),
        ("375 lb", Fraction(375)),
        ("2", Fraction(2)),
    ],
)
def test_quantities_are_kept_as_written_and_exactly(written: str, exact: Fraction) -> None:
    row = f'[[fact.size.since]]\nday = 2020-01-01\nquantity = "{written}"\ncite = ["act"]\n'
    fact = f'[fact.size]\nmeaning = "m"\n{row}'
    value = read_profile(HEAD + RULE + fact, file="own.toml").facts["size"].history.terms[0].value
    assert isinstance(value, Quantity)
    assert (value.text, value.exact) == (written, exact)


def test_emergency_leave_goes_with_the_named_person_only() -> None:
    who = (
        '[who.w]\nmeaning = "m"\nclasses = ["cage"]\n[[who.w.since]]\nday = 2020-01-01\n'
        'form = "written-agent"\nemergency_leave = true\ncite = ["act"]\n'
    )
    assert _one(HEAD + RULE + who) == ("RULE-113", "own.toml: who.w.since[0].emergency_leave")


def test_what_a_closed_set_does_is_one_of_two_words() -> None:
    closed = '[[closed_set.since]]\nday = 2020-01-01\nclock = "sleeps"\ncite = ["act"]\n'
    assert _one(HEAD + RULE + closed) == ("RULE-106", "own.toml: closed_set.since[0].clock")


def test_all_faults_of_a_file_are_told_together_and_in_plain_words() -> None:
    text = (
        HEAD.replace("draft", "perfect")
        + RULE.replace('"24 h"', '"soon"').replace("live-", "dead-")
        + "x = 1\n"
    )
    with pytest.raises(Refused) as refused:
        read_profile(text, file="own.toml")

    assert {fault.code.id for fault in refused.value.faults} == {"RULE-103", "RULE-105", "RULE-106"}
    assert len(refused.value.faults) == 4
    assert all(fault.do for fault in refused.value.faults)


def test_an_empty_file_says_what_is_missing() -> None:
    assert {
        ("RULE-104", "own.toml: format"),
        ("RULE-104", "own.toml: profile"),
        ("RULE-104", "own.toml: legal_time"),
    } == set(_faults(""))


def test_a_shipped_profile_must_lie_where_its_name_says() -> None:
    with pytest.raises(Refused, match="RULE-111"):
        read_profile(HEAD + RULE, file="packs/us/pa.toml", shipped_as="us-pa")


def test_a_history_is_known_from_its_first_day_and_changes_on_the_day() -> None:
    later = RULE[RULE.index("[[") :].replace("2020", "2021").replace("24 h", "36 h")
    profile: Profile = read_profile(HEAD + RULE + later, file="own.toml")
    history = profile.checks[0].history
    words = [
        term.value.words if (term := history.on(day)) is not None and term.value is not None else None
        for day in (date(2019, 12, 31), date(2020, 1, 1), date(2020, 12, 31), date(2021, 1, 1))
    ]
    assert words == [None, "every 24 hours", "every 24 hours", "every 36 hours"]


def test_the_example_of_the_reference_page_reads_and_the_page_holds_every_form_and_fault() -> None:
    page = (Path(__file__).parents[3] / "docs" / "reference" / "rule-profiles.md").read_text(encoding="utf-8")
    example = page[page.index("```toml\n") + 8 : page.index("```\n", page.index("```toml\n") + 8)]

    assert read_profile(example, file="example.toml").id == "us-xy"
    assert all(f"| `{form}` |" in page for form in load_forms._READERS)
    codes = [code for code in vars(faults).values() if isinstance(code, Code)]
    assert len(codes) == 15
    assert all(f"| {code.id} | {code.meaning} |" in page for code in codes)
    assert all(f"| `{name}` |" in page for name in shipped_profiles())
