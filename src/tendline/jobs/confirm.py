"""Owns the job `tendline lawful --confirm`: the person goes through a profile once a season, value by value.

Does not own the values (`profile_values`); what was said is kept in the line folder's `confirmed/`.
"""

import json
import tomllib
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from tendline.core.errors import FaultList, refuse
from tendline.core.when import local_day
from tendline.jobs.answer import Answer
from tendline.jobs.confirmed_files import AGREE, UNSURE, Said, doubt_words, kept_words
from tendline.jobs.faults import CANNOT_WRITE, SHEET, WORD
from tendline.jobs.files import write_whole
from tendline.jobs.profile_values import ProfileValue, values_of
from tendline.jobs.profiles import profile_named
from tendline.jobs.workspace import CONFIRMED, PAPERS, Workspace
from tendline.rules.shape import Profile

Ask = Callable[[ProfileValue, int, int], Said]
"""Asks about one value; told which it is of how many."""


def season_end(day: date, profile: Profile) -> date:
    """Give the last day a confirmation of `day` can hold: the season's end, or the profile's if sooner."""
    end = date(day.year + (1 if day.month >= 7 else 0), 6, 30)
    return min(end, profile.good_until) if profile.good_until >= day else end


def confirm(space: Workspace, name: str, ask: Ask, *, note: str = "") -> Answer:
    """Go through a profile and keep what was said.

    Parameters
    ----------
    space
        The opened line.
    name
        Of the profile.
    ask
        Asks the person about one value.
    note
        Whom they asked, what they read.

    Raises
    ------
    Refused
        RULE-102 for an unknown profile; JOB-104 when it cannot be kept.
    """
    profile = profile_named(space, name)
    day = local_day(space.now, space.settings.zone)
    values = values_of(profile, day)
    said = {value.rule: ask(value, k, len(values)) for k, value in enumerate(values, start=1)}
    return _keep(space, profile, said, day=day, note=note)


def worksheet(space: Workspace, name: str) -> Answer:
    """Write the sheet to go through a profile on paper or in an editor, and say how to hand it in.

    Raises
    ------
    Refused
        RULE-102, JOB-104.
    """
    profile = profile_named(space, name)
    day = local_day(space.now, space.settings.zone)
    path = space.folder / PAPERS / f"confirm-{name}.toml"
    lines = [
        f"# {profile.title}. Go through it with this season's official text, value by value.",
        f'# answer: "{AGREE}", "{UNSURE}", or how it really is. What is not agreed stays not verified.',
        f'profile = "{name}"',
        'note = ""   # whom you asked, what you read',
    ]
    for value in values_of(profile, day):
        sources = "; ".join(str(c) for c in value.citations) or "nothing is held for this day"
        lines += [
            "",
            f"[{json.dumps(value.rule)}]",
            f"# {value.words}",
            f"# source: {sources}",
            'answer = ""',
        ]
    _write(path, "\n".join([*lines, ""]))
    text = f"Written: {path}. Fill in every answer, then: tendline lawful --confirm {name} --sheet {path}"
    return Answer(text, {"sheet": str(path), "values": len(values_of(profile, day))})


def read_sheet(space: Workspace, name: str, path: Path) -> tuple[Mapping[str, Said], str]:
    """Read a sheet that was filled in.

    Returns
    -------
    dict, str
        What was said of each value, and the note.

    Raises
    ------
    Refused
        JOB-502 with every value that has no answer or is not in the profile.
    """
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as problem:
        raise refuse(
            SHEET, f"{problem}.", str(path), "Write a new one: tendline lawful --confirm NAME."
        ) from None
    day = local_day(space.now, space.settings.zone)
    wanted = {value.rule for value in values_of(profile_named(space, name), day)}
    said, faults = _said(raw, wanted, str(path))
    if raw.get("profile") != name:
        faults.add(SHEET, f"it is for profile '{raw.get('profile')}'.", str(path), f"Wanted: '{name}'.")
    faults.refuse()
    return said, str(raw.get("note", ""))


def said_of(space: Workspace, name: str, raw: Mapping[str, Any], *, where: str) -> Mapping[str, Said]:
    """Read what was said of every value of a profile: a table with an ``answer`` by each rule.

    Raises
    ------
    Refused
        JOB-502 with every value that has no answer or is not in the profile.
    """
    day = local_day(space.now, space.settings.zone)
    said, faults = _said(raw, {value.rule for value in values_of(profile_named(space, name), day)}, where)
    faults.refuse()
    return said


def _said(raw: Mapping[str, Any], wanted: set[str], where: str) -> tuple[dict[str, Said], FaultList]:
    faults, said = FaultList(), {}
    for rule in sorted(wanted):
        entry = raw.get(rule)
        answer = entry.get("answer") if isinstance(entry, dict) else None
        if not isinstance(answer, str) or not answer.strip():
            do = f'Write answer = "{AGREE}", "{UNSURE}", or how it really is.'
            faults.add(SHEET, f"'{rule}' has no answer.", where, do)
        else:
            said[rule] = Said(answer.strip(), str(entry.get("note", "")) if isinstance(entry, dict) else "")
    for rule in raw:
        if rule not in wanted and rule not in ("profile", "note"):
            faults.add(SHEET, f"'{rule}' is no value of the profile.", where, "Take it out.")
    return said, faults


def _keep(space: Workspace, profile: Profile, said: Mapping[str, Said], *, day: date, note: str) -> Answer:
    until = season_end(day, profile)
    doubts = {rule: doubt_words(one) for rule, one in said.items() if one.answer != AGREE}
    lines = [
        f"profile = {json.dumps(profile.id)}",
        f"on = {day.isoformat()}",
        f"until = {until.isoformat()}",
        f"by = {json.dumps(space.settings.handler, ensure_ascii=False)}",
        f"note = {json.dumps(note, ensure_ascii=False)}",
        "",
        "[said]",
        *(
            f"{json.dumps(rule)} = {json.dumps(kept_words(one), ensure_ascii=False)}"
            for rule, one in said.items()
        ),
        "",
    ]
    path = space.folder / CONFIRMED / f"{profile.id}-{day.isoformat()}.toml"
    _write(path, "\n".join(lines))
    agreed = f"{len(said) - len(doubts)} of {len(said)} values agreed"
    text = [f"Kept: {profile.id} confirmed on {day}, until {until}; {agreed}."]
    text += [f"Not verified stays {rule}: {words}." for rule, words in doubts.items()]
    if any(one.answer not in (AGREE, UNSURE) for one in said.values()):
        text.append(f"To put a value right, write your own profile: tendline lawful --new {profile.id}")
    data = {
        "profile": profile.id,
        "confirmed": day.isoformat(),
        "until": until.isoformat(),
        "agreed": len(said) - len(doubts),
        "doubts": doubts,
        "file": str(path),
    }
    return Answer("\n".join(text), data)


def _write(path: Path, text: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, text.encode())
    except OSError as problem:
        raise refuse(
            CANNOT_WRITE, f"{problem.strerror}.", str(path), "Free some space and do it again."
        ) from problem


def answered_word(text: str) -> str:
    """Read a short answer: a, d, or how it really is.

    Raises
    ------
    Refused
        JOB-301 when it is empty.
    """
    word = text.strip()
    if not word:
        raise refuse(
            WORD, "no answer was given.", "", "a = agree, d = don't know, or write how it really is."
        )
    return {"a": AGREE, "d": UNSURE}.get(word.lower(), word)
