from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from tendline.core.errors import Refused
from tendline.core.units import Units
from tendline.plan.itinerary import RoundPlan, Verdict, Visit
from tendline.report.card import SetRow, build_card
from tendline.report.facts import RoundFacts
from tendline.report.say import INVENTED
from tests.unit.report.example_round import (
    example_facts,
    example_plan,
    example_short,
    example_verdict,
    local,
    names_of,
    sun,
)


def with_visit(plan: RoundPlan, name: str, *, due: datetime | None, wait_s: float = 0.0) -> RoundPlan:
    """The same plan with one visit changed."""

    def changed(visit: Visit) -> Visit:
        slack = (due - visit.look).total_seconds() if due else None
        return replace(visit, due=due, slack_s=slack, wait_s=wait_s) if visit.set_name == name else visit

    stops = tuple(replace(stop, visits=tuple(changed(v) for v in stop.visits)) for stop in plan.stops)
    return replace(plan, stops=stops)


def row_of(name: str, plan: RoundPlan, facts: RoundFacts) -> SetRow:
    """The row of one set on the card."""
    card = build_card(Verdict(plan, fits=True, proven=True), facts)
    return next(row for stop in card.stops for row in stop.rows if row.name == name)


def test_sets_stand_in_the_order_of_the_round() -> None:
    card = build_card(example_verdict(), example_facts())
    rows = [row for stop in card.stops for row in stop.rows]
    assert [row.name for row in rows] == names_of()
    assert [row.order for row in rows] == list(range(1, 19))


def test_a_row_says_where_when_and_by_when() -> None:
    # mill-2: walked to in 4 min and 192 m (210 yd) from 05:09; last seen Wed 06:30, so due by Thu 06:30.
    row = row_of("mill-2", example_plan(), example_facts())
    assert (row.landmark, row.tag) == ("third post past the culvert", "tag 1041")
    assert (row.there, row.walk, row.dark) == ("05:13", "4 min, 210 yd", True)
    assert (row.last_day, row.last_clock) == ("Wed", "06:30")
    assert (row.due_day, row.due_clock, row.due_note) == ("Thu", "06:30", "24 h")
    assert (row.sign.number, row.sign.word) == ("1 h 17", "left")
    assert row.extra == "bring shovel; dog in the yard, go round"


def test_a_stop_says_drive_stop_leave_and_the_walk_back() -> None:
    stop = build_card(example_verdict(), example_facts()).stops[1]
    # 720 s at 11 m/s is 7920 m, 4.9 mi; 240 m back is 262 yd.
    assert (stop.title, stop.drive) == ("TRUCK 2  quarry", "drive 12 min, 4.9 mi est.")
    assert (stop.arrive, stop.leave, stop.back) == ("05:59", "06:38", "walk back 5 min, 262 yd")
    assert stop.note == "Chain on the gate: key 4. Leave room for the plow."


def test_a_limit_that_nobody_confirmed_is_marked_beside_its_time() -> None:
    facts = example_facts()
    sets = dict(facts.sets)
    sets["N-1"] = replace(sets["N-1"], verified=False)
    row = row_of("N-1", example_plan(), replace(facts, sets=sets))
    assert (row.due_note, row.sign.word) == ("24 h NOT VERIFIED", "not verified")
    card = build_card(example_verdict(), replace(facts, sets=sets))
    assert card.unverified.startswith("LIMITS NOT VERIFIED for 1 of 18 sets")
    assert build_card(example_verdict(), facts).unverified == ""


def test_an_unknown_limit_is_never_a_blank() -> None:
    facts = example_facts()
    plan = with_visit(example_plan(), "N-1", due=None)
    assert row_of("N-1", plan, facts).due_clock == "no clock"
    sets = {**facts.sets, "N-1": replace(facts.sets["N-1"], verified=False)}
    assert row_of("N-1", plan, replace(facts, sets=sets)).due_clock == "not verified"


