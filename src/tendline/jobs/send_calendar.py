"""Owns the calendar of `tendline send ics`: the due board turned into events, and those that are called off.

Does not own the board (`plan.due`) or the format (`report.send_ics`).
"""

from collections.abc import Mapping
from datetime import timedelta

from tendline.core.errors import refuse
from tendline.core.line import LineState
from tendline.jobs.faults import NOTHING
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.workspace import Workspace
from tendline.plan.due import due_board
from tendline.report.outgoing import Lost
from tendline.report.send_ics import CANCELLED_FOR, DueCalendar, DueEvent, write_calendar


def due_calendar(
    space: Workspace, line: LineState, *, line_id: str, ahead_min: float, exact: bool
) -> tuple[bytes, tuple[Lost, ...], Mapping[str, int]]:
    """Write the due board as a calendar.

    Parameters
    ----------
    space, line
        The opened line, and what of it is sent.
    line_id
        The same for this line for ever.
    ahead_min
        How long before a due time its alarm rings [min].
    exact
        Say where each set is.

    Returns
    -------
    bytes, lost, held
        The file; what has no time; how many events are due and how many called off.

    Raises
    ------
    Refused
        JOB-611 when there is no event; RULE-xxx.
    """
    settings = space.settings
    board = due_board(line, profiles=profiles_in_use(space, line), settings=settings, now=space.now)
    events: list[DueEvent] = []
    without: list[str] = []
    for row in board:
        due = row.answer.act_by or row.answer.due_at
        if due is None:
            without.append(row.set_name)
            continue
        one = line.sets[row.set_name]
        where = (row.parcel, row.landmark, one.fix.place) if exact else ("", "", None)
        events.append(DueEvent(row.set_name, due, row.answer.words, row.answer.verified, *where))
    events += [
        DueEvent(name, one.pulled_at, off=True)
        for name, one in line.sets.items()
        if one.pulled_at is not None and space.now - one.pulled_at <= CANCELLED_FOR
    ]
    if not events:
        # A calendar holds at least one component (RFC 5545, section 3.6).
        what = "no limit can be told for any set" if without else "no set is in the field"
        raise refuse(NOTHING, f"{what}.", "", "tendline due says what is in the field, and what is missing.")
    calendar = DueCalendar(
        name=settings.name,
        line_id=line_id,
        now=space.now,
        zone=settings.zone,
        ahead=timedelta(minutes=ahead_min),
        events=events,
        without=tuple(without),
        invented=settings.invented,
    )
    data, lost = write_calendar(calendar)
    off = sum(event.off for event in events)
    held = {"due": len(events) - off, "called off": off}
    return data, lost, {kind: number for kind, number in held.items() if number}
