"""Owns the forms for a study: one capture form for each animal held, and every contact with a device.

Does not own efficiency, selectivity or injury scores (`season`, and the protocol), and gives no drug or dose:
the form has lines for what the licensed person writes.
"""

from datetime import datetime

from tendline.core.words import Happened
from tendline.report.page import Block, Column, Heading, Lines, NewPage, Page, Pairs, Table, Ticks, Words
from tendline.report.paper_head import Desk, make_page
from tendline.report.paper_words import day_text, degrees_text, mass_text, spoken
from tendline.report.returns import EFFORT, Told, in_order
from tendline.report.say import count, plain
from tendline.report.stands import Stand, Taken

_NO_CONTACT = {
    Happened.NOTHING,
    Happened.WIND,
    Happened.SNOW,
    Happened.FREEZE,
    Happened.THAW,
}
"""What is no contact with a device or its place; what nobody knows is listed, for the protocol to judge."""


def study_page(desk: Desk, told: Told) -> Page:
    """Put the forms together: effort, contacts, then a form for each animal."""
    taken = in_order(told.stands)
    blocks: list[Block] = [*_effort(desk, told), *_contacts(desk, told)]
    for number, (stand, one) in enumerate(taken, 1):
        blocks += [NewPage(), *_capture(desk, stand, one, number)]
    return make_page(desk, title="Study forms", subtitle=desk.settings.name, blocks=blocks)


def _effort(desk: Desk, told: Told) -> list[Block]:
    zone = desk.settings.zone
    rows = []
    for stand in told.stands:
        nights = stand.nights(zone, first=told.first, last=told.last, now=desk.now)
        ended = desk.when(stand.ended) if stand.ended is not None else "still out"
        made = desk.when(stand.made_at) if stand.made_at is not None else "not recorded"
        looks = str(len(stand.visits))
        rows.append((plain(stand.set_name), plain(stand.tag), made, ended, _figure(nights), "", looks))
    columns = (
        Column("set", 0.6),
        Column("tag", 0.6),
        Column("made", 1.6),
        Column("taken up", 1.6),
        Column("nights", 0.6, right=True),
        Column("of these inoperative", 0.9, write=True),
        Column("looks", 0.5, right=True),
    )
    return [
        Pairs((("days", told.days), ("sets", str(len(told.stands))), ("protocol, permit", ""))),
        Heading("Device-nights"),
        Words(EFFORT, "note"),
        Table(columns, tuple(rows)) if rows else Words("No device stood in these days."),
    ]


def _figure(nights: int | None) -> str:
    return "not known" if nights is None else str(nights)


def _contacts(desk: Desk, told: Told) -> list[Block]:
    found = [(v, s) for s in told.stands for v in s.visits if v.happened not in _NO_CONTACT]
    found.sort(key=lambda pair: (pair[0].at, pair[1].set_name))
    rows = tuple(
        (
            desk.when(v.at),
            plain(s.set_name),
            plain(v.species),
            spoken(v.how_sure),
            spoken(v.happened.value),
            spoken(v.found_as.value),
        )
        for v, s in found
    )
    heads = ("found", "set", "species", "how sure", "how it ended", "device was")
    widths = (1.5, 0.5, 1.0, 1.0, 1.3, 1.1)
    columns = tuple(Column(head, width) for head, width in zip(heads, widths, strict=True))
    return (
        [Heading(f"Contacts: {count(len(rows), 'on record', 'on record')}"), Table(columns, rows)]
        if rows
        else []
    )


def _capture(desk: Desk, stand: Stand, one: Taken, number: int) -> list[Block]:
    catch, told = one.catch, one.told
    before = _seen_before(stand, catch.at)
    held = (
        f"at most {(catch.at - before).total_seconds() / 3600:.1f} h" if before is not None else "not known"
    )
    weight = told.get("weight_kg")
    return [
        Heading(f"Capture {number}: {plain(catch.species)}, set {plain(stand.set_name)}"),
        Pairs(
            (
                ("found", desk.when(catch.at)),
                ("device last seen before", desk.when(before)),
                ("held", held),
                ("set made", desk.when(stand.made_at)),
                ("tag of the device", plain(catch.tag or "")),
                ("place", degrees_text(stand.fix.place) if stand.fix is not None else ""),
                ("standing", spoken(catch.standing)),
                ("what became of it", spoken(catch.fate)),
                ("held by", plain(str(told.get("held_by", "")))),
                ("sex", plain(str(told.get("sex", "")))),
                ("weight", mass_text(float(weight), desk.settings.units) if weight is not None else ""),
                ("age, by", ""),
                ("condition", plain(str(told.get("condition", "")))),
                ("air temperature", ""),
                ("observer", plain(catch.by)),
            )
        ),
        Ticks(("neck", "body", "leg or foot", "tangled", "device intact", "at its stop"), columns=3),
        Heading("Injuries, as the protocol scores them", 3),
        Lines(("whole-body examination", "points, and by which table"), tall=2),
        Heading("Handling, written by the licensed person", 3),
        Lines(("drug and dose given by", "time", "route", "second"), columns=4),
        Lines(("time", "temperature", "heart rate", "breathing"), columns=4),
        Lines(("time", "temperature", "heart rate", "breathing"), columns=4),
        Heading("Marks, samples, release", 3),
        Lines(("ear tag", "collar, frequency", "samples", "photographs"), columns=2),
        Lines(("released at, behaviour", "found later"), columns=2),
        Words(f"Form of {day_text(desk.day)}; what is blank nobody has recorded.", "note"),
    ]


def _seen_before(stand: Stand, at: datetime) -> datetime | None:
    """Give the last time the device was seen before the animal was found in it."""
    looks = [v.at for v in stand.visits if v.at < at and v.found_as.was_seen]
    return looks[-1] if looks else stand.made_at
