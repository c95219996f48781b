"""Owns the papers for damage work: the report to the client or permit office, and the invoice.

Does not own any price: every figure of an invoice is the person's own.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from tendline.core.line import Parcel
from tendline.report.page import Block, Column, Heading, Lines, Page, Pairs, Table, Words
from tendline.report.paper_head import Desk, make_page
from tendline.report.paper_words import day_text, spoken
from tendline.report.returns import EFFORT, Told, in_order, seller
from tendline.report.say import plain
from tendline.report.stands import incidents_of

CENT = Decimal("0.01")


@dataclass(frozen=True)
class Item:
    """One line of an invoice: what, how many, at how much each."""

    what: str
    number: Decimal
    each: Decimal

    @property
    def amount(self) -> Decimal:
        """What it comes to, to the cent, half a cent up."""
        return (self.number * self.each).quantize(CENT, ROUND_HALF_UP)


def damage_page(desk: Desk, parcel: Parcel, told: Told) -> Page:
    """Put the damage report for one client together; `told` holds the stands on their ground alone."""
    zone = desk.settings.zone
    nights = [stand.nights(zone, first=told.first, last=told.last, now=desk.now) for stand in told.stands]
    days = {v.at.astimezone(zone).date() for stand in told.stands for v in stand.visits}
    taken = in_order(told.stands)
    columns = (
        Column("date", 1.1),
        Column("species", 1.1),
        Column("number", 0.6, right=True),
        Column("method", 1.2),
        Column("disposition", 1.2),
        Column("stomach, sign of loss", 1.3, write=True),
    )
    rows = tuple(
        (
            day_text(one.catch.at.astimezone(zone).date()),
            plain(one.catch.species),
            "1",
            spoken(stand.device_class),
            f"{spoken(one.catch.fate)} ({spoken(one.catch.standing)})",
            "",
        )
        for stand, one in taken
    )
    blocks: list[Block] = [
        Pairs(
            (
                ("complainant", plain(parcel.owner)),
                ("address", ""),
                ("phone", plain(parcel.phone)),
                ("property", plain(parcel.title)),
                ("county", plain(str(parcel.told.get("county", "")))),
                ("permit", ""),
                ("days", f"{day_text(told.first)} to {day_text(told.last)}"),
                ("days worked", str(len(days))),
                ("looks", str(sum(len(stand.visits) for stand in told.stands))),
                ("sets made", str(len(told.stands))),
                ("device-nights", str(sum(n for n in nights if n is not None))),
                ("still out", str(sum(stand.out for stand in told.stands))),
            )
        ),
        Heading("The damage"),
        Lines(("stock or crop, kind", "losses before (number, dates)", "losses since", "value"), columns=2),
        Lines(("how it was found, and what shows which animal did it",), tall=3),
        Heading("Animals held"),
        Table(columns, rows) if rows else Words("None."),
        Heading("Incidents"),
        Words(_incidents(desk, told)),
        Heading("Stopping"),
        Words("Agreed beforehand: the work ends after these days without a loss, or on the last day."),
        Lines(("days without loss", "last day", "agreed with"), columns=3),
        Words(f"{EFFORT} {_open_nights(nights)}".strip(), "note"),
        seller(desk),
        Lines(("signed", "date"), columns=2),
    ]
    return make_page(desk, title="Damage report", subtitle=parcel.title, blocks=blocks)


def _incidents(desk: Desk, told: Told) -> str:
    found = incidents_of(told.stands)
    lines = [f"{desk.when(one.at)}, set {plain(one.set_name)}: {plain(one.what)}" for one in found]
    return "\n".join(lines) or "None on record."


def _open_nights(nights: Sequence[int | None]) -> str:
    unknown = sum(n is None for n in nights)
    return f"Sets without a time of making, not counted: {unknown}." if unknown else ""


def invoice_page(
    desk: Desk, parcel: Parcel, items: Sequence[Item], *, number: str, currency: str, work: tuple[date, date]
) -> Page:
    """Put the invoice together.

    Parameters
    ----------
    desk, parcel
        From whom, and for whose ground.
    items
        At least one.
    number, currency
        As the person writes them; may be empty.
    work
        First and last day of the work.
    """
    rows = tuple((plain(i.what), _figure(i.number), _price(i.each), f"{i.amount:.2f}") for i in items)
    total = sum((item.amount for item in items), Decimal(0))
    unit = f" ({plain(currency)})" if currency else ""
    columns = (
        Column("what", 3.0),
        Column("number", 0.8, right=True),
        Column(f"each{unit}", 1.0, right=True),
        Column(f"amount{unit}", 1.0, right=True),
    )
    blocks: list[Block] = [
        Pairs(
            (
                ("invoice no.", plain(number)),
                ("date", day_text(desk.day)),
                ("work done", f"{day_text(work[0])} to {day_text(work[1])}"),
                ("from", plain(desk.settings.handler)),
                ("address", ""),
                ("phone", ""),
                ("to", plain(parcel.owner)),
                ("property", plain(parcel.title)),
                ("their address", ""),
            )
        ),
        Table(columns, (*rows, ("Together, before any tax", "", "", f"{total:.2f}"))),
        Lines(("tax, if any is due", "to be paid by", "how"), columns=3),
        Words("Figures as entered; whether tax is due is for the person and their adviser.", "note"),
    ]
    return make_page(desk, title="Invoice", subtitle=parcel.title, blocks=blocks)


def _price(each: Decimal) -> str:
    """Write a price as entered, with two decimals or, where more were entered, with all of them."""
    return f"{each:.2f}" if each == each.quantize(CENT) else f"{each.normalize():f}"


def _figure(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
