"""Owns the snapshots of answers: what each shipped profile says of the standard set on each of 400 days.

Does not own the standard set (`rule_standard`). Run as `python -m tools.make_rule_snapshots` after a change
to a profile or to what rules mean, and read the difference first: each line is an answer that changed.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from tendline.core.words import DeviceClass
from tendline.rules.ask import due
from tendline.rules.finding import Finding, Holds
from tendline.rules.judge import judge
from tendline.rules.load import load_profile, shipped_profiles
from tendline.rules.nouns import Subject
from tendline.rules.shape import Profile
from tools.rule_standard import Told, confirmed, days, local, zone_of

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "tests" / "rules" / "snapshots"
FIRST, COUNT = date(2026, 10, 1), 400
"""From before the day on which the sources were read, through one winter, into the next."""

DAILY = frozenset({Subject.SET, Subject.CATCH})
"""What is judged on every day."""

MADE, ASKED = time(8, 0), time(18, 0)
"""Each day a set is made at eight in the morning, holds a coyote at once, and is asked about at six."""

SAYS = "made at 08:00, asked at 18:00, a coyote held; each question has its first answer; profile confirmed"
Row = Mapping[str, str]


def snapshot(profile: Profile) -> dict[str, Any]:
    """Give the answers of one profile: whole on the first day, then what changed, with a digest of all.

    Returns
    -------
    dict
        Ready for JSON. Times in ``changes`` are cut to the hour, those under the digest to the minute.
    """
    digest = hashlib.sha256()
    changes: list[dict[str, Any]] = []
    before: Row = {}
    for day, exact, short in _table(profile):
        digest.update(json.dumps([day.isoformat(), exact], sort_keys=True).encode())
        changed = {
            key: short.get(key, "(gone)") for key in {**before, **short} if before.get(key) != short.get(key)
        }
        if changed:
            changes.append({"day": day.isoformat(), "answers": dict(sorted(changed.items()))})
        before = short
    return {
        "profile": profile.id,
        "says": SAYS,
        "first": FIRST.isoformat(),
        "days": COUNT,
        "sha256": digest.hexdigest(),
        "changes": changes,
    }


def _table(profile: Profile) -> Iterator[tuple[date, Row, Row]]:
    told = Told()
    confirmation = confirmed(profile)
    whole = _whole_days(profile)
    kept: list[Finding] = []
    for day in days(FIRST, COUNT):
        made, now = local(profile, day, MADE), local(profile, day, ASKED)
        facts = replace(told.on(profile, made), about=None if day in whole else DAILY)
        found = list(judge(profile, facts, now=now, confirmation=confirmation))
        if day in whole:
            kept = [finding for finding in found if finding.subject not in DAILY]
        exact: dict[str, str] = {}
        short: dict[str, str] = {}
        for finding in (*(f for f in found if f.subject in DAILY), *kept):
            key = _key(finding)
            exact[key], short[key] = (_words(finding, profile, made, hours=h) for h in (False, True))
        foothold = told.on(profile, made, device_class=DeviceClass.FOOTHOLD).watched
        assert foothold is not None
        answer = due(profile, foothold, now=now, confirmation=confirmation)
        for row, hours in ((exact, False), (short, True)):
            row["check of a foothold"] = _joined(
                answer.verdict.value, answer.rule, _told(answer.due_at, made, hours=hours)
            )
        yield day, exact, short


def _whole_days(profile: Profile) -> frozenset[date]:
    """Give the days on which every subject is judged: a value begins, or it is the first of a month.

    Device, parcel and person are the same every day; between those days their answers are carried on.
    """
    begin = {term.day for rule in profile.rules for term in rule.history.terms}
    return frozenset(day for day in days(FIRST, COUNT) if day.day == 1 or day in begin)


def _key(finding: Finding) -> str:
    """Name an answer: the strictest check rule may be another every day, so it is no part of the name."""
    if finding.topic != "check":
        return f"{finding.topic}.{finding.rule}"
    return "check" if finding.holds is not Holds.ADVISORY else "check, advice"


def _words(finding: Finding, profile: Profile, made: datetime, *, hours: bool) -> str:
    if finding.topic == "check":
        return _joined(finding.holds.value, finding.rule, _told(finding.due_at, made, hours=hours))
    when = finding.due_at
    if when is None or finding.holds.value == "pass":
        return _joined(finding.holds.value, _day_of(when, profile))
    return _joined(finding.holds.value, _told(when, made, hours=hours))


def _joined(*words: str) -> str:
    return ", ".join(word for word in words if word)


def _told(instant: datetime | None, made: datetime, *, hours: bool) -> str:
    """Write an instant as true hours after the making."""
    if instant is None:
        return ""
    minutes = round((instant - made) / timedelta(minutes=1))
    return f"{minutes // 60} h" if hours else f"{minutes} min"


def _day_of(instant: datetime | None, profile: Profile) -> str:
    """Write the day, in the law's zone, by which something must be over."""
    if instant is None:
        return ""
    zone = zone_of(profile)
    return f"until {instant.astimezone(zone).date()}"


def text_of(held: Mapping[str, Any]) -> str:
    """Write a snapshot as it stands in its file."""
    return json.dumps(held, indent=1, ensure_ascii=False) + "\n"


def main() -> None:
    """Write every snapshot that is not as it should be."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name in shipped_profiles():
        path, text = FOLDER / f"{name}.json", text_of(snapshot(load_profile(name)))
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")
            print(f"written: {path.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
