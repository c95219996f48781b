"""Owns making the round that a phone takes along: planned when it can be, by what is due when it cannot.

Does not own the shape of the document (`field.carry`), the plan (`jobs.round`) or how it gets to the phone.
"""

from collections.abc import Callable
from typing import Any

from tendline.core.errors import Refused
from tendline.field.carry import carried_round
from tendline.jobs.carry_relief import ReliefKept
from tendline.jobs.duties import carried_duties
from tendline.jobs.guidance import carried_guidance
from tendline.jobs.incoming import Record
from tendline.jobs.lawful_facts import read_features
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.round import Asked, Planned, plan, walks_of
from tendline.jobs.workspace import Workspace
from tendline.logbook.fold import line_at
from tendline.plan.due import due_board
from tendline.report.facts import CAUTIONS
from tendline.report.itinerary_json import round_document


def try_plan(
    space: Workspace,
    asked: Asked,
    *,
    tell: Callable[[str], None] = lambda _: None,
    should_stop: Callable[[], bool] | None = None,
) -> tuple[Planned | None, str]:
    """Plan the outing to carry; say why not when it cannot be planned.

    Returns
    -------
    Planned or None
        The plan.
    str
        Why there is none; empty when there is.
    """
    try:
        return plan(space, asked, tell=tell, should_stop=should_stop), ""
    except Refused as problem:
        return None, "; ".join(f"{fault.what} {fault.do}" for fault in problem.faults)


def carry_round(
    space: Workspace, planned: Planned | None, why_no_plan: str, *, kept: ReliefKept
) -> dict[str, Any]:
    """Make the document a phone takes along, from the record as it stands now.

    Parameters
    ----------
    space
        The opened line.
    planned
        The plan, which may be older than the record.
    why_no_plan
        In words, when there is none.
    kept
        The ground as it was drawn before.

    Raises
    ------
    Refused
        RULE-1xx, GND-xxx.
    """
    record = Record()
    with space.store() as store, store.transaction():
        record.catch_up(store)
    line = line_at(record.events, at=space.now)
    profiles = profiles_in_use(space, line)
    rows = due_board(line, profiles=profiles, settings=space.settings, now=space.now)
    relief, why_no_relief = kept.of(space, line)
    start = planned.outing.span.start if planned is not None else space.now
    return carried_round(
        line,
        rows,
        settings=space.settings,
        who=(planned.outing.who if planned is not None else "") or space.settings.handler or "handler",
        seq=record.seq,
        plan=round_document(planned.verdict, planned.facts) if planned is not None else None,
        why_no_plan=why_no_plan,
        walks=walks_of(planned) if planned is not None else (),
        home_min=_home_minutes(planned) if planned is not None else {},
        following=planned.outing.following if planned is not None else None,
        duties=carried_duties(
            space, line, profiles=profiles, features=read_features(space), found_at=max(start, space.now)
        ),
        guidance=carried_guidance(
            profiles, settings=space.settings, day=start.astimezone(space.settings.zone).date()
        ),
        cautions=CAUTIONS,
        relief=relief,
        why_no_relief=why_no_relief,
        now=space.now,
    )


def _home_minutes(planned: Planned) -> dict[str, float]:
    drive, end = planned.ways.drive, planned.problem.end
    to = drive.names.index(end)
    return {
        name: round(float(drive.seconds[drive.names.index(name), to]) / 60, 1)
        for name in planned.problem.parkings
    }
