"""Owns the jobs `tendline paper agency`, `fur-list`, `study`, `season`, `damage` and `invoice`.

Does not own what stands on them (`report`).
"""

from collections.abc import Callable, Sequence
from datetime import timedelta
from decimal import Decimal, InvalidOperation

from tendline.core.errors import FaultList
from tendline.core.when import local_day
from tendline.jobs.answer import Answer
from tendline.jobs.faults import WORD
from tendline.jobs.paper_farm import only_own
from tendline.jobs.paper_page import parcels_asked, save
from tendline.jobs.paper_record import open_record, stood_in
from tendline.jobs.season import AskedSeason, season_told, season_window
from tendline.jobs.workspace import Workspace
from tendline.report.damage import Item, damage_page, invoice_page
from tendline.report.fur_list import buyer_page
from tendline.report.page import Page
from tendline.report.paper_head import Desk
from tendline.report.returns import Told, agency_page
from tendline.report.say import count
from tendline.report.season_page import season_page
from tendline.report.study import study_page

MOST_ITEMS = 60


def agency_return(
    space: Workspace, *, first: str | None = None, last: str | None = None, out: str | None = None
) -> Answer:
    """Write the return for the agency: every animal held and the effort, blanks where nobody recorded it.

    Raises
    ------
    Refused
        CORE-201, JOB-301, JOB-104, REP-102.
    """
    return _of_days(space, "agency", agency_page, first=first, last=last, out=out)


def study_forms(
    space: Workspace, *, first: str | None = None, last: str | None = None, out: str | None = None
) -> Answer:
    """Write the forms of a study: effort, contacts, one form for each animal held.

    Raises
    ------
    Refused
        CORE-201, JOB-301, JOB-104, REP-102.
    """
    return _of_days(space, "study", study_page, first=first, last=last, out=out)


def season_review(space: Workspace, asked: AskedSeason, *, out: str | None = None) -> Answer:
    """Write the season's pages: the figures of `tendline season`, then what was counted.

    Parameters
    ----------
    space
        The opened line.
    asked
        As of `tendline season`; the season that holds the present when nothing is said.
    out
        Where to write the PDF.

    Raises
    ------
    Refused
        SEA-201, SEA-202, CORE-201, JOB-301, JOB-104, REP-102; RULE-1xx.
    """
    season, (_, window) = season_told(space, asked), season_window(space, asked)
    zone = space.settings.zone
    begins, ends = local_day(window.start, zone), local_day(window.end - timedelta(seconds=1), zone)
    days = {"first": str(begins), "last": str(max(begins, min(ends, local_day(space.now, zone))))}
    wrong = len(season.review.faults)
    return _of_days(
        space,
        "season",
        lambda desk, told: season_page(desk, told, season),
        **days,
        out=out,
        warnings=(f"{count(wrong, 'thing')} wrong on record: tendline season names them",) if wrong else (),
    )


def fur_list(
    space: Workspace,
    *,
    species: Sequence[str] = (),
    first: str | None = None,
    last: str | None = None,
    out: str | None = None,
) -> Answer:
    """Write the list for a fur buyer: animals kept, of some species or of all.

    Raises
    ------
    Refused
        CORE-201, JOB-301, JOB-104, REP-102.
    """

    def page(desk: Desk, told: Told) -> Page:
        return buyer_page(desk, told, species=species)

    return _of_days(space, "fur-list", page, first=first, last=last, out=out)


def _of_days(
    space: Workspace,
    paper: str,
    page: Callable[[Desk, Told], Page],
    *,
    first: str | None,
    last: str | None,
    out: str | None,
    warnings: Sequence[str] = (),
) -> Answer:
    record = open_record(space, first=first, last=last)
    told = Told(stood_in(record.stands, record), record.first, record.last)
    animals = sum(len(stand.taken) for stand in told.stands)
    return save(
        space,
        page(record.desk, told),
        paper=paper,
        out=out,
        data={"first": str(record.first), "last": str(record.last), "animals": animals},
        says=f"{told.days}: {count(len(told.stands), 'set')}, {count(animals, 'animal')} held",
        warnings=(*record.desk.line.warnings, *warnings),
    )


def damage_report(
    space: Workspace,
    parcel: str,
    *,
    first: str | None = None,
    last: str | None = None,
    out: str | None = None,
) -> Answer:
    """Write the damage report for one client: their ground alone.

    Raises
    ------
    Refused
        CORE-201, JOB-301, JOB-611, JOB-104, REP-102.
    """
    record = open_record(space, first=first, last=last)
    (own,) = parcels_asked(record.desk, [parcel])
    told = Told(stood_in(record.on(own.name), record), record.first, record.last)
    animals = sum(len(stand.taken) for stand in told.stands)
    return save(
        space,
        damage_page(only_own(record.desk, own), own, told),
        paper="damage",
        about=own.name,
        out=out,
        data={
            "parcels": [own.name],
            "first": str(record.first),
            "last": str(record.last),
            "animals": animals,
        },
        says=f"{told.days}: {count(animals, 'animal')} held",
    )


def invoice(
    space: Workspace,
    parcel: str,
    *,
    items: Sequence[str],
    number: str = "",
    currency: str = "",
    first: str | None = None,
    last: str | None = None,
    out: str | None = None,
) -> Answer:
    """Write an invoice for one client from lines as entered; nothing is priced by tendline.

    Parameters
    ----------
    space, parcel
        The opened line, and the client's ground.
    items
        Each ``what;number;each``.
    number, currency
        As they are to stand on it.
    first, last
        Days of the work.
    out
        Where to write the PDF.

    Raises
    ------
    Refused
        JOB-301 for every line that cannot be read; CORE-201, JOB-611, JOB-104, REP-102.
    """
    record = open_record(space, first=first, last=last)
    (own,) = parcels_asked(record.desk, [parcel])
    read = _items(items)
    work = (record.first, record.last)
    page = invoice_page(only_own(record.desk, own), own, read, number=number, currency=currency, work=work)
    total = f"{sum((item.amount for item in read), Decimal(0)):.2f}"
    data = {"parcels": [own.name], "total": total}
    return save(space, page, paper="invoice", about=own.name, out=out, data=data, says=f"together {total}")


def _items(texts: Sequence[str]) -> tuple[Item, ...]:
    faults, items = FaultList(), []
    do = 'Write it as "what;number;each", such as "visits;12;35.00".'
    if not 0 < len(texts) <= MOST_ITEMS:
        faults.add(
            WORD, f"{count(len(texts), 'line')} on the invoice.", "--item", f"Give 1 to {MOST_ITEMS}. {do}"
        )
    for text in texts:
        parts = [part.strip() for part in text.split(";")]
        figures = [_figure(part) for part in parts[1:]]
        if len(parts) == 3 and parts[0] and figures[0] is not None and figures[1] is not None:
            items.append(Item(parts[0], figures[0], figures[1]))
        else:
            faults.add(WORD, f"'{text}' is no line of an invoice.", "--item", do)
    faults.refuse()
    return tuple(items)


def _figure(text: str) -> Decimal | None:
    """Read a figure that is finite and not negative, of a size an invoice may hold."""
    try:
        value = Decimal(text)
    except InvalidOperation:
        return None
    return value if value.is_finite() and 0 <= value <= Decimal(10) ** 9 else None
