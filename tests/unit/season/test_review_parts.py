"""Shares, misses, comparisons, waits and hours out of small diaries."""

from datetime import timedelta
from typing import Any

import pytest

from tendline.season.compare import between_groups, between_seasons
from tendline.season.effort import Convention, Tally, every_group, total
from tendline.season.misses import misses
from tendline.season.shares import shares
from tendline.season.stretches import Stretch
from tendline.season.study import expected_more
from tendline.season.tending import tended
from tendline.season.waits import waits
from tests.unit.logbook.made import MONDAY, Book
from tests.unit.season.walks import CLOSED, COYOTE, DOWN, RACCOON, walk

REFUSED = {"found_as": "working", "what_happened": "refused", "species": "coyote"}


def inches(metres: float) -> str:
    return f"{metres / 0.0254:.0f} in"


def diary(found: dict[int, Any], nights: int, **body: Any) -> tuple[Stretch, ...]:
    book = Book()
    book.made(target="coyote", **body)
    for n in range(1, nights + 1):
        book.check(hours=24 * n, **found.get(n, {}))
    return walk(book).stretches


def test_shares_say_what_they_are_of() -> None:
    coyote_gone = {**CLOSED, "species": "coyote"}
    deer_gone = {**CLOSED, "species": "deer"}
    some = diary(
        {1: COYOTE, 2: COYOTE, 3: RACCOON, 4: coyote_gone, 5: CLOSED, 6: deer_gone, 7: REFUSED, 8: DOWN}, 10
    )
    found = {s.name: s for s in shares(total(some, Convention.RAW), some, targets=frozenset({"coyote"}))}
    # A deer that closed it is no escape of a target; one that nobody named is counted only at worst.
    assert (found["efficiency"].part, found["efficiency"].whole) == (2, 3)
    assert (found["efficiency at worst"].part, found["efficiency at worst"].whole) == (2, 4)
    assert (found["selectivity"].part, found["selectivity"].whole) == (2, 3)
    assert (found["knocked down"].part, found["knocked down"].whole) == (1, 10)
    assert (found["refused"].part, found["refused"].whole) == (1, 7)
    assert found["efficiency"].met is None
    assert found["efficiency"].estimate.method == "Wilson"
    exact = shares(total(some, Convention.RAW), some, targets=frozenset(), exact=True)
    assert exact[0].estimate.method == "Clopper-Pearson"


def lines(high: int, low: int, nights: int = 60) -> list[Stretch]:
    """Two sets, one hung at 12 in and one at 8, measured again each time, with so many knock-downs each."""
    downs = [{**DOWN, "bottom_m": height} for height in (0.3048, 0.2032)]
    top = diary(dict.fromkeys(range(1, high + 1), downs[0]), nights, bottom_m=0.3048)
    bottom = diary(dict.fromkeys(range(1, low + 1), downs[1]), nights, bottom_m=0.2032)
    return [*top, *bottom]


def test_misses_are_silent_on_few_and_name_what_shows() -> None:
    few = misses(lines(3, 0), inches, Convention.RAW)
    assert (few[0].cause, few[0].events, few[0].findings) == ("knocked down by deer", 3, ())
    assert "too few" in few[0].said
    even = misses(lines(8, 7), inches, Convention.RAW)
    assert even[0].findings == ()
    assert "nothing told apart" in even[0].said
    clear = misses(lines(14, 2), inches, Convention.RAW)[0].findings
    assert [f.factor for f in clear] == ["height"]
    assert clear[0].counts == (14, 2)
    assert clear[0].more == "height over 10 in"
    assert clear[0].compared.ratio == pytest.approx(7.0)
    assert "lower height" in clear[0].try_


def test_a_loop_hung_anew_and_not_measured_has_no_height() -> None:
    some = diary({2: DOWN, 4: {**DOWN, "bottom_m": 0.254}}, 5, bottom_m=0.3048)
    assert [one.measures.get("bottom_m") for one in some] == [0.3048, 0.3048, None, None, 0.254]
    assert [one.groups["height"] for one in some][2:] == ["not told", "not told", "10 in"]


def test_the_fewest_events_that_are_looked_at_are_the_fewest_that_can_show() -> None:
    # Six of six in one of two equal halves: two-sided exact p = 2 x 0.5^6 = 0.03125; five would give 0.0625.
    found = misses(lines(6, 0), inches, Convention.RAW)[0].findings
    assert found[0].p == pytest.approx(0.03125)


