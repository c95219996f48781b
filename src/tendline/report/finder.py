"""Owns the finder sheet: what another person needs to reach and take up every device, from paper alone.

Does not own its standing words (`finder_words`), the map (`ground_map`), nor finding the ways (`jobs`).
"""

from collections.abc import Sequence

from tendline.core.line import SetState
from tendline.core.units import Units, format_distance, format_minutes
from tendline.report.finder_facts import FinderFacts, Found, Leg, Property, Stop
from tendline.report.finder_words import CLOSING, FINDER_FOOT, GOING, HELD, NEED
from tendline.report.ground_map import Drawn, draw_ground
from tendline.report.page import (
    Block,
    Column,
    Gallery,
    Heading,
    Lines,
    NewPage,
    Page,
    Pairs,
    Picture,
    Table,
    Ticks,
    Words,
)
from tendline.report.paper_head import Desk, make_page
from tendline.report.paper_words import (
    anchor_text,
    degrees_text,
    leave_text,
    loop_text,
    standing_text,
    way_text,
)
from tendline.report.say import count, plain

LEGEND = (
    "Filled dot: set. P: parking. Triangle: landmark. House: dwelling. Two bars: crossing. Thin dashes: way"
    " on foot. Long dashes: bounds of the property. Dots: barrier."
)
PACES = "One pace is one step of 2 1/2 ft (76 cm). Bearings are from true north, in a straight line."


def finder_page(facts: FinderFacts) -> Page:
    """Put the sheet together.

    Parameters
    ----------
    facts
        At least one property with a set.
    """
    units = facts.desk.settings.units
    total = sum(len(one.sets) for one in facts.properties)
    files: dict[str, bytes] = dict(facts.photos)
    blocks = [*_cover(facts, total), *_overview(facts, files)]
    for number, one in enumerate(facts.properties, 1):
        drawn = draw_ground(one.ground, units)
        files[f"map-{number}.svg"] = drawn.svg
        blocks += [NewPage(), *_property(facts.desk, one, drawn, number)]
    blocks += _count(total)
    return make_page(
        facts.desk,
        title="Finder sheet",
        subtitle=facts.desk.settings.name,
        blocks=blocks,
        foot=FINDER_FOOT,
        files=files,
    )


def _cover(facts: FinderFacts, total: int) -> list[Block]:
    handler = plain(facts.desk.settings.handler) or "the handler"
    told = f"{count(total, 'device')} on {count(len(facts.properties), 'property', 'properties')}"
    return [
        Words(f"{told}, set by {handler}. This sheet is to reach and take up every one of them.", "box"),
        *([Words(facts.left_out, "strong")] if facts.left_out else []),
        Heading("Before you go"),
        Pairs(tuple((who, phone) for who, phone in facts.calls), columns=3),
        Words("\n".join(facts.law), "box"),
        Ticks(GOING),
        Heading("An animal held, a dog, a person"),
        *(Words(words) for words in HELD),
        Heading("Closing a set and taking it up"),
        Words(NEED, "note"),
        Ticks(CLOSING),
    ]


def _overview(facts: FinderFacts, files: dict[str, bytes]) -> list[Block]:
    rows = tuple(
        (
            str(number),
            one.title,
            "\n".join(_parking_words(stop) for stop in one.stops),
            one.due,
            str(len(one.sets)),
            "",
        )
        for number, one in enumerate(facts.properties, 1)
    )
    columns = (
        Column("no.", 0.3, big=True),
        Column("property", 1.2),
        Column("parking, drive", 2.2),
        Column("first look due by", 1.1),
        Column("devices", 0.5, right=True),
        Column("taken up", 0.7, write=True),
    )
    blocks: list[Block] = [NewPage(), Heading("The properties, in order"), Table(columns, rows)]
    if facts.whole is not None:
        files["whole.svg"] = draw_ground(facts.whole, facts.desk.settings.units).svg
        names = ", ".join(plain(mark.name) for mark in facts.whole.marks)
        blocks.append(Picture("whole.svg", f"Map of the whole line with its parkings: {names}.", 0.85))
        blocks.append(Words(LEGEND, "note"))
    return blocks


def _parking_words(stop: Stop) -> str:
    if stop.parking is None:
        return "no parking on record"
    drives = f": {'; '.join(stop.drives)}" if stop.drives else ""
    note = f". {plain(stop.parking.note)}" if stop.parking.note else ""
    return f"{plain(stop.parking.name)}, {degrees_text(stop.parking.place)}{drives}{note}"


