"""Owns what every paper shares: the line it is made from, what was asked for, the file it goes to.

Does not own what stands on any paper (`report`).
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from tendline.core.errors import FaultList, refuse
from tendline.core.line import Parcel, SetState
from tendline.core.when import local_day, rfc3339
from tendline.jobs.answer import Answer
from tendline.jobs.faults import CANNOT_WRITE, NOTHING, WORD
from tendline.jobs.files import write_whole
from tendline.jobs.round_facts import made_from
from tendline.jobs.workspace import PAPERS, Workspace
from tendline.logbook.fold import line_at
from tendline.report.page import Page
from tendline.report.paper_head import Desk
from tendline.report.typeset import paper_pdf


def desk_of(space: Workspace, *said: str) -> Desk:
    """Give what every paper is written from: the line as it stands, and from how many events it comes."""
    events = space.events()
    line = line_at(events, at=space.now)
    return Desk(space.settings, line, space.now, made_from(space, events, said))


def sets_asked(desk: Desk, names: Sequence[str]) -> tuple[SetState, ...]:
    """Give the sets in the field that were asked for; all of them when none was.

    Raises
    ------
    Refused
        JOB-301 for each name that is no set in the field; JOB-611 when there is no set at all.
    """
    known = {one.name.lower(): one for one in in_counting_order(desk.line.in_field)}
    if not known:
        raise refuse(NOTHING, "no device is in the field.", "", "tendline note list shows what is on record.")
    if not names:
        return tuple(known.values())
    _check(names, known, "set in the field", "tendline due lists the sets.")
    return tuple(known[name] for name in dict.fromkeys(n.lower() for n in names))


def in_counting_order(sets: Iterable[SetState]) -> tuple[SetState, ...]:
    """Sort sets as people count: M2 before M10."""
    return tuple(sorted(sets, key=lambda one: _counted(one.name)))


def _counted(name: str) -> tuple[tuple[int, str], ...]:
    parts = re.findall(r"\d+|\D+", name.lower())
    return tuple((int(part), "") if part.isdigit() else (-1, part) for part in parts)


def parcels_asked(desk: Desk, names: Sequence[str]) -> tuple[Parcel, ...]:
    """Give the parcels that were asked for; all of them when none was.

    Raises
    ------
    Refused
        JOB-301 for each name that is no parcel; JOB-611 when there is no parcel at all.
    """
    known = {name.lower(): parcel for name, parcel in sorted(desk.line.parcels.items())}
    if not known:
        raise refuse(NOTHING, "no parcel is on record.", "", "Bring its outline: tendline bring FILE.")
    if not names:
        return tuple(known.values())
    _check(names, known, "parcel", f"Parcels: {', '.join(sorted(desk.line.parcels))}.")
    return tuple(known[name] for name in dict.fromkeys(n.lower() for n in names))


def _check(names: Sequence[str], known: Mapping[str, object], what: str, do: str) -> None:
    faults = FaultList()
    for name in names:
        if name.lower() not in known:
            faults.add(WORD, f"there is no {what} '{name}'.", "", do)
    faults.refuse()


def save(
    space: Workspace,
    page: Page,
    *,
    paper: str,
    about: str = "",
    out: str | None = None,
    data: Mapping[str, Any] | None = None,
    says: str = "",
    warnings: Sequence[str] = (),
) -> Answer:
    """Set a page and write it: whole, or not at all.

    Parameters
    ----------
    space, page
        The opened line, and what stands on the paper.
    paper, about
        Its kind, and whose it is: they make the name of the file.
    out
        Where to write the PDF; into the line's `papers/` when left out.
    data
        What else the JSON document says.
    says
        One sentence for the person.
    warnings
        For standard error.

    Raises
    ------
    Refused
        JOB-104 when the file cannot be written; REP-102.
    """
    day = local_day(space.now, space.settings.zone)
    name = "-".join(part for part in (paper, about, day.isoformat()) if part)
    path = Path(out) if out else space.folder / PAPERS / f"{name}.pdf"
    pdf = paper_pdf(page)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, pdf)
    except OSError as problem:
        do = "Choose another place with --out."
        raise refuse(CANNOT_WRITE, f"{problem.strerror}.", str(path), do) from problem
    made = {"paper": paper, "file": str(path), "at": rfc3339(space.now, space.settings.zone)}
    text = f"{page.title}: {path}{f', {says}' if says else ''}."
    return Answer(text, {**made, **(data or {})}, warnings=tuple(warnings))
