from dataclasses import replace

from tendline.plan.itinerary import BadMorning, Ratchet
from tendline.report.round_words import bad_words, outing_times, ratchet_words, rule_words
from tests.unit.report.example_round import example_facts, example_plan, local


def test_a_morning_that_runs_past_the_latest_return_says_by_how_much() -> None:
    bad = BadMorning(3, local(9, 40), ("N-1", "N-2"), 600.0)
    assert bad_words(bad, example_facts()) == (
        "3 catches, where it hurts most: back 09:40, 10 min past the latest return; LATE: N-1, N-2."
    )


def test_the_worst_ratchets_are_named_and_the_others_counted() -> None:
    ratchets = tuple(Ratchet(f"N-{i}", local(6, 0, day=14), local(5, 0), 60.0 * i) for i in (1, 3, 2))
    plan = replace(example_plan(), ratchets=ratchets)
    head = "Tighter next time, seen earlier in the day than last: N-3 (3 min)"
    assert ratchet_words(plan) == (f"{head}, N-2 (2 min), N-1 (1 min).",)
    assert ratchet_words(plan, most=1) == (f"{head} and 2 others.",)
    assert ratchet_words(replace(plan, ratchets=())) == ()


def test_a_round_over_its_time_says_so() -> None:
    plan = replace(example_plan(), back=local(9, 42))
    assert outing_times(plan, example_facts())[-1] == ("spare", "over by 12 min")


def test_a_rule_is_told_with_its_source_and_whether_it_is_confirmed() -> None:
    rule = example_facts().rules[0]
    day = local(5, 0).date()
    assert rule_words(replace(rule, confirmed=None), day) == (
        "Rule profile corran-example: a look within 24 hours of the last one. Invented rules of Corran, "
        "section 2 (invented, read 2026-01-02). NOT VERIFIED: nobody has confirmed it for this season."
    )