def _property(desk: Desk, one: Property, drawn: Drawn, number: int) -> list[Block]:
    blocks: list[Block] = [Heading(f"{number}. {one.title}: {count(len(one.sets), 'device')}")]
    blocks.append(_owner(desk, one))
    if one.parcel is not None and one.parcel.note:
        blocks.append(Words(plain(one.parcel.note), "strong"))
    marks = ", ".join(f"{plain(m.name)} in {drawn.squares[m.name]}" for m in one.ground.marks)
    side = f" Squares are {drawn.side} wide."
    blocks += [
        Picture(f"map-{number}.svg", f"Map of {one.title}: {marks}."),
        Words(f"{LEGEND}{side} {PACES}", "note"),
    ]
    for stop in one.stops:
        blocks += [Heading(f"Park: {_parking_words(stop)}", 3), _sets(desk, stop, drawn)]
    blocks += _photos(one.sets)
    blocks.append(
        Lines((f"Of {len(one.sets)} here, taken up", "left in place", "not found", "when, by"), columns=4)
    )
    return blocks


def _owner(desk: Desk, one: Property) -> Pairs:
    parcel = one.parcel
    if parcel is None:
        return Pairs((("owner", "not on record"), ("phone", ""), ("leave", "no leave on record")))
    return Pairs(
        (
            ("owner", plain(parcel.owner)),
            ("phone", plain(parcel.phone)),
            ("leave on record", leave_text(parcel, desk.day)),
        )
    )


def _sets(desk: Desk, stop: Stop, drawn: Drawn) -> Table:
    columns = (
        Column("set, tag", 0.75, big=True),
        Column("how to get to it", 2.4, lead=True),
        Column("what is there", 2.2, lead=True),
        Column("tick, time", 0.85, ticks=("found", "closed", "taken up")),
    )
    rows = tuple(
        (
            _name_words(found.one, drawn),
            _reach_words(found, desk.settings.units),
            _there_words(found, desk),
            ":",
        )
        for found in stop.sets
    )
    return Table(columns, rows)


def _name_words(one: SetState, drawn: Drawn) -> str:
    return f"{plain(one.name)}\n{_tag_words(one)}\nsquare {drawn.squares.get(one.name, '')}"


def _tag_words(one: SetState) -> str:
    return f"tag {plain(one.tag)}" if one.tag else "no tag on record"


def _reach_words(found: Found, units: Units) -> str:
    one = found.one
    accuracy = one.fix.accuracy_m
    within = f", good to {format_distance(accuracy, units)}" if accuracy is not None else ""
    lines = [plain(one.landmark) or "no landmark on record", f"{degrees_text(one.fix.place)}{within}"]
    lines += [_leg_words(leg, units) for leg in found.legs]
    return "\n".join(lines)


def _leg_words(leg: Leg, units: Units) -> str:
    words = f"from {plain(leg.start)}: {way_text(leg.metres, leg.bearing_deg, units)}"
    if leg.walk_s is not None and leg.walk_m is not None and not (leg.estimated and leg.meets):
        # Ways are found from cell to cell, and may come out a step shorter than the straight line.
        on_foot = max(leg.walk_m, leg.metres)
        about = "about " if leg.estimated else ""
        words += f"; on foot {about}{format_distance(on_foot, units)}, {format_minutes(leg.walk_s)}"
    if leg.meets:
        words += f"; the straight line meets {', '.join(map(plain, leg.meets))}: go round"
    return words


def _there_words(found: Found, desk: Desk) -> str:
    one, units = found.one, desk.settings.units
    lines = [
        f"{standing_text(one)}; for {plain(one.target) or 'no animal named'}",
        loop_text(one, units),
        f"anchor: {anchor_text(one.told, units)}",
        f"last look {desk.when(one.last_seen)}; {found.due}",
        plain(one.note),
    ]
    return "\n".join(line for line in lines if line)


def _photos(sets: Sequence[Found]) -> list[Block]:
    shown = [found for found in sets if found.photo]
    if not shown:
        return [Words("No photograph of these sets is on record.", "note")]
    pictures = tuple(
        Picture(
            found.photo,
            f"Photograph of set {plain(found.one.name)}: {plain(found.one.landmark)}.",
            caption=f"{plain(found.one.name)}, {_tag_words(found.one)}",
        )
        for found in shown
    )
    return [Heading("Photographs", 3), Gallery(pictures)]


def _count(total: int) -> list[Block]:
    return [
        Heading("The count"),
        Words(
            f"{count(total, 'device')} on this sheet. Taken up, left in place, not found: must make {total}."
        ),
        Lines(("taken up", "left in place", "not found", "together"), columns=4),
        Lines(("tags not found",), tall=2),
        Lines(("name", "date and time", "given back to"), columns=3),
    ]
