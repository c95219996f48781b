"""Owns the jobs `tendline paper set-card`, `incident` and `warden`: what is known of single sets.

Does not own what stands on them (`report`).
"""

from collections.abc import Sequence

from tendline.jobs.answer import Answer
from tendline.jobs.paper_page import desk_of, parcels_asked, save, sets_asked
from tendline.jobs.paper_record import open_record
from tendline.jobs.workspace import Workspace
from tendline.report.returns import warden_page
from tendline.report.say import count
from tendline.report.set_card import card_page, incident_page
from tendline.report.stands import Stand


def set_card(space: Workspace, *, sets: Sequence[str] = (), out: str | None = None) -> Answer:
    """Write the cards of some sets, or of all, for the shed.

    Raises
    ------
    Refused
        JOB-301, JOB-611, JOB-104, REP-102.
    """
    record = open_record(space)
    chosen = sets_asked(record.desk, sets)
    standing: dict[str, Stand] = {stand.set_name: stand for stand in record.stands if stand.out}
    page = card_page(record.desk, [(one, standing.get(one.name)) for one in chosen])
    return save(
        space,
        page,
        paper="set-card",
        about=chosen[0].name if len(chosen) == 1 else "",
        out=out,
        data={"sets": [one.name for one in chosen]},
        says=count(len(chosen), "set"),
    )


def incident_form(space: Workspace, *, set_name: str | None = None, out: str | None = None) -> Answer:
    """Write an incident form: filled in as far as the record goes for a set, or blank.

    Raises
    ------
    Refused
        JOB-301, JOB-611, JOB-104, REP-102.
    """
    desk = desk_of(space)
    chosen = sets_asked(desk, [set_name]) if set_name is not None else ()
    page = incident_page(desk, chosen[0] if chosen else None)
    names = [one.name for one in chosen]
    return save(space, page, paper="incident", about="".join(names), out=out, data={"sets": names})


def warden_sheet(space: Workspace, *, parcels: Sequence[str] = (), out: str | None = None) -> Answer:
    """Write the sheet an officer is handed: papers held, and every device in the field or on some parcels.

    Raises
    ------
    Refused
        JOB-301, JOB-611, JOB-104, REP-102.
    """
    desk = desk_of(space)
    wanted = {parcel.name for parcel in parcels_asked(desk, parcels)} if parcels else None
    chosen = [one for one in sets_asked(desk, ()) if wanted is None or one.parcel in wanted]
    page = warden_page(desk, chosen)
    data = {"sets": [one.name for one in chosen]}
    return save(space, page, paper="warden", out=out, data=data, says=count(len(chosen), "device"))
