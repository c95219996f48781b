"""What holds of judging whatever the numbers: doubt never passes, a stricter limit never helps."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.settings import Confirmation
from tendline.rules.facts import Across, DeviceFacts, Facts, LoopSize, Measure, Near, SetFacts
from tendline.rules.finding import Finding, Holds
from tendline.rules.judge import judge
from tendline.rules.load import read_profile
from tendline.rules.outcome import Met, Outcome, all_of, any_of

ROOT = Path(__file__).parents[3]
HEAD = (ROOT / "tests/data/rules/kinds/head.toml").read_text(encoding="utf-8")
ZONE = ZoneInfo("America/New_York")
NOW = datetime(2027, 1, 10, 17, tzinfo=UTC)
SWORN = Confirmation("zz-kinds", date(2020, 1, 1), date(2099, 1, 1))


def _ask(law: str, facts: Facts, *, now: datetime = NOW) -> Finding:
    (finding,) = judge(read_profile(f"{HEAD}\n{law}", file="x"), facts, now=now, confirmation=SWORN)
    return finding


def _loop(limit: str) -> str:
    return (
        '[device.a]\nmeaning = "A."\nkinds = [25]\nclasses = ["live-restraint"]\n[[device.a.since]]\n'
        'day = 2020-01-01\nmeasure = "loop-open"\nacross = "circumference"\n'
        f'at_most = "{limit}"\ncite = ["act"]\n'
    )


def _device(value: float, spread: float = 0.0) -> Facts:
    size = LoopSize(Measure(value, value - spread, value + spread), Across.DIAMETER)
    return Facts(ZONE, device=DeviceFacts("T7", loop_open=size))


_VALUES = st.floats(0.05, 0.6)


@given(_VALUES, st.floats(0, 0.2))
@settings(max_examples=80, deadline=None)
def test_a_wider_range_never_passes_what_a_narrower_one_did_not(value: float, spread: float) -> None:
    exact = _ask(_loop("38 in"), _device(value)).holds
    wide = _ask(_loop("38 in"), _device(value, spread)).holds
    assert wide in (exact, Holds.CLOSE)


@given(_VALUES, st.integers(5, 60), st.integers(0, 40))
@settings(max_examples=80, deadline=None)
def test_a_stricter_limit_never_turns_a_fail_into_a_pass(value: float, limit: int, less: int) -> None:
    loose = _ask(_loop(f"{limit + less} in"), _device(value)).holds
    strict = _ask(_loop(f"{limit} in"), _device(value)).holds
    assert not (loose is Holds.FAIL and strict is Holds.PASS)


@given(st.floats(1, 200), st.floats(0.1, 40), st.floats(1, 3))
@settings(max_examples=80, deadline=None)
def test_a_worse_position_never_makes_a_call_surer(distance: float, error: float, worse: float) -> None:
    law = (
        '[place.a]\nmeaning = "A."\nkinds = [41]\nclasses = ["live-restraint"]\n[[place.a.since]]\n'
        'day = 2020-01-01\ndistance = ["dwelling"]\nat_least = "150 ft"\ncite = ["act"]\n'
    )

    def asked(error95: float) -> Holds:
        near = Near("dwelling", Measure(distance), error95_m=error95)
        held = SetFacts("N3", near=(near,), looked_for=frozenset({"dwelling"}))
        return _ask(law, Facts(ZONE, device=DeviceFacts("T7"), set=held)).holds

    assert asked(error * worse) in (asked(error), Holds.CLOSE)


@given(st.lists(st.sampled_from(list(Met)), min_size=1, max_size=6))
def test_needs_put_together_do_not_hang_on_their_order(mets: list[Met]) -> None:
    outcomes = [Outcome(met) for met in mets]
    turned = outcomes[::-1]
    assert all_of(outcomes).met is all_of(turned).met
    assert any_of(outcomes).met is any_of(turned).met
    if Met.NO in mets:
        assert all_of(outcomes).met is Met.NO
    if Met.YES in mets:
        assert any_of(outcomes).met is Met.YES


@given(st.integers(0, 800), st.integers(1, 12), st.integers(1, 28), st.integers(1, 12), st.integers(1, 28))
@settings(max_examples=60, deadline=None)
def test_a_window_is_open_on_every_day_but_those_of_its_complement(
    ahead: int, month: int, day: int, to_month: int, to_day: int
) -> None:
    """A set is lawfully out on a day exactly when a season closed on those days has it unlawful."""
    days = f'from = "{month:02d}-{day:02d}"\nto = "{to_month:02d}-{to_day:02d}"\n'
    law = (
        '[season.a]\nmeaning = "A."\nkinds = [15]\nclasses = ["live-restraint"]\nuse = "set"\n'
        '[[season.a.since]]\nday = 2020-01-01\nform = "{}"\n' + days + 'cite = ["act"]\n'
    )
    facts = Facts(ZONE, device=DeviceFacts("T7"), set=SetFacts("N3"))
    now = NOW + timedelta(days=ahead)
    opened = _ask(law.format("window"), facts, now=now).holds
    shut = _ask(law.format("closed-window"), facts, now=now).holds
    assert {opened, shut} == {Holds.PASS, Holds.FAIL}
