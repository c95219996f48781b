"""Runs every `*.cases.toml` beside it: worked cases of the law, written to be read by a lawyer.

A case file names a profile (`profile`, or `file` for one made for the tests), the zone in which all its times
are written, and a place. A case says in words what is right, then the facts, then what must come out. Times
are local; where a clock change makes one ambiguous it carries its offset. `due_about` allows 5 s for the sun.
"""

import tomllib
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tendline.core.place import LonLat
from tendline.core.settings import Confirmation
from tendline.core.when import Span
from tendline.core.words import DeviceClass
from tendline.rules.answer import DueAnswer, RemoteState, Seen, Watched
from tendline.rules.ask import due, lawful_windows
from tendline.rules.load import load_profile, shipped_profiles
from tendline.rules.shape import Profile

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
FILE_KEYS = {"profile", "file", "zone", "place", "case"}
CASE_KEYS = {
    *(
        "says",
        "device",
        "set",
        "looks",
        "now",
        "answers",
        "in_field",
        "working",
        "handler",
        "agents",
        "remote",
    ),
    *(
        "place",
        "confirmed",
        "verdict",
        "verified",
        "due",
        "act_by",
        "due_about",
        "since",
        "rule",
        "say",
        "outing",
        "windows",
    ),
    *("status", "go_now", "others"),
}


def _files() -> list[Path]:
    return sorted(HERE.glob("*.cases.toml"))


def _cases() -> list[Any]:
    found = []
    for path in _files():
        held = tomllib.loads(path.read_text(encoding="utf-8"))
        assert set(held) <= FILE_KEYS, f"{path.name}: {set(held) - FILE_KEYS}"
        for case in held["case"]:
            assert set(case) <= CASE_KEYS, f"{path.name}, {case['says']}: {set(case) - CASE_KEYS}"
            found.append(pytest.param(held, case, id=f"{path.stem}: {case['says']}"))
    return found


class _Told:
    """Reads the facts of one case."""

    def __init__(self, held: dict[str, Any], case: dict[str, Any]) -> None:
        self.held, self.case, self.zone = held, case, ZoneInfo(held["zone"])

    def instant(self, text: str) -> datetime:
        stamp = datetime.fromisoformat(text)
        return (stamp if stamp.tzinfo else stamp.replace(tzinfo=self.zone)).astimezone(UTC)

    def maybe(self, text: str | None) -> datetime | None:
        return None if text is None else self.instant(text)

    def look(self, told: str | dict[str, Any]) -> Seen:
        if isinstance(told, str):
            return Seen(self.instant(told))
        return Seen(self.instant(told["at"]), told.get("by", ""), told.get("from_distance", False))

    def watched(self) -> Watched:
        case, remote = self.case, self.case.get("remote")
        return Watched(
            name="N3",
            device_class=DeviceClass(case.get("device", "live-restraint")),
            place=LonLat(*case.get("place", self.held.get("place", [-78.0, 41.5]))),
            zone=self.zone,
            set_at=self.maybe(case.get("set")),
            looks=tuple(self.look(told) for told in case.get("looks", [])),
            in_field=case.get("in_field", True),
            working=case.get("working", True),
            answers=case.get("answers", {}),
            handler=case.get("handler", ""),
            agents=frozenset(case.get("agents", [])),
            remote=None
            if remote is None
            else RemoteState(self.maybe(remote.get("contact")), self.maybe(remote.get("alert"))),
        )

    def confirmation(self, profile: Profile) -> Confirmation | None:
        if self.case.get("confirmed", True):
            return Confirmation(profile.id, date(2000, 1, 1), date(2099, 12, 31))
        return None


def _everything_said(answer: DueAnswer) -> str:
    return "\n".join((*answer.said, *answer.confirm, *answer.advisories))


@pytest.mark.parametrize(("held", "case"), _cases())
def test_the_law_answers_as_the_case_says(held: dict[str, Any], case: dict[str, Any]) -> None:
    profile = load_profile(held["profile"] if "profile" in held else ROOT / held["file"])
    told = _Told(held, case)
    watched, now = told.watched(), told.instant(case["now"])

    if "outing" in case:
        span = Span(*(told.instant(text) for text in case["outing"]))
        expected = [tuple(told.instant(text) for text in pair) for pair in case["windows"]]
        assert expected == [(w.start, w.end) for w in lawful_windows(profile, watched, span, now=now)]

    answer = due(profile, watched, now=now, confirmation=told.confirmation(profile))
    assert case["verdict"] == answer.verdict.value, _everything_said(answer)
    if "due_about" in case:
        assert answer.due_at is not None
        assert abs((answer.due_at - told.instant(case["due_about"])).total_seconds()) <= 5
    else:
        assert told.maybe(case.get("due")) == answer.due_at
    if "verified" in case:
        assert case["verified"] == answer.verified
    for key, found in (
        ("act_by", answer.act_by),
        ("since", answer.since),
    ):
        if key in case:
            assert told.instant(case[key]) == found, key
    for key, value in (
        ("rule", answer.rule),
        ("status", answer.status.value),
        ("go_now", answer.go_now),
        ("others", [other.rule for other in answer.others]),
    ):
        if key in case:
            assert case[key] == value, key
    for words in case.get("say", []):
        assert words in _everything_said(answer)
    if answer.verdict.value == "not verified":
        assert not answer.verified
        assert answer.confirm


def test_every_profile_has_its_cases() -> None:
    """Each shipped profile and each profile made for the tests is worked through in at least two cases."""
    counted: dict[str, int] = {}
    for path in _files():
        held = tomllib.loads(path.read_text(encoding="utf-8"))
        name = held.get("profile") or Path(held["file"]).name
        counted[name] = counted.get(name, 0) + len(held["case"])
    wanted = set(shipped_profiles()) | {p.name for p in (ROOT / "tests/data/rules").glob("*.toml")}
    assert wanted == set(counted)
    assert min(counted.values()) >= 2
