"""Owns the farm sheet: one property on paper for whoever works it, with map, numbers, houses, gates, leave.

Does not own the map (`ground_map`) or finding what is near (`jobs`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tendline.core.line import Parcel, Parking, SetState
from tendline.report.ground_map import Drawn, Ground, draw_ground
from tendline.report.page import Block, Column, Heading, Lines, NewPage, Page, Pairs, Picture, Table, Words
from tendline.report.paper_head import Desk, make_page
from tendline.report.paper_words import (
    day_text,
    degrees_text,
    leave_text,
    listed,
    loop_text,
    newest_leave,
    standing_text,
    yes_no,
)
from tendline.report.say import count, plain


@dataclass(frozen=True)
class Farm:
    """One property.

    Parameters
    ----------
    parcel, parkings, sets
        What it is, where it is walked from, what is on it.
    due
        By set, when it must be looked at, in words.
    ground
        What is drawn.
    near
        Houses near, each with its distance, in words.
    """

    parcel: Parcel
    parkings: tuple[Parking, ...]
    sets: tuple[SetState, ...]
    due: Mapping[str, str]
    ground: Ground
    near: tuple[str, ...] = ()


def farm_page(desk: Desk, farms: Sequence[Farm]) -> Page:
    """Put the sheets together, one property a page or more; `farms` holds at least one."""
    files, blocks = {}, list[Block]()
    for number, farm in enumerate(farms, 1):
        drawn = draw_ground(farm.ground, desk.settings.units)
        files[f"map-{number}.svg"] = drawn.svg
        blocks += [*([NewPage()] if number > 1 else []), *_farm(desk, farm, drawn, f"map-{number}.svg")]
    title = plain(farms[0].parcel.title) if len(farms) == 1 else desk.settings.name
    return make_page(desk, title="Farm sheet", subtitle=title, blocks=blocks, files=files)


def _farm(desk: Desk, farm: Farm, drawn: Drawn, file: str) -> list[Block]:
    parcel = farm.parcel
    title = plain(parcel.title)
    marks = ", ".join(f"{plain(mark.name)} in {drawn.squares[mark.name]}" for mark in farm.ground.marks)
    return [
        Heading(f"{title}: {count(len(farm.sets), 'device')} out"),
        Pairs(_who(desk, parcel), columns=3),
        *([Words(plain(parcel.note), "strong")] if parcel.note else []),
        Picture(file, f"Map of {title}: {marks or 'nothing on it'}."),
        Words(f"Squares are {drawn.side} wide; true north is up. Long dashes: bounds as drawn.", "note"),
        Words("Houses near: " + listed(farm.near)),
        *(_parking(parking) for parking in farm.parkings),
        _sets(desk, farm, drawn),
        Lines(("gates", "dogs, stock", "told the owner on"), columns=3),
        Lines(("notes",), tall=3),
    ]


def _who(desk: Desk, parcel: Parcel) -> tuple[tuple[str, str], ...]:
    leave = newest_leave(parcel)
    return (
        ("owner", plain(parcel.owner)),
        ("phone", plain(parcel.phone)),
        ("county", plain(str(parcel.told.get("county", "")))),
        ("leave", leave_text(parcel, desk.day)),
        ("leave names cable devices", yes_no(leave.names_cables if leave else None)),
        ("ask again before", day_text(leave.last) if leave else ""),
    )


def _parking(parking: Parking) -> Words:
    note = f" {plain(parking.note)}" if parking.note else ""
    return Words(f"Parking {plain(parking.name)}: {degrees_text(parking.place)}.{note}")


def _sets(desk: Desk, farm: Farm, drawn: Drawn) -> Block:
    if not farm.sets:
        return Words("No device is out here.")
    columns = (
        Column("set, tag", 0.7, big=True),
        Column("where", 1.6, lead=True),
        Column("how it hangs", 2.0),
        Column("last look, due", 1.7),
        Column("today", 0.9, write=True),
    )
    rows = tuple(
        (
            f"{plain(one.name)}\n{f'tag {plain(one.tag)}' if one.tag else 'no tag'}",
            f"{plain(one.landmark) or 'no landmark'}\nsquare {drawn.squares.get(one.name, '')}",
            f"{standing_text(one)}, for {plain(one.target) or 'no animal named'}\n"
            + loop_text(one, desk.settings.units),
            f"{desk.when(one.last_seen)}\n{farm.due.get(one.name, '')}",
            "",
        )
        for one in farm.sets
    )
    return Table(columns, rows)
