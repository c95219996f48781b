"""Owns looking at files before they are brought in: every fault, and all that would be taken, unwritten.

Does not own reading them (`bring_read`), or what they come to (`bring`).
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tendline.core.errors import FaultList, Refused
from tendline.jobs.answer import Answer
from tendline.jobs.bring import Taking, said_of, weighed, when_made
from tendline.jobs.bring_read import receive_what_can_be
from tendline.jobs.workspace import Workspace
from tendline.logbook.kinds import KINDS

MOST_TOLD = 500
"""So many things are listed one by one; the rest is counted."""


def look_at_files(
    space: Workspace,
    files: Sequence[str],
    *,
    default_kind: str | None = None,
    elevation_unit: str | None = None,
    made: str | None = None,
) -> Answer:
    """Say what bringing files would come to.

    Parameters
    ----------
    space, files, default_kind, elevation_unit, made
        As `bring.bring`.

    Returns
    -------
    Answer
        As `bring.bring`, with every fault of every file, and the events that would be written. Bad news when
        there is a fault: bringing these files would be refused.
    """
    faults = FaultList()
    when = None
    try:
        when = when_made(space, made)
    except Refused as problem:
        faults.extend(problem.faults)
    received, unread = receive_what_can_be(
        space, [Path(f) for f in files], default_kind=default_kind, elevation_unit=elevation_unit
    )
    faults.extend(unread.found)
    warnings: list[str] = []
    with space.store() as store:
        taking = weighed(space, store, received, made=when)
    try:
        warnings = taking.let_through()
    except Refused as problem:
        faults.extend(problem.faults)
    answer = said_of(received, taking, warnings)
    told = [{"code": f.code.id, "what": f.what, "where": f.where, "do": f.do} for f in faults.found]
    data = {**answer.data, "faults": told, "would": _would(taking), "more": _more(taking)}
    return Answer(answer.text, data, bad_news=bool(told), warnings=answer.warnings)


def _would(taking: Taking) -> list[dict[str, Any]]:
    return [
        {
            "kind": draft.kind,
            "name": str(draft.body.get(KINDS[draft.kind].subject, "")),
            "from": taking.where.get(draft.id, ""),
            "place": None if draft.fix is None else [draft.fix.place.lon, draft.fix.place.lat],
        }
        for draft in taking.drafts[:MOST_TOLD]
    ]


def _more(taking: Taking) -> int:
    return max(0, len(taking.drafts) - MOST_TOLD)
