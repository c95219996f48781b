from dataclasses import replace

import pytest

from tendline.core.errors import Refused
from tendline.plan.itinerary import Relief, Verdict
from tendline.report.itinerary_text import round_text
from tendline.report.table import cells_wide
from tests.unit.report.example_round import example_facts, example_short, example_verdict, local, names_of

SMALL = [("mill-lane", "mill", 2), ("quarry", "N", 1)]


def test_a_small_round_reads_like_this() -> None:
    # Three sets: 3 x (0.1 x 360 s + 0.01 x 1500 s) = 153 s more; 1 - 0.99^3 = 0.0297, one in 33.7.
    assert round_text(example_verdict(SMALL), example_facts(SMALL), width=100).split("\n") == [
        "INVENTED EXAMPLE: the place, the people and the rules do not exist.",
        "",
        "Corran Hollow, round of Thursday 15 January 2026, Robin Invented",
        "",
        "leave home 04:50, back at home 05:57, latest return 09:30, spare 3 h 33; 1 h 07 in all",
        "civil dawn 07:05, sunrise 07:35, sunset 17:05, civil dusk 17:35",
        "Leaves in the dark: 3 of 3 looks outside civil twilight.",
        "",
        "no  set      walk  there  leave  due by     at the look    so far  note",
        "TRUCK 1 mill-lane: drive 12 min, 4.9 mi est., stop 05:02, walk back 5 min, 262 yd, leave 05:19.",
        " 1  mill-1  3 min  05:08  05:09  Thu 05:40  ○ 32 min left  19 min  dark",
        " 2  mill-2  4 min  05:13  05:14  Thu 06:30  ○ 1 h 17 left  24 min  dark, bring shovel, dog in the",
        "                                                                   yard, go round",
        "TRUCK 2 quarry: drive 12 min, 4.9 mi est., stop 05:31, walk back 5 min, 262 yd, leave 05:43. Chain",
        "on the gate: key 4. Leave room for the plow.",
        " 3  N-1     3 min  05:37  05:38  Thu 07:20  ○ 1 h 43 left  48 min  dark",
        "BACK home: drive 14 min, 5.7 mi est., there 05:57",
        "",
        "On average 1 min more for catches; a catch about 1 morning in 34.",
        "One catch, where it hurts most: back 06:22; nothing late.",
        "Two catches, where it hurts most: back 06:47; nothing late.",
        "Tighter next time, seen earlier in the day than last: mill-1 (25 min).",
        "Not legal advice: the law and the officer decide. A held animal comes before the clock. Dog or",
        "protected animal: call owner or officer first. Ice, steep, dark: turn back. Tell somebody when you",
        "will be back.",
        "Rule profile corran-example: a look within 24 hours of the last one. Invented rules of Corran,",
        "section 2 (invented, read 2026-01-02). Confirmed 2026-01-02, good until 2026-02-28.",
    ]


def test_what_does_not_fit_is_told_before_the_times() -> None:
    text = round_text(example_short(), example_facts(), width=100)
    assert text.index("NOT ON THIS ROUND: 2 sets that must be seen") < text.index("leave home 04:50")
    for line in (
        "  far-1, due Thu 06:00: its limit passes before the truck can be there",
        "Least to drop: Leave out far-1 and far-2: their limits pass.",
        "  then the limit of far-2 passes at Thu 06:05",
        "Or start earlier: Leave at 04:05, 45 min earlier.",
        "Not visited, may wait: wait-1 (due Fri 06:00).",
    ):
        assert f"\n{line}\n" in text


def test_a_relief_that_was_not_proved_smallest_says_so() -> None:
    relief = Relief("later return", "Come back at 10:15.", (), 45, proven_smallest=False)
    text = round_text(replace(example_short(), reliefs=(relief,)), example_facts(), width=100)
    assert "Or return later: Come back at 10:15. (no smaller one was found in the time given)" in text


@pytest.mark.parametrize("width", [20, 40, 60, 80, 120])
def test_no_line_is_wider_than_asked_and_no_name_or_limit_is_lost(width: int) -> None:
    text = round_text(example_short(), example_facts(), width=width, ascii_only=True)
    assert max(cells_wide(line) for line in text.split("\n")) <= width
    whole = " ".join(text.split())
    for name in names_of():
        assert name in whole
    assert text.isascii()


def test_waits_and_late_looks_are_told() -> None:
    verdict = example_verdict(SMALL)
    first = replace(verdict.plan.stops[0].visits[0], wait_s=600.0, due=local(5, 0), slack_s=-480.0)
    stop = replace(verdict.plan.stops[0], visits=(first, *verdict.plan.stops[0].visits[1:]))
    plan = replace(verdict.plan, stops=(stop, *verdict.plan.stops[1:]))
    text = round_text(Verdict(plan, fits=True, proven=True), example_facts(SMALL), width=120)
    assert "× 8 min late" in text
    assert "wait 10 min, dark" in text


def test_a_round_without_a_stop_is_still_told() -> None:
    plan = replace(example_verdict(SMALL).plan, stops=())
    text = round_text(Verdict(plan, fits=True, proven=True), example_facts(SMALL))
    assert "BACK home" in text
    assert "a catch" not in text


def test_a_set_without_facts_is_refused() -> None:
    with pytest.raises(Refused, match="REP-101 set mill-1"):
        round_text(example_verdict(SMALL), replace(example_facts(SMALL), sets={}))
