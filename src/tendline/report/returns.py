"""Owns the papers for an authority: agency return and warden sheet. Blanks where unknown.

Does not own the record (`stands`) or what a law wants (`rules`): nothing is filled in that nobody recorded.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from tendline.core.line import Parcel, SetState
from tendline.core.people import PaperHeld
from tendline.report.page import Block, Column, Heading, Lines, Page, Pairs, Table, Words
from tendline.report.paper_head import Desk, make_page
from tendline.report.paper_words import (
    UNKNOWN,
    build_pairs,
    clear_text,
    day_text,
    leave_text,
    listed,
    loop_text,
    spoken,
)
from tendline.report.say import count, plain
from tendline.report.stands import Stand, Taken

EFFORT = (
    "Device-nights: one for every night that a device stood, from the day it was made to the day it was taken"
    " up. Nights in which it was down, closed, frozen or under snow are not taken off."
)


@dataclass(frozen=True)
class Told:
    """What was asked about: the stands, and the days, both included."""

    stands: tuple[Stand, ...]
    first: date
    last: date

    @property
    def days(self) -> str:
        """The days in words."""
        return f"{day_text(self.first)} to {day_text(self.last)}"


def seller(desk: Desk) -> Pairs:
    """Give who signs: name, papers, and lines for what is not on record."""
    papers = tuple((paper_name(one), _paper_words(one)) for one in desk.settings.papers)
    return Pairs((("name", plain(desk.settings.handler)), ("address", ""), ("phone", ""), *papers))


def paper_name(paper: PaperHeld) -> str:
    """Name a licence or certificate as a person reads it."""
    return plain(paper.name) or spoken(plain(paper.kind))


def _paper_words(paper: PaperHeld) -> str:
    good = f"{day_text(paper.first) or 'not said'} to {day_text(paper.last) or 'not said'}"
    carried = {True: ", carried", False: ", NOT carried", None: ""}[paper.carried]
    return f"{plain(paper.number) or 'number not recorded'}; good {good}{carried}"


def agency_page(desk: Desk, told: Told) -> Page:
    """Put the return together: every animal held, wanted or not, and the effort behind it."""
    taken = in_order(told.stands)
    blocks: list[Block] = [
        Pairs((("days", told.days), ("animals held", str(len(taken))))),
        seller(desk),
        Heading("Animals held"),
    ]
    columns = (
        Column("date", 1.2),
        Column("species", 1.2),
        Column("sex", 0.8, write=True),
        Column("county", 1.0, write=True),
        Column("town or unit", 1.0, write=True),
        Column("method", 1.1),
        Column("what became of it", 1.2),
        Column("seal or tag no.", 0.9, write=True),
    )
    rows = tuple(_agency_row(desk, stand, one) for stand, one in taken)
    blocks += [Table(columns, rows) if rows else Words("None.")]
    blocks += [Heading("Effort, by county"), *_effort(desk, told), Lines(("signed", "date"), columns=2)]
    return make_page(desk, title="Agency return", subtitle=desk.settings.name, blocks=blocks)


def in_order(stands: Sequence[Stand]) -> list[tuple[Stand, Taken]]:
    """Give every animal with the stand that held it, oldest first."""
    pairs = [(stand, one) for stand in stands for one in stand.taken]
    return sorted(pairs, key=lambda pair: (pair[1].catch.at, pair[1].catch.event))


def _agency_row(desk: Desk, stand: Stand, one: Taken) -> tuple[str, ...]:
    sex = str(one.told.get("sex", ""))
    fate = spoken(one.catch.fate)
    return (
        day_text(one.catch.at.astimezone(desk.settings.zone).date()),
        plain(one.catch.species),
        "" if sex == "unknown" else sex,
        county_of(desk, stand),
        "",
        spoken(stand.device_class) or UNKNOWN,
        f"{fate} ({spoken(one.catch.standing)})" if one.catch.standing != "target" else fate,
        "",
    )


def county_of(desk: Desk, stand: Stand) -> str:
    """Give the county a stand was in; empty when nobody recorded it."""
    parcel = desk.line.parcels.get(stand.parcel)
    return plain(str(parcel.told.get("county", ""))) if parcel is not None else ""


def _effort(desk: Desk, told: Told) -> list[Block]:
    groups: dict[tuple[str, str], list[Stand]] = {}
    for stand in told.stands:
        groups.setdefault((county_of(desk, stand), stand.device_class), []).append(stand)
    rows = tuple(
        (county, spoken(kind) or UNKNOWN, str(len(stands)), *_counts(desk, told, stands))
        for (county, kind), stands in sorted(groups.items())
    )
    columns = (
        Column("county", 1.2, write=True),
        Column("method", 1.2),
        Column("sets made", 0.8, right=True),
        Column("device-nights", 0.9, right=True),
        Column("looks", 0.7, right=True),
        Column("animals held", 0.8, right=True),
    )
    return [
        Table(columns, rows) if rows else Words("No device stood in these days."),
        *_effort_notes(desk, told),
    ]


def _counts(desk: Desk, told: Told, stands: Sequence[Stand]) -> tuple[str, str, str]:
    nights = [
        stand.nights(desk.settings.zone, first=told.first, last=told.last, now=desk.now) for stand in stands
    ]
    return (
        str(sum(n for n in nights if n is not None)),
        str(sum(len(stand.visits) for stand in stands)),
        str(sum(len(stand.taken) for stand in stands)),
    )


def _effort_notes(desk: Desk, told: Told) -> list[Block]:
    zone = desk.settings.zone
    open_ones = [
        s.set_name
        for s in told.stands
        if s.nights(zone, first=told.first, last=told.last, now=desk.now) is None
    ]
    notes: list[Block] = [Words(EFFORT, "note")]
    if open_ones:
        notes.append(
            Words(f"Not counted, because nobody recorded when they were made: {listed(open_ones)}.", "strong")
        )
    return notes


def warden_page(desk: Desk, sets: Sequence[SetState]) -> Page:
    """Put the sheet together that an officer is handed: papers, then every device out there."""
    blocks: list[Block] = [
        seller(desk),
        Words("Answers as recorded by the holder; the devices decide.", "note"),
    ]
    by_parcel: dict[str, list[SetState]] = {}
    for one in sets:
        by_parcel.setdefault(one.parcel, []).append(one)
    for name, here in sorted(by_parcel.items()):
        blocks += _on_parcel(desk, desk.line.parcels.get(name), here)
    return make_page(desk, title="Warden sheet", subtitle=desk.settings.name, blocks=blocks)


def _on_parcel(desk: Desk, parcel: Parcel | None, sets: Sequence[SetState]) -> list[Block]:
    title = plain(parcel.title) if parcel is not None else "On no property on record"
    leave = leave_text(parcel, desk.day) if parcel is not None else "no leave on record"
    owner = plain(parcel.owner) if parcel is not None else ""
    columns = (
        Column("set, tag", 0.8, big=True),
        Column("tag says", 1.0),
        Column("how it is built", 2.6),
        Column("how it hangs; within reach", 2.0),
        Column("last look", 1.2),
    )
    rows = tuple(_warden_row(desk, one) for one in sets)
    return [
        Heading(f"{title}: {count(len(sets), 'device')}"),
        Pairs((("owner", owner), ("leave", leave)), columns=2),
        Table(columns, rows),
    ]


_LEGAL = ("cable", "laid", "largest loop", "stop closes to", "stop", "lock", "lock lets go")
_MORE = ("lock has moving parts", "breakaway", "anchor end to lock", "swivels")


def _warden_row(desk: Desk, one: SetState) -> tuple[str, ...]:
    units = desk.settings.units
    built = dict(build_pairs(desk.line.devices.get(one.tag or ""), units))
    wanted = [f"{label} {built[label]}" for label in (*_LEGAL, *_MORE)]
    by = f"\nby {plain(one.looks[-1].by)}" if one.looks else ""
    return (
        f"{plain(one.name)}\n{f'tag {plain(one.tag)}' if one.tag else 'no tag on record'}",
        built["tag says"],
        "; ".join(wanted),
        f"{loop_text(one, units)}; {clear_text(one.told, units)}",
        f"{desk.when(one.last_seen)}{by}",
    )