def test_unknown_looks_tags_and_landmarks_are_said() -> None:
    facts = example_facts()
    bare = replace(facts.sets["N-1"], last_look=None, tag=None, landmark="")
    row = row_of("N-1", example_plan(), replace(facts, sets={**facts.sets, "N-1": bare}))
    assert (row.last_day, row.last_clock, row.tag) == ("no", "record", "no tag on record")
    assert row.landmark == "no landmark on record"


def test_a_midnight_limit_names_the_day_it_ends() -> None:
    row = row_of("N-1", with_visit(example_plan(), "N-1", due=local(0, 0, day=16)), example_facts())
    assert (row.due_day, row.due_clock) == ("Thu", "24:00")


def test_a_wait_and_a_personal_limit_are_told() -> None:
    facts = example_facts()
    sets = {**facts.sets, "N-1": replace(facts.sets["N-1"], personal_due=local(10, 0))}
    plan = with_visit(example_plan(), "N-1", due=local(7, 24), wait_s=600.0)
    row = row_of("N-1", plan, replace(facts, sets=sets))
    assert (row.wait, row.extra) == ("wait 10 min", "own limit Thu 10:00")


def test_what_does_not_fit_is_told_with_its_limit_and_the_relief() -> None:
    card = build_card(example_short(), example_facts())
    assert card.left_heading == "NOT ON THIS ROUND: 2 sets that must be seen (proved: not all can be done)"
    assert [(row.name, row.due) for row in card.left_out] == [("far-1", "Thu 06:00"), ("far-2", "Thu 06:05")]
    assert card.left_help[1] == ("Or start earlier", "Leave at 04:05, 45 min earlier.")
    assert card.may_wait == "Not visited, may wait: wait-1 (due Fri 06:00)."
    unproved = build_card(replace(example_short(), proven=False), example_facts())
    assert "no way to do all was found in the time given" in unproved.left_heading


def test_paper_and_lengths_follow_the_units() -> None:
    us = build_card(example_verdict(), example_facts())
    metric = build_card(example_verdict(), example_facts(units=Units.METRIC))
    assert (us.paper, metric.paper) == ("us-letter", "a4")
    assert metric.stops[0].rows[1].walk == "4 min, 192 m"


def test_an_example_says_that_it_is_invented() -> None:
    assert build_card(example_verdict(), example_facts()).banner == INVENTED
    assert build_card(example_verdict(), replace(example_facts(), invented=False)).banner == ""


def test_the_dark_the_catches_and_the_ratchet_are_told() -> None:
    card = build_card(example_verdict(), example_facts())
    assert card.dark == "Leaves in the dark: 15 of 18 looks outside civil twilight."
    assert card.warnings[1] == "One catch, where it hurts most: back 08:03; nothing late."
    assert card.warnings[2].endswith("back 08:28; LATE: mill-4, N-3, back-3.")
    assert card.warnings[3] == "Tighter next time, seen earlier in the day than last: mill-1 (25 min)."
    assert build_card(example_verdict(), replace(example_facts(), sun=None)).dark.startswith(
        "Sun times not worked"
    )


def test_a_round_in_daylight_says_nothing_of_the_dark() -> None:
    plan = example_plan()
    facts = example_facts()
    early = sun(plan.leave - timedelta(minutes=1), local(17, 35))
    assert build_card(example_verdict(), replace(facts, sun=early)).dark == ""


def test_a_round_without_a_rule_says_not_verified() -> None:
    assert build_card(example_verdict(), replace(example_facts(), rules=())).rules == (
        "Rule: none in use. NOT VERIFIED.",
    )


def test_a_set_without_facts_is_refused_by_name() -> None:
    facts = example_facts()
    sets = {name: known for name, known in facts.sets.items() if name != "back-5"}
    with pytest.raises(Refused, match="set back-5") as refused:
        build_card(example_verdict(), replace(facts, sets=sets))
    assert refused.value.faults[0].code.id == "REP-101"
