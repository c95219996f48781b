"""Judging as a whole: who is judged, what comes first, doubt that never passes, rivals, checks, bans."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tendline.core.place import LonLat
from tendline.core.settings import Confirmation
from tendline.core.words import DeviceClass
from tendline.rules.answer import Watched
from tendline.rules.facts import (
    Across,
    ActDone,
    CatchFacts,
    DeviceFacts,
    Facts,
    LoopSize,
    Measure,
    PersonFacts,
    PlaceFacts,
    SetFacts,
    Subject,
)
from tendline.rules.finding import OPEN, WRONG, Finding, Holds, first_things_first
from tendline.rules.judge import judge
from tendline.rules.load import load_profile, read_profile
from tendline.rules.shape import Profile

ROOT = Path(__file__).parents[3]
HEAD = (ROOT / "tests/data/rules/kinds/head.toml").read_text(encoding="utf-8")
ZONE = ZoneInfo("America/New_York")
NOW = datetime(2027, 1, 10, 17, tzinfo=UTC)
INCH = 0.0254


def _profile(law: str, *, head: str = HEAD) -> Profile:
    return read_profile(f"{head}\n{law}", file="own.toml")


def _rule(
    name: str, value: str, *, table: str = "device", kinds: str = "[25]", more: str = "", cite: str = "act"
) -> str:
    return (
        f'[{table}.{name}]\nmeaning = "{name}."\nkinds = {kinds}\nclasses = ["live-restraint"]\n{more}\n'
        f'[[{table}.{name}.since]]\nday = 2020-01-01\n{value}\ncite = ["{cite}"]\n'
    )


LOOP = 'measure = "loop-open"\nacross = "diameter"\nat_most = '


def _device(inches: float) -> DeviceFacts:
    return DeviceFacts("T7", loop_open=LoopSize(Measure(inches * INCH), Across.DIAMETER))


def _sworn(profile: Profile) -> Confirmation:
    return Confirmation(profile.id, date(2020, 1, 1), date(2099, 1, 1))


def _ask(profile: Profile, facts: Facts, *, sworn: bool = True) -> tuple[Finding, ...]:
    return judge(profile, facts, now=NOW, confirmation=_sworn(profile) if sworn else None)


def test_an_answer_that_nobody_confirmed_is_never_verified() -> None:
    profile = _profile(_rule("loop", f'{LOOP}"12 in"'))
    finding = _ask(profile, Facts(ZONE, device=_device(12)), sworn=False)[0]
    assert finding.holds is Holds.PASS
    assert not finding.verified
    assert finding.confirm == ("not verified: confirm zz-kinds for 2026-27",)


def test_an_expired_confirmation_does_not_hold() -> None:
    profile = _profile(_rule("loop", f'{LOOP}"12 in"'))
    old = Confirmation(profile.id, date(2025, 11, 1), date(2026, 6, 30))
    finding = judge(profile, Facts(ZONE, device=_device(12)), now=NOW, confirmation=old)[0]
    assert not finding.verified
    assert "held from 2025-11-01 to 2026-06-30" in finding.confirm[0]


@pytest.mark.parametrize("status", ["from memory", "unknown"])
@pytest.mark.parametrize("inches", [11.0, 13.0])
def test_a_rule_from_memory_neither_passes_nor_fails(status: str, inches: float) -> None:
    head = HEAD.replace("invented = true\n", "").replace('status = "invented"', f'status = "{status}"')
    profile = _profile(_rule("loop", f'{LOOP}"12 in"'), head=head)
    finding = _ask(profile, Facts(ZONE, device=_device(inches)))[0]
    assert finding.holds is Holds.NOT_VERIFIED
    assert not finding.verified
    assert finding.status.value == status
    assert finding.shown is not None  # what it would come to is shown all the same


def test_a_value_that_was_not_found_is_not_verified() -> None:
    finding = _ask(_profile(_rule("loop", 'form = "not-known"')), Facts(ZONE, device=_device(1)))[0]
    assert finding.holds is Holds.NOT_VERIFIED


def test_only_the_subjects_asked_for_are_judged() -> None:
    law = _rule("loop", f'{LOOP}"12 in"') + _rule(
        "fence", 'quality = "attached-to-fence"\nis = false', table="place", kinds="[52]"
    )
    facts = Facts(ZONE, device=_device(12), set=SetFacts("N3", attached_to_fence=True))
    assert {f.rule for f in _ask(_profile(law), facts)} == {"loop", "fence"}
    narrowed = Facts(ZONE, device=facts.device, set=facts.set, about=frozenset({Subject.SET}))
    found = _ask(_profile(law), narrowed)
    assert [(f.rule, f.name, f.subject) for f in found] == [("fence", "N3", Subject.SET)]


def test_what_is_wrong_comes_first_then_what_cannot_be_told() -> None:
    law = (
        _rule("good", 'quality = "drag"\nis = true', kinds="[39]")
        + _rule("open", 'quality = "galvanised"\nis = true', kinds="[39]")
        + _rule("bad", 'quality = "relaxing-lock"\nis = true', kinds="[39]")
    )
    found = _ask(_profile(law), Facts(ZONE, device=DeviceFacts("T7", drag=True, relaxing_lock=False)))
    assert [f.rule for f in found] == ["bad", "open", "good"]
    assert found[0].holds in WRONG
    assert found[1].holds in OPEN


def test_two_sources_that_differ_give_the_stricter_and_say_so() -> None:
    law = _rule("old", f'{LOOP}"15 in"') + _rule("new", f'{LOOP}"12 in"', more='rival = "old"')
    (finding,) = _ask(_profile(law), Facts(ZONE, device=_device(13)))
    assert (finding.rule, finding.holds) == ("new", Holds.FAIL)
    assert "two sources differ; this is the stricter" in "\n".join(finding.said)
    assert len(finding.citations) == 2
    (both,) = _ask(_profile(law), Facts(ZONE, device=_device(11)))
    assert (both.rule, both.holds) == ("new", Holds.PASS)  # 1 in of room is less than 4


def test_the_stricter_of_two_units_is_told_by_length_and_not_by_number() -> None:
    """30 cm is 11.81 in: of 11 in the room to it is 2.06 cm, and to 12 in 2.54 cm."""
    law = _rule("inches", f'{LOOP}"12 in"') + _rule("metric", f'{LOOP}"30 cm"', more='rival = "inches"')
    (finding,) = _ask(_profile(law), Facts(ZONE, device=_device(11)))
    assert finding.rule == "metric"


def test_advice_binds_nobody() -> None:
    law = _rule("bait", 'quality = "drag"\nis = false', kinds="[39]", more='severity = "advice"')
    (finding,) = _ask(_profile(law), Facts(ZONE, device=DeviceFacts("T7", drag=True)))
    assert finding.holds is Holds.ADVISORY
    assert "it is not kept" in "\n".join(finding.said)


def test_another_class_of_device_is_not_looked_at() -> None:
    cage = DeviceFacts("C1", device_class=DeviceClass.CAGE)
    (finding,) = _ask(_profile(_rule("loop", f'{LOOP}"12 in"')), Facts(ZONE, device=cage))
    assert finding.holds is Holds.NOT_APPLICABLE


def test_a_county_rule_from_memory_throws_doubt_on_the_rule_it_may_replace() -> None:
    head = HEAD.replace("invented = true\n", "").replace(
        'status = "invented"',
        'status = "text seen"\naddress = "law.example/1"\nretrieved = 2026-11-25\n'
        '[cite.heard]\ntitle = "Heard"\nstatus = "from memory"',
    )
    law = _rule("state", f'{LOOP}"12 in"') + _rule(
        "county", f'{LOOP}"10 in"', more='replaces = ["state"]', cite="heard"
    )
    found = {f.rule: f for f in _ask(_profile(law, head=head), Facts(ZONE, device=_device(11)))}
    assert found["state"].holds is Holds.NOT_VERIFIED
    assert "find out whether 'county' holds" in found["state"].confirm


def test_the_next_look_is_told_among_the_findings() -> None:
    law = (
        '[check.visit]\nmeaning = "Daily."\nseverity = "duty"\nclasses = ["live-restraint"]\n'
        '[[check.visit.since]]\nday = 2020-01-01\nform = "elapsed-hours"\nlimit = "24 h"\ncite = ["act"]\n'
    )
    watched = Watched("N3", DeviceClass.LIVE_RESTRAINT, LonLat(-78, 41), ZONE, NOW - timedelta(hours=23))
    facts = Facts(ZONE, set=SetFacts("N3"), watched=watched)
    (finding,) = [f for f in _ask(_profile(law), facts) if f.topic == "check"]
    assert (finding.holds, finding.due_at, finding.kinds) == (Holds.DUE, NOW + timedelta(hours=1), (1,))
    late = judge(_profile(law), facts, now=NOW + timedelta(hours=1, seconds=1))
    assert late[0].holds is Holds.OVERDUE


def test_an_outright_ban_comes_before_everything() -> None:
    law = (
        '[ban.noose]\nmeaning = "No nooses."\nclasses = ["live-restraint"]\n'
        '[[ban.noose.since]]\nday = 2020-01-01\ncite = ["act"]\n'
    )
    found = _ask(_profile(law + _rule("loop", f'{LOOP}"12 in"')), Facts(ZONE, device=_device(13)))
    assert [f.holds for f in found] == [Holds.PROHIBITED, Holds.FAIL]


def test_the_duties_of_a_catch_come_in_the_order_of_doing() -> None:
    law = _rule("seal", 'form = "order"\nacts = ["seal", "move"]', table="catch", kinds="[62]") + "".join(
        _rule(
            name,
            f'form = "within"\nlimit = "{hours} h"\nfrom = "found"\nact = "{act}"\nto = "them"',
            table="report",
            kinds="[63]",
        )
        for name, hours, act in (("hand-over", 48, "surrender"), ("tell", 12, "report"))
    )
    catch = CatchFacts("N3", "otter", found_at=NOW, done=())
    found = _ask(_profile(law), Facts(ZONE, device=DeviceFacts("T7"), catch=catch))
    assert [f.rule for f in first_things_first(found)] == ["seal", "tell", "hand-over"]
    done = CatchFacts("N3", "otter", found_at=NOW, done=(ActDone("report", NOW),))
    found = _ask(_profile(law), Facts(ZONE, device=DeviceFacts("T7"), catch=done))
    assert [f.rule for f in first_things_first(found)] == ["seal", "hand-over"]


def test_nothing_known_passes_nothing_in_any_shipped_profile() -> None:
    """With every fact missing no rule of any shipped profile may pass."""
    for path in sorted((ROOT / "src/tendline/rules/packs").glob("*/*.toml")):
        profile = load_profile(f"{path.parent.name}-{path.stem}")
        facts = Facts(
            ZONE,
            device=DeviceFacts("T7"),
            set=SetFacts("N3"),
            place=PlaceFacts("field"),
            person=PersonFacts("Lena Orsk"),
            catch=CatchFacts("N3", "otter"),
        )
        for finding in judge(profile, facts, now=NOW, confirmation=_sworn(profile)):
            if finding.topic != "season":  # a season is a matter of the day alone
                assert finding.holds is not Holds.PASS, f"{profile.id}: {finding}"
