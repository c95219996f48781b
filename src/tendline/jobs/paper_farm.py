"""Owns the jobs `tendline paper farm-sheet` and `landowner`: one property, for its worker and for its owner.

Does not own what stands on them (`report`).
"""

from collections.abc import Callable, Sequence

from tendline.almanac.geodesy import distance_m
from tendline.core.line import Parcel, Parking, SetState
from tendline.core.units import format_distance
from tendline.ground.shapes import outline_holds
from tendline.jobs.answer import Answer
from tendline.jobs.paper_ground import NEAR_M, Surroundings, ground_of, is_house, look_round, middle_of
from tendline.jobs.paper_page import desk_of, in_counting_order, parcels_asked, save
from tendline.jobs.paper_record import open_record, stood_in
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.workspace import Workspace
from tendline.plan.due import due_board
from tendline.report.farm_sheet import Farm, farm_page
from tendline.report.ground_map import Ground, Mark
from tendline.report.landowner import OwnGround, landowner_page
from tendline.report.paper_head import Desk
from tendline.report.say import count


def farm_sheet(
    space: Workspace,
    *,
    parcels: Sequence[str] = (),
    out: str | None = None,
    tell: Callable[[str], None] = lambda _: None,
) -> Answer:
    """Write the sheets of some properties, or of all, for whoever works them.

    Raises
    ------
    Refused
        JOB-301, JOB-611, RULE-xxx, GND-xxx, JOB-104, REP-102.
    """
    desk = desk_of(space)
    chosen = parcels_asked(desk, parcels)
    here = {parcel.name for parcel in chosen}
    sets = [one for one in in_counting_order(desk.line.in_field) if one.parcel in here]
    around = look_round(space, desk.line, sets, tell=tell)
    board = due_board(
        desk.line, profiles=profiles_in_use(space, desk.line), settings=desk.settings, now=desk.now
    )
    due = {}
    for row in board:
        mark = "" if row.answer.verified else ", NOT VERIFIED"
        words = f"due {desk.when(row.answer.due_at)}{mark}" if row.answer.due_at else "no limit can be told"
        due[row.set_name] = words
    farms = [
        _farm(around, parcel, [one for one in sets if one.parcel == parcel.name], due) for parcel in chosen
    ]
    about = chosen[0].name if len(chosen) == 1 else ""
    return save(
        space,
        farm_page(desk, farms),
        paper="farm-sheet",
        about=about,
        out=out,
        data={"parcels": [parcel.name for parcel in chosen], "sets": [one.name for one in sets]},
        says=f"{count(len(chosen), 'property', 'properties')}, {count(len(sets), 'device')}",
        warnings=desk.line.warnings,
    )


def _farm(around: Surroundings, parcel: Parcel, sets: Sequence[SetState], due: dict[str, str]) -> Farm:
    parkings = [p for _, p in sorted(around.line.parkings.items()) if parcel.name in p.parcels]
    ground = ground_of(
        around, sets, parkings=[p.name for p in parkings], parcels=[parcel.name], whole_bounds=True
    )
    return Farm(parcel, tuple(parkings), tuple(sets), due, ground, _houses(around, sets))


def _houses(around: Surroundings, sets: Sequence[SetState]) -> tuple[str, ...]:
    """Say how far each house near is from the nearest set."""
    units, told = around.units, []
    for feature in around.features if sets else ():
        if not is_house(feature):
            continue
        place = middle_of(feature)
        metres, nearest = min((distance_m(one.fix.place, place), one.name) for one in sets)
        if metres <= NEAR_M:
            name = feature.name or feature.feature_class.value
            told.append(f"{name} {format_distance(metres, units)} from {nearest}")
    return tuple(told)


def landowner_note(
    space: Workspace,
    parcel: str,
    *,
    first: str | None = None,
    last: str | None = None,
    out: str | None = None,
) -> Answer:
    """Write the note for one owner: their ground alone, incidents not hidden.

    Raises
    ------
    Refused
        JOB-301, JOB-611, CORE-201, JOB-104, REP-102.
    """
    record = open_record(space, first=first, last=last)
    (own,) = parcels_asked(record.desk, [parcel])
    stands = stood_in(record.on(own.name), record)
    desk = only_own(record.desk, own)
    page = landowner_page(desk, OwnGround(own, stands, record.first, record.last, own_ground(desk, own)))
    return save(
        space,
        page,
        paper="landowner",
        about=own.name,
        out=out,
        data={"parcels": [own.name], "sets": sorted({s.set_name for s in stands if s.out})},
        says=f"{count(len(stands), 'set')} told",
    )


def only_own(desk: Desk, own: Parcel) -> Desk:
    """Take everything but one parcel out of the line: what is not there cannot be shown."""
    line = desk.line
    tags = {one.tag for one in line.sets.values() if one.parcel == own.name}
    narrowed = type(line)(
        at=line.at,
        parcels={own.name: own},
        parkings={p.name: _own_parking(p, own) for p in line.parkings.values() if own.name in p.parcels},
        landmarks={},
        devices={tag: device for tag, device in line.devices.items() if tag in tags},
        sets={one.name: one for one in line.sets.values() if one.parcel == own.name},
    )
    return Desk(desk.settings, narrowed, desk.now, desk.made_from)


def _own_parking(parking: Parking, own: Parcel) -> Parking:
    return Parking(parking.name, parking.place, (own.name,), parking.note)


def own_ground(desk: Desk, own: Parcel) -> Ground:
    """Give the map of one parcel: its bounds, devices on it, parkings inside it; no neighbour's house."""
    line = desk.line
    marks = [Mark("set", one.name, one.fix.place) for one in line.in_field]
    marks += [
        Mark("parking", p.name, p.place)
        for p in line.parkings.values()
        if outline_holds(own.outline, p.place)
    ]
    return Ground(tuple(marks), (own.outline,), whole_bounds=True)