def tally(target: int, effort: float) -> Tally:
    return Tally(target=target, effort=effort, looks=1)


def test_groups_are_compared_with_all_comparisons_allowed_for() -> None:
    groups = {"build": {"usual": tally(10, 2000), "other": tally(10, 500), "third": tally(2, 400)}}
    found = {v.one: v for v in between_groups(groups)}
    assert set(found) == {"other", "third"}
    assert found["other"].p == pytest.approx(min(1.0, 2 * found["other"].compared.p))
    assert found["other"].said == "more"
    assert found["third"].said == "no difference shown"
    few = {"loop": {"usual": tally(0, 2000), "other": tally(0, 500), "not told": tally(5, 1)}}
    assert [v.said for v in between_groups(few)] == ["nothing caught in either: nothing to compare"]


def test_a_season_without_one_before_has_nothing_to_stand_beside() -> None:
    assert between_seasons(("2026-27", tally(3, 100)), ("2025-26", tally(0, 0.0))) is None
    found = between_seasons(("2026-27", tally(3, 100)), ("2025-26", tally(6, 100)), score=True)
    assert found is not None
    assert found[0].compared.method == "score"
    assert found[0].said == "no difference shown"


def test_waits_leave_out_closed_devices() -> None:
    book = Book()
    book.made(parcel="mill")
    book.check(hours=20)
    book.check(hours=50, **COYOTE)
    book.check(hours=60, done="closed", left_as="unset")
    book.check(hours=300, found_as="unset", done="rehung", left_as="working")
    book.check(hours=320)
    some = walk(book).stretches
    late = waits(
        some,
        law=lambda one: one.start + timedelta(hours=24),
        own=lambda one: one.start + timedelta(hours=15),
        has_own=True,
    )
    assert late.all is not None
    assert sorted(late.hours) == [10.0, 20.0, 20.0, 30.0]
    assert (late.all.median_h, late.all.worst_h, late.all.over_law, late.all.over_own) == (20.0, 30.0, 1, 3)
    assert (late.all.held, late.all.held_worst_h) == (1, 30.0)
    assert [w.name for w in late.by_property] == ["mill"]
    untold = waits(some, law=lambda _: None, own=lambda _: None, has_own=False)
    assert untold.all is not None
    assert untold.all.over_law is untold.all.over_own is None
    assert untold.all.law_untold == 4
    assert waits((), law=lambda _: None, own=lambda _: None, has_own=False).all is None


def test_hours_are_those_between_looks_of_one_outing() -> None:
    book = Book()
    for name, tag in (("A", "1"), ("B", "2"), ("C", "3")):
        book.made(name, tag)
    for day in (1, 2):
        for name, minutes in (("A", 0), ("B", 6), ("C", 30)):
            book.check(name, hours=24 * day + minutes / 60)
    found = tended(walk(book).stretches)
    assert found.outings == 2
    assert found.hours == pytest.approx(1.0)
    assert found.per_visit == {"B": pytest.approx(0.1), "C": pytest.approx(0.4)}
    assert tended(()).usual is None


def test_captures_to_come_are_the_negative_binomial() -> None:
    # scipy.stats.nbinom as reference: Gamma(c + 1/2, E) mixed over a Poisson of t nights.
    from scipy import stats

    for caught, effort, ahead in ((3, 400.0, 600.0), (0, 100.0, 100.0), (40, 4000.0, 900.0)):
        found = expected_more(caught, effort, ahead)
        model = stats.nbinom(caught + 0.5, effort / (effort + ahead))
        assert found.value == pytest.approx(model.mean())
        assert (found.low, found.high) == (model.ppf(0.025), model.ppf(0.975))
    assert expected_more(3, 0.0, 10.0).value is None
    assert expected_more(3, 10.0, 0.0).value == 0.0


def test_a_device_in_the_snow_is_grouped_by_what_was_noted() -> None:
    book = Book()
    book.note(
        "device-built", {"tag": "101", "construction": "7x7", "lock": "cam", "loop_m": 0.254}, at=MONDAY
    )
    book.note("set-made", {"set": "N3", "tag": "101"}, at=MONDAY, place=(-78.0, 41.5))
    book.check(hours=24)
    groups = every_group(walk(book).stretches, Convention.RAW)
    assert list(groups["build"]) == ["7x7, cam"]
    assert list(groups["loop"]) == ["10 in"]
    assert list(groups["property"]) == ["not told"]
