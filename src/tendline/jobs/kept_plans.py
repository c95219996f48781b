"""Owns the plans kept in `papers/`: their names, keeping them, and reading them back.

Does not own what was done (`season.planned`) or the plans themselves (`plan`).
"""

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any, TypeVar

from tendline.core.errors import FaultList, refuse
from tendline.core.when import Span, local_day, rfc3339
from tendline.jobs.faults import CANNOT_WRITE, KEPT_PLAN
from tendline.jobs.files import write_whole
from tendline.jobs.workspace import PAPERS, Workspace
from tendline.season.planned import Aim, Card, Days

CARD, WEEKS = "route-card", "weeks"
"""What kept plans are called by, before their day."""

_NAME = re.compile(rf"({CARD}|{WEEKS})-\d{{4}}-\d{{2}}-\d{{2}}\.json")
_DO = "Move it out of papers/, or make it again; nothing was changed."


T = TypeVar("T", Card, Days)


@dataclass(frozen=True)
class KeptPlans:
    """All plans that are kept: route cards and plans of days, by day."""

    cards: tuple[Card, ...]
    days: tuple[Days, ...]


def kept_path(space: Workspace, kind: str, day: date) -> Path:
    """Give where the plan of a kind for a day is kept; one file a day, the last one made."""
    return space.folder / PAPERS / f"{kind}-{day}.json"


def json_bytes(document: Mapping[str, Any]) -> bytes:
    """Write a document as `--json` prints it."""
    return (json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False) + "\n").encode()


def keep_weeks(space: Workspace, document: Mapping[str, Any]) -> tuple[str | None, str]:
    """Keep a plan of the days ahead under the day on which it was made.

    Parameters
    ----------
    space, document
        The opened line, and what `tendline weeks --json` gives.

    Returns
    -------
    tuple
        Where it is kept, and what to say; None when there is no plan to keep.

    Raises
    ------
    Refused
        JOB-104 when it cannot be written.
    """
    if not document["outings"]:
        return None, "\n\nThere is no plan, so none was kept."
    path = kept_path(space, WEEKS, local_day(space.now, space.settings.zone))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, json_bytes(document))
    except OSError as problem:
        do = "Make room for it, or leave --record out."
        raise refuse(CANNOT_WRITE, f"{problem.strerror}.", str(path), do) from problem
    return str(
        path
    ), f"\n\nThe plan is kept: {path}. Later, tendline season --plans holds it against the record."


def read_kept(space: Workspace) -> KeptPlans:
    """Read every JSON file in `papers/`.

    Raises
    ------
    Refused
        JOB-613 for each file that is broken, of another line, or no plan that tendline keeps there.
    """
    faults, cards, days = FaultList(), list[Card](), list[Days]()
    for path in sorted((space.folder / PAPERS).glob("*.json")):
        named = _NAME.fullmatch(path.name)
        if named is None:
            faults.add(KEPT_PLAN, "its name is of no plan that is kept.", str(path), _DO)
        elif named[1] == CARD:
            _read(path, space.settings.name, _card, cards, faults)
        else:
            _read(path, space.settings.name, _days, days, faults)
    faults.refuse()
    return KeptPlans(tuple(cards), tuple(days))


def _read(
    path: Path, line: str, parse: Callable[[str, Mapping[str, Any]], T], into: list[T], faults: FaultList
) -> None:
    try:
        document = json.loads(path.read_text(encoding="utf-8"))
        if not isinstance(document, dict):
            raise TypeError("not an object")
        if document["line"] != line:
            raise ValueError(f"it is of the line '{document['line']}', not of '{line}'")
        into.append(parse(path.name, document))
    except KeyError as problem:
        faults.add(KEPT_PLAN, f"it lacks {problem}.", str(path), _DO)
    except (OSError, ValueError, TypeError, AttributeError, RecursionError) as problem:
        faults.add(KEPT_PLAN, f"it cannot be used: {problem}.", str(path), _DO)


def _card(file: str, document: Mapping[str, Any]) -> Card:
    if (document["kind"], document["version"]) != ("round", 1):
        raise ValueError("it is no round of version 1")
    leave = _instant(document["leave"])
    if not file.startswith(f"{CARD}-{document['day']}"):
        raise ValueError(f"its day is {document['day']}")
    visits = [visit for stop in document["stops"] for visit in stop["visits"]]
    return Card(file, leave, tuple(Aim(_text(one["set"]), _instant(one["look"])) for one in visits))


def _days(file: str, document: Mapping[str, Any]) -> Days:
    span = Span(_instant(document["from"]), _instant(document["to"]))
    aims = []
    for outing in document["outings"]:
        since = _instant(outing["window"]["from"])
        for stop in outing["stops"]:
            aims += [_aim(look, since) for look in stop["looks"]]
    return Days(file, span, tuple(aims))


def _aim(look: Mapping[str, Any], since: datetime) -> Aim:
    at, due = _instant(look["at"]), look["due_at"]
    if at < since:
        raise ValueError(f"a look at {rfc3339(at)} comes before its window")
    return Aim(_text(look["set"]), at, None if due is None else _instant(due), since)


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError(f"{value!r} is no name of a set")
    return value


def _instant(value: str) -> datetime:
    when = datetime.fromisoformat(value)
    if when.tzinfo is None:
        raise ValueError(f"{value} is without an offset")
    return when
