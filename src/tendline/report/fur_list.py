"""Owns the fur list for a buyer: animals kept, one a line, with room for what only the buyer can say.

Does not own prices: none is ever suggested.
"""

from collections.abc import Mapping, Sequence

from tendline.core.units import Units
from tendline.report.page import Block, Column, Heading, Lines, Page, Pairs, Table, Words
from tendline.report.paper_head import Desk, make_page
from tendline.report.paper_words import day_text, mass_text
from tendline.report.returns import Told, county_of, in_order, seller
from tendline.report.say import plain
from tendline.report.stands import Stand, Taken


def buyer_page(desk: Desk, told: Told, *, species: Sequence[str] = ()) -> Page:
    """Put the list for a fur buyer together: animals kept, one a line, with room for grade and price."""
    wanted = {name.lower() for name in species}
    kept = [
        (stand, one)
        for stand, one in in_order(told.stands)
        if one.catch.fate == "kept" and (not wanted or one.catch.species.lower() in wanted)
    ]
    by_kind: dict[str, int] = {}
    for _, one in kept:
        by_kind[one.catch.species] = by_kind.get(one.catch.species, 0) + 1
    totals = ", ".join(f"{number} {plain(name)}" for name, number in sorted(by_kind.items())) or "none"
    columns = (
        Column("no.", 0.4, right=True),
        Column("taken on", 1.1),
        Column("kind", 1.0),
        Column("sex", 0.6, write=True),
        Column("weight", 0.7, write=True),
        Column("county", 0.9, write=True),
        Column("state", 0.6, write=True),
        Column("seal or tag", 0.8, write=True),
        Column("size, grade, damage", 1.5, write=True),
        Column("price", 0.8, write=True),
    )
    rows = tuple(_fur_row(desk, number, pair) for number, pair in enumerate(kept, 1))
    blocks: list[Block] = [
        Pairs((("days", told.days), ("in all", totals), ("date of sale", ""))),
        Heading("Seller"),
        seller(desk),
        Heading("Buyer"),
        Lines(("name", "licence", "address"), columns=3),
        Table(columns, rows) if rows else Words("No animal kept is on record in these days."),
        Lines(("number", "together", "seller signed", "buyer signed"), columns=4),
    ]
    return make_page(desk, title="Fur list", subtitle=desk.settings.name, blocks=blocks)


def _fur_row(desk: Desk, number: int, pair: tuple[Stand, Taken]) -> tuple[str, ...]:
    stand, one = pair
    return (
        str(number),
        day_text(one.catch.at.astimezone(desk.settings.zone).date()),
        plain(one.catch.species),
        _sex(one.told),
        _weight(one.told, desk.settings.units),
        county_of(desk, stand),
        *("", "", "", ""),
    )


def _sex(told: Mapping[str, object]) -> str:
    return str(told["sex"]) if told.get("sex") in ("female", "male") else ""


def _weight(told: Mapping[str, object], units: Units) -> str:
    kilograms = told.get("weight_kg")
    return mass_text(float(kilograms), units) if isinstance(kilograms, int | float) else ""
