"""Owns the season's page of counts: what stood where, what it held, what was lost; every number is a count.

Does not own rates, ranges or ranking: those are worked out in `season`, and are not guessed here.
"""

from collections import Counter
from collections.abc import Sequence

from tendline.core.line import DeviceState
from tendline.report.page import Block, Column, Heading, Lines, Page, Pairs, Table, Words
from tendline.report.paper_head import Desk, make_page
from tendline.report.paper_words import spoken
from tendline.report.returns import EFFORT, Told, in_order
from tendline.report.say import plain
from tendline.report.stands import Stand, incidents_of

NO_RATES = "Counts only. Rates with their ranges, and what they can and cannot show: tendline season."


def season_page(desk: Desk, told: Told) -> Page:
    """Put the page together."""
    taken = in_order(told.stands)
    states = Counter(device.state for device in desk.line.devices.values())
    blocks: list[Block] = [
        Pairs(
            (
                ("days", told.days),
                ("sets made", str(len(told.stands))),
                ("looks", str(sum(len(stand.visits) for stand in told.stands))),
                *((state.value, str(states.get(state, 0))) for state in DeviceState),
            ),
            columns=4,
        ),
        *(
            [Words("The ledger does not add up: tendline audit says where.", "box")]
            if desk.line.unbalanced
            else []
        ),
        Heading("By property"),
        _by_parcel(desk, told),
        Heading("Animals held"),
        _animals(taken_words(told)),
        Heading("Incidents"),
        _incidents(desk, told),
        Heading("What the looks found"),
        _found(told.stands),
        Words(f"{EFFORT} {NO_RATES}", "note"),
        Lines(("keep, rest or drop; whom to thank, with what; what to build",), tall=4),
    ]
    if not taken:
        blocks.insert(1, Words("No animal was held in these days."))
    return make_page(desk, title="Season review", subtitle=desk.settings.name, blocks=blocks)


def taken_words(told: Told) -> tuple[tuple[str, str, str, str], ...]:
    """Count animals by species, standing and what became of them."""
    counted = Counter((t.catch.species, t.catch.standing, t.catch.fate) for _, t in in_order(told.stands))
    return tuple(
        (plain(species), spoken(standing), spoken(fate), str(number))
        for (species, standing, fate), number in sorted(counted.items())
    )


def _animals(rows: tuple[tuple[str, str, str, str], ...]) -> Block:
    heads = (
        Column("species"),
        Column("standing"),
        Column("what became of it"),
        Column("number", 0.5, right=True),
    )
    return Table(heads, rows) if rows else Words("None.")


def _by_parcel(desk: Desk, told: Told) -> Block:
    groups: dict[str, list[Stand]] = {}
    for stand in told.stands:
        groups.setdefault(stand.parcel, []).append(stand)
    rows = []
    for name, stands in sorted(groups.items()):
        parcel = desk.line.parcels.get(name)
        nights = [
            s.nights(desk.settings.zone, first=told.first, last=told.last, now=desk.now) for s in stands
        ]
        held = [t.catch for s in stands for t in s.taken]
        rows.append(
            (
                plain(parcel.title) if parcel is not None else "on no property on record",
                str(len(stands)),
                _nights(nights),
                str(sum(len(s.visits) for s in stands)),
                str(sum(c.standing == "target" for c in held)),
                str(sum(c.standing != "target" for c in held)),
                str(sum(s.how.startswith("lost") for s in stands)),
            )
        )
    heads = ("property", "sets", "device-nights", "looks", "target", "other", "lost")
    widths = (2.4, 0.6, 1.0, 0.7, 0.7, 0.7, 0.6)
    columns = tuple(
        Column(head, width, right=head != "property") for head, width in zip(heads, widths, strict=True)
    )
    return Table(columns, tuple(rows)) if rows else Words("No device stood in these days.")


def _nights(nights: Sequence[int | None]) -> str:
    known = sum(n for n in nights if n is not None)
    unknown = sum(n is None for n in nights)
    return f"{known} and {unknown} not known" if unknown else str(known)


def _incidents(desk: Desk, told: Told) -> Block:
    found = incidents_of(told.stands)
    lines = [f"{desk.when(one.at)}, set {plain(one.set_name)}: {plain(one.what)}" for one in found]
    return Words("\n".join(lines) or "None on record.")


def _found(stands: Sequence[Stand]) -> Block:
    counted = Counter((v.found_as.value, v.happened.value) for s in stands for v in s.visits)
    rows = tuple(
        (spoken(found), spoken(happened), str(number)) for (found, happened), number in counted.most_common()
    )
    heads = (Column("device was"), Column("what had happened"), Column("looks", 0.5, right=True))
    return Table(heads, rows) if rows else Words("No look is on record.")
