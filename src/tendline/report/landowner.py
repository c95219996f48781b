"""Owns the landowner note: one owner's own ground, when somebody was there, what was caught, what went wrong.

Does not own the record (`stands`). It is handed one parcel and the stands on it, and nothing of anybody
else's.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from tendline.core.line import Parcel
from tendline.report.ground_map import Ground, draw_ground
from tendline.report.page import Block, Column, Heading, Lines, Page, Pairs, Picture, Table, Words
from tendline.report.paper_head import Desk, make_page
from tendline.report.paper_words import day_text, leave_text, spoken, when_text
from tendline.report.say import count, plain
from tendline.report.stands import Stand, Visit, incidents_of

MOST_DAYS = 31
"""So many days of visits are listed, the newest; the number of all is told."""


@dataclass(frozen=True)
class OwnGround:
    """All that goes into one owner's note.

    Parameters
    ----------
    parcel
        Their ground.
    stands
        Every stand on it in the days asked about, oldest first.
    first, last
        Those days, both included.
    ground
        What is drawn: devices that are out there now, and parkings, on this parcel alone.
    """

    parcel: Parcel
    stands: tuple[Stand, ...]
    first: date
    last: date
    ground: Ground


def landowner_page(desk: Desk, own: OwnGround) -> Page:
    """Put the note together."""
    settings, parcel = desk.settings, own.parcel
    out = [stand for stand in own.stands if stand.out]
    blocks: list[Block] = [
        Words(f"To {plain(parcel.owner) or 'the owner'}, from {plain(settings.handler) or 'the handler'}."),
        Pairs(
            (
                ("days told", f"{day_text(own.first)} to {day_text(own.last)}"),
                ("leave", leave_text(parcel, desk.day)),
                ("my phone", ""),
                ("my vehicle", ""),
                ("devices out now", str(len(out)) if out else "none: everything is taken up"),
                ("next time there", ""),
            )
        ),
        *_incidents(own, settings.zone),
        *_catches(own, settings.zone),
        *_visits(own, settings.zone),
        *_devices(out),
    ]
    files = {}
    if own.ground.marks:
        drawn = draw_ground(own.ground, settings.units)
        files["map.svg"] = drawn.svg
        names = ", ".join(plain(mark.name) for mark in own.ground.marks)
        blocks.append(Picture("map.svg", f"Map of {plain(parcel.title)} with {names}.", 0.8))
        blocks.append(Words("Dots: devices. Please keep dogs and stock away from them.", "note"))
    blocks.append(Lines(("gates found and left", "anything you want changed"), columns=1))
    return make_page(desk, title="Landowner note", subtitle=parcel.title, blocks=blocks, files=files)


def _incidents(own: OwnGround, zone: ZoneInfo) -> list[Block]:
    found = incidents_of(own.stands)
    blocks: list[Block] = [Heading("What you should know")]
    if not found:
        return [*blocks, Words("No incident is on record on your ground in these days.")]
    rows = tuple((when_text(one.at, zone), plain(one.set_name), plain(one.what)) for one in found)
    return [*blocks, Table((Column("when", 1.2), Column("set", 0.5), Column("what", 3.0)), rows)]


def _catches(own: OwnGround, zone: ZoneInfo) -> list[Block]:
    taken = sorted((t.catch for s in own.stands for t in s.taken), key=lambda c: (c.at, c.set_name))
    blocks: list[Block] = [Heading("Animals held")]
    if not taken:
        return [*blocks, Words("None.")]
    rows = tuple(
        (when_text(c.at, zone), plain(c.species), spoken(c.standing), spoken(c.fate), plain(c.set_name))
        for c in taken
    )
    heads = (
        Column("when", 1.3),
        Column("animal"),
        Column("standing"),
        Column("what became of it"),
        Column("set", 0.6),
    )
    return [*blocks, Table(heads, rows)]


def _visits(own: OwnGround, zone: ZoneInfo) -> list[Block]:
    by_day: dict[date, list[Visit]] = {}
    for stand in own.stands:
        for visit in stand.visits:
            by_day.setdefault(visit.at.astimezone(zone).date(), []).append(visit)
    days = sorted(by_day)
    blocks: list[Block] = [Heading(f"Days on your ground: {len(days)}")]
    if not days:
        return [*blocks, Words("No look is on record in these days.")]
    shown = days[-MOST_DAYS:]
    if len(shown) < len(days):
        blocks.append(Words(f"The newest {len(shown)} of {len(days)}.", "note"))
    rows = tuple((day_text(day), *_span(by_day[day], zone)) for day in shown)
    heads = (
        Column("day"),
        Column("from"),
        Column("to"),
        Column("looks", 0.6, right=True),
        Column("who", 1.6),
    )
    return [*blocks, Table(heads, rows)]


def _span(visits: Sequence[Visit], zone: ZoneInfo) -> tuple[str, str, str, str]:
    times = sorted(visit.at.astimezone(zone) for visit in visits)
    who = ", ".join(plain(name) for name in Counter(visit.by for visit in visits))
    return f"{times[0]:%H:%M}", f"{times[-1]:%H:%M}", str(len(visits)), who


def _devices(out: Sequence[Stand]) -> list[Block]:
    if not out:
        return []
    names = ", ".join(f"{plain(s.set_name)} (tag {plain(s.tag) or 'none'})" for s in out)
    return [Heading("Out there now"), Words(f"{count(len(out), 'device')}: {names}.")]
