"""Owns reading rounds of the person's own, and the earlier plan that is to be repaired, as they are written.

Does not own keeping or repairing (`plan.weeks_kept`, `plan.weeks_change`).
"""

import json
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from tendline.core.errors import FaultList, Refused, refuse
from tendline.core.line import LineState
from tendline.core.when import Span, day_end, day_start, local_instant
from tendline.jobs.faults import WORD
from tendline.jobs.weeks_problem import Ahead
from tendline.jobs.weeks_windows import clocks_of, days_of
from tendline.jobs.workspace import Workspace
from tendline.plan.weeks_change import Was
from tendline.plan.weeks_kept import Kept

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
EVERY_DAY = "daily"
_MAY = "Name somebody who may, or nobody: tendline weeks --without says who may."
_HOW = "Write DAY=SETS: sat=N1,N2, 2027-01-16@05:00-08:00=R1,R2 or sat/Ann=N1; DAY may be daily."


def kept_rounds(
    space: Workspace,
    line: LineState,
    written: Sequence[str],
    *,
    wanted: Ahead,
    sets: Sequence[str],
) -> tuple[tuple[Kept, ...], tuple[str, ...]]:
    """Read the rounds that every plan must keep: ``sat=N1,N2``, ``2027-01-16@05:00-08:00=R1``.

    Parameters
    ----------
    wanted
        The days ahead and the windows in them.
    sets
        Sets that are planned for.

    Returns
    -------
    tuple
        The rounds, and what must be said: days on which nobody has a window, sets without a clock.

    Raises
    ------
    Refused
        JOB-301, every fault at once: a day, hours or a set that is none, a date on which nobody can go.
    """
    faults, found, said = FaultList(), list[Kept](), list[str]()
    for text in written:
        try:
            found += _one(space, line, text, wanted=wanted, sets=sets, said=said)
        except Refused as problem:
            faults.extend(problem.faults)
    faults.refuse()
    return tuple(found), tuple(dict.fromkeys(said))


def _one(
    space: Workspace,
    line: LineState,
    text: str,
    *,
    wanted: Ahead,
    sets: Sequence[str],
    said: list[str],
) -> list[Kept]:
    span = wanted.span
    head, _, tail = text.partition("=")
    day_part, _, person = head.partition("/")
    word, _, hours = day_part.strip().partition("@")
    names = tail.replace(",", " ").split()
    if not word or not names:
        raise refuse(WORD, f"'{text}' is no round to keep.", "--keep", _HOW)
    who = _person(person.strip(), wanted, text)
    known = {name.lower(): name for name in line.sets}
    asked = _known(names, known, text)
    planned = tuple(name for name in asked if name in sets)
    if len(planned) < len(asked):
        left = ", ".join(name for name in asked if name not in sets)
        said.append(f"no clock runs at {left}, so that '{text}' is kept without")
    barred = [one.name for one in wanted.sets if one.name in planned and who in one.barred_to]
    if barred:
        raise refuse(WORD, f"{who} may not look at {', '.join(barred)}, in '{text}'.", "--keep", _MAY)
    found = []
    goes = [one.span for one in wanted.outings if who in ("", one.who)]
    for day in _days(space, word, span, text):
        part = _hours(space, day, hours).meet(span) if planned else None
        if part is not None and any(one.meet(part) for one in goes):
            told = f"{day:%a} {day.day} {day:%b}{who and f', {who}'}: {', '.join(planned)}"
            found.append(Kept(part, planned, who, told))
        elif part is not None and word.lower() not in (*WEEKDAYS, EVERY_DAY):
            raise refuse(
                WORD,
                f"{who or 'nobody'} {'cannot' if who else 'can'} go on {day}, for '{text}'.",
                "--keep",
                "Give a window for that day.",
            )
        elif part is not None:
            said.append(
                f"{who or 'nobody'} {'cannot' if who else 'can'} go on {day}: '{text}' is not kept then"
            )
    return found


def _person(name: str, wanted: Ahead, text: str) -> str:
    """Give a person as the windows name them; empty for anybody."""
    people = {one.who.casefold(): one.who for one in wanted.outings}
    if name and name.casefold() not in people:
        told = ", ".join(people.values())
        raise refuse(WORD, f"'{name}' has no window, in '{text}'.", "--keep", f"These have: {told}.")
    return people.get(name.casefold(), "")


def _known(names: Sequence[str], known: Mapping[str, str], text: str) -> tuple[str, ...]:
    faults = FaultList()
    for name in names:
        if name.lower() not in known:
            faults.add(WORD, f"there is no set '{name}', in '{text}'.", "--keep", "tendline due lists them.")
    faults.refuse()
    return tuple(dict.fromkeys(known[name.lower()] for name in names))


def _days(space: Workspace, word: str, span: Span, text: str) -> list[date]:
    days = days_of(span, space)
    if word.lower() == EVERY_DAY:
        return days
    if word.lower() in WEEKDAYS:
        return [day for day in days if day.weekday() == WEEKDAYS.index(word.lower())]
    try:
        day = date.fromisoformat(word)
    except ValueError:
        raise refuse(WORD, f"'{word}' is no day, in '{text}'.", "--keep", _HOW) from None
    if day not in days:
        told = f"{days[0]} to {days[-1]}"
        raise refuse(WORD, f"{day} is not one of the days ahead.", "--keep", f"Give a day from {told}.")
    return [day]


def _hours(space: Workspace, day: date, hours: str) -> Span:
    zone = space.settings.zone
    if not hours:
        return Span(day_start(day, zone), day_end(day, zone) - timedelta(seconds=1))
    start, end = clocks_of(hours)
    return Span(local_instant(day, start, zone), local_instant(day, end, zone))


def earlier_plan(path: Path) -> list[Was]:
    """Read the outings of a plan that ``tendline weeks --json`` wrote.

    Raises
    ------
    Refused
        JOB-301 for a file that cannot be read, or is no such plan.
    """
    do = "Give the file that tendline weeks --json wrote."
    try:
        document = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, json.JSONDecodeError) as problem:
        raise refuse(WORD, f"it cannot be read: {problem}.", str(path), do) from None
    try:
        return [_was(one) for one in document["outings"]]
    except (KeyError, TypeError, ValueError) as problem:
        raise refuse(WORD, f"it holds no plan of the days ahead ({problem}).", str(path), do) from None


def _was(one: Mapping[str, Any]) -> Was:
    start, end = (datetime.fromisoformat(one["window"][key]) for key in ("from", "to"))
    if start.tzinfo is None or end.tzinfo is None:
        raise ValueError("a window without an offset")
    names = frozenset(str(look["set"]) for stop in one["stops"] for look in stop["looks"])
    return Was(str(one["who"]), Span(start, end), names)
