"""Owns the set card for the shed: how a set is built, how it hangs, what it has seen; and the incident form.

Does not own the words for builds and heights (`paper_words`).
"""

from collections.abc import Sequence

from tendline.core.line import Device, SetState
from tendline.core.units import format_small
from tendline.report.codes import legend
from tendline.report.page import Block, Column, Heading, Lines, NewPage, Page, Pairs, Table, Ticks, Words
from tendline.report.paper_head import Desk, make_page
from tendline.report.paper_words import (
    UNKNOWN,
    anchor_text,
    build_pairs,
    clear_text,
    degrees_text,
    height_text,
    spoken,
    standing_text,
)
from tendline.report.say import count, plain
from tendline.report.stands import Stand, Visit

MOST_VISITS = 40
"""So many looks stand on a card, the newest; a longer history is in the record."""


def card_page(desk: Desk, sets: Sequence[tuple[SetState, Stand | None]]) -> Page:
    """Put the cards together, each on a page of its own; `sets` holds at least one."""
    blocks: list[Block] = []
    for number, (one, stand) in enumerate(sets):
        device = desk.line.devices.get(one.tag or "")
        blocks += [*([NewPage()] if number else []), *_card(desk, one, device, stand)]
    subtitle = plain(sets[0][0].name) if len(sets) == 1 else desk.settings.name
    return make_page(desk, title="Set card", subtitle=subtitle, blocks=blocks)


def _card(desk: Desk, one: SetState, device: Device | None, stand: Stand | None) -> list[Block]:
    units = desk.settings.units
    parcel = desk.line.parcels.get(one.parcel)
    loop = format_small(one.loop_m, units) if one.loop_m is not None else UNKNOWN
    return [
        Heading(f"Set {plain(one.name)}, {f'tag {plain(one.tag)}' if one.tag else 'no tag on record'}"),
        Pairs(
            (
                ("property", plain(parcel.title) if parcel is not None else "on no property on record"),
                ("landmark", plain(one.landmark)),
                ("place", degrees_text(one.fix.place)),
                ("for", plain(one.target)),
                ("made", f"{desk.when(one.made_at)} by {plain(one.made_by)}"),
                ("stands", standing_text(one)),
            )
        ),
        Heading("How it hangs", 3),
        Pairs(
            (
                ("loop", loop),
                ("bottom of loop", height_text(one.bottom, units)),
                ("top of loop", height_text(one.top, units)),
                ("anchor", anchor_text(one.told, units)),
                ("within reach", clear_text(one.told, units)),
                ("remade on", ""),
            )
        ),
        Heading("How it is built", 3),
        Pairs(tuple(pair for pair in build_pairs(device, units) if pair[1] != UNKNOWN), columns=4),
        Words(_unknown_build(device, desk), "note"),
        *_history(desk, stand),
    ]


def _unknown_build(device: Device | None, desk: Desk) -> str:
    open_ones = [label for label, value in build_pairs(device, desk.settings.units) if value == UNKNOWN]
    return (
        f"Not recorded: {', '.join(open_ones)}." if open_ones else "Everything asked of a build is recorded."
    )


def _history(desk: Desk, stand: Stand | None) -> list[Block]:
    visits = stand.visits if stand is not None else []
    shown = visits[-MOST_VISITS:]
    more = f", the newest {len(shown)}" if len(visits) > len(shown) else ""
    blocks: list[Block] = [Heading(f"Since it was made: {count(len(visits), 'look')}{more}", 3)]
    if shown:
        columns = (
            Column("when", 1.5),
            Column("found", 1.0),
            Column("what had happened", 1.4),
            Column("done", 0.8),
            Column("left", 0.7),
            Column("by", 0.8),
        )
        blocks.append(Table(columns, tuple(_visit_row(desk, visit) for visit in shown)))
    return blocks


def _visit_row(desk: Desk, visit: Visit) -> tuple[str, ...]:
    what = spoken(visit.happened.value)
    species = f" ({plain(visit.species)})" if visit.species else ""
    return (
        desk.when(visit.at),
        spoken(visit.found_as.value),
        f"{what}{species}",
        spoken(visit.done),
        spoken(visit.left_as.value),
        plain(visit.by),
    )


KINDS = (
    "dog",
    "farm animal or pet",
    "non-target wild animal",
    "protected animal",
    "person on the ground",
    "theft or tampering",
    "person hurt",
    "damage to property",
    "device lost",
)

FIRST = (
    "People first: anybody hurt or bitten sees a physician. Then the animal; a protected or sick animal: call"
    " the agency before touching it. A dog: its owner and, where required or doubtful, the warden. Tell the"
    " landowner the same day."
)


def incident_page(desk: Desk, one: SetState | None) -> Page:
    """Put the incident form together: filled in as far as the record goes for a set, else blank."""
    parcel = desk.line.parcels.get(one.parcel) if one is not None else None
    known = (
        ("set", plain(one.name) if one is not None else ""),
        ("tag", plain(one.tag or "") if one is not None else ""),
        ("property", plain(parcel.title) if parcel is not None else ""),
        ("owner", plain(parcel.owner) if parcel is not None else ""),
        ("owner's phone", plain(parcel.phone) if parcel is not None else ""),
        ("last look before", desk.when(one.last_seen) if one is not None else ""),
        ("place", degrees_text(one.fix.place) if one is not None else ""),
        ("handler", plain(desk.settings.handler)),
        ("seen by", ""),
    )
    blocks: list[Block] = [
        Words(FIRST, "box"),
        Pairs(known),
        Heading("What it was"),
        Ticks(KINDS, columns=3),
        Lines(("date and time found", "how long it may have been so", "weather, snow"), columns=3),
        Lines(("species, sex, size, marks, collar or owner's tag",)),
        Lines(("how held (neck, body, leg), condition, injuries",), tall=2),
        Lines(("how the device was found; loop, stop, breakaway, lock, anchor",), tall=2),
        Lines(("what was done, and what became of the animal",), tall=3),
        Heading("Who was told"),
        Table(
            (
                Column("who", 1.2),
                Column("name", 1.4, write=True),
                Column("phone", 1.0, write=True),
                Column("when", 0.9, write=True),
                Column("what they said", 1.8, write=True),
            ),
            tuple(
                (who, "", "", "", "") for who in ("landowner", "animal's owner", "agency or warden", "other")
            ),
        ),
        Lines(("photographs (number; kept where)", "other witnesses"), columns=2),
        Lines(("signed", "date and time"), columns=2),
        Words(f"Codes for the route card: {', '.join(f'{code} {word}' for code, word in legend())}.", "note"),
    ]
    return make_page(desk, title="Incident form", subtitle=desk.settings.name, blocks=blocks)
