"""Owns what one outing is planned from: which sets must be visited, in which lawful hours, at what cost.

Does not own the search for a plan (`plan.route`), nor the ways between places (`round_ground`).
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from tendline.core.errors import FaultList, refuse
from tendline.core.line import LineState, SetState
from tendline.core.settings import TimeCosts
from tendline.core.when import Span
from tendline.jobs.faults import NO_ROUND, WORD
from tendline.jobs.outing import Outing
from tendline.jobs.workspace import Workspace
from tendline.plan.due import DueRow, due_board, watched_set
from tendline.plan.itinerary import LeftOut, SetTask
from tendline.rules.answer import Verdict
from tendline.rules.ask import lawful_windows
from tendline.rules.shape import Profile

ROUND_ABOUT = timedelta(hours=12)
"""How far before and after the outing lawful hours are told, so that an earlier start can be offered."""


@dataclass(frozen=True)
class Wanted:
    """What is asked of one outing.

    Parameters
    ----------
    rows
        The due board at the start of the outing, by set.
    tasks
        Sets that may be visited, with their lawful hours; those that must be are marked.
    barred
        Sets that must be visited but have no lawful hour in this outing.
    late
        Sets that are overdue already when the outing starts.
    """

    rows: Mapping[str, DueRow]
    tasks: tuple[SetTask, ...]
    barred: tuple[LeftOut, ...]
    late: tuple[str, ...]


def wanted_sets(
    space: Workspace,
    line: LineState,
    outing: Outing,
    *,
    profiles: Mapping[str, Profile],
    must: Collection[str] = (),
    skip: Collection[str] = (),
    everything: bool = False,
    only_due: bool = False,
) -> Wanted:
    """Decide what the outing is for.

    Everything that falls due before the next outing begins must be visited; with `everything`, all working
    sets must. The others are visited where that costs nothing that matters more, unless `only_due`.

    Parameters
    ----------
    space, line, outing
        The opened line, how it stands, and the stretch of time.
    profiles
        Rule profiles by id.
    must, skip
        Short names that must or must not be visited, whatever is due.

    Raises
    ------
    Refused
        JOB-301 for names that are no set in the field; JOB-401 when there is nothing to visit.
    """
    in_field = {one.name.lower(): one for one in line.in_field}
    _check_names(in_field, [*must, *skip])
    named, skipped = {n.lower() for n in must}, {n.lower() for n in skip}
    rows = {
        row.set_name: row
        for row in due_board(line, profiles=profiles, settings=space.settings, now=outing.span.start)
    }
    tasks: list[SetTask] = []
    barred: list[LeftOut] = []
    for one in line.in_field:
        row = rows[one.name]
        if one.name.lower() in skipped or (
            not row.working and not _must(row, outing) and one.name.lower() not in named
        ):
            continue
        needed = one.name.lower() in named or _must(row, outing) or (everything and row.working)
        if not needed and only_due:
            continue
        windows = _windows(space, line, one, row=row, outing=outing, profiles=profiles)
        if any(window.meet(outing.span) for window in windows):
            tasks.append(_task(one, row, windows, needed=needed, costs=space.settings.time))
        elif needed:
            why = "no hour of this outing is lawful for it, or its limit passes before"
            barred.append(LeftOut(one.name, must=True, due=row.answer.due_at, why=why))
    if not tasks:
        raise refuse(NO_ROUND, "no set is to be visited.", "", "tendline due shows what is in the field.")
    late = tuple(name for name, row in rows.items() if row.answer.verdict is Verdict.OVERDUE)
    return Wanted(rows, tuple(tasks), tuple(barred), late)


def _check_names(in_field: Mapping[str, SetState], names: Sequence[str]) -> None:
    faults = FaultList()
    for name in names:
        if name.lower() not in in_field:
            faults.add(WORD, f"there is no set '{name}' in the field.", "", "tendline due lists them.")
    faults.refuse()


def _must(row: DueRow, outing: Outing) -> bool:
    answer = row.answer
    if answer.go_now or answer.verdict in (Verdict.OVERDUE, Verdict.PROHIBITED):
        return True
    by = answer.act_by or answer.due_at
    if by is None:
        # Nobody knows when it is due: that is no reason to let it wait.
        return row.working and answer.verdict is Verdict.NOT_VERIFIED
    return by < outing.following.start


def _windows(
    space: Workspace,
    line: LineState,
    one: SetState,
    *,
    row: DueRow,
    outing: Outing,
    profiles: Mapping[str, Profile],
) -> tuple[Span, ...]:
    wide = Span(outing.span.start - ROUND_ABOUT, outing.span.end + ROUND_ABOUT)
    profile = profiles.get(row.answer.profile)
    if profile is None:
        return (wide,)
    watched = watched_set(one, line, settings=space.settings)
    late = row.answer.verdict is Verdict.OVERDUE or row.answer.due_at is None
    return lawful_windows(profile, watched, wide, now=outing.span.start, late=late)


def _task(
    one: SetState, row: DueRow, windows: tuple[Span, ...], *, needed: bool, costs: TimeCosts
) -> SetTask:
    overdue = row.answer.verdict is Verdict.OVERDUE
    return SetTask(
        name=one.name,
        service_s=costs.look_s + costs.fix_share * costs.fix_s,
        windows=windows,
        due=None if overdue else row.answer.due_at,
        must=needed,
        weight=_weight(row),
    )


def _weight(row: DueRow) -> int:
    """Give a set more weight the longer it has waited: one for each half day, at least one."""
    return 1 + int((row.waited_h or 24.0) // 12)


def last_looks(line: LineState) -> dict[str, datetime]:
    """Give when each set in the field was last seen, for those whose record says."""
    return {one.name: one.last_seen for one in line.in_field if one.last_seen is not None}
