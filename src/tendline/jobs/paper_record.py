"""Owns opening the record for papers that tell what happened: its stands, and the days asked about.

Does not own what stands on any paper (`report`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from tendline.core.errors import refuse
from tendline.core.when import parse_day
from tendline.jobs.faults import WORD
from tendline.jobs.paper_page import desk_of
from tendline.jobs.workspace import Workspace
from tendline.logbook.corrected import effective
from tendline.report.paper_head import Desk
from tendline.report.stands import Stand, stands_of


@dataclass(frozen=True)
class Record:
    """The record as papers tell it; `first` and `last` are the days asked about, both included."""

    desk: Desk
    stands: tuple[Stand, ...]
    first: date
    last: date

    def on(self, parcel: str) -> tuple[Stand, ...]:
        """Give the stands on one parcel."""
        return tuple(stand for stand in self.stands if stand.parcel == parcel)


def open_record(space: Workspace, *, first: str | None = None, last: str | None = None) -> Record:
    """Open the record of some days.

    Parameters
    ----------
    space
        The opened line.
    first, last
        Days as written, both included; the first day on record and today when left out.

    Raises
    ------
    Refused
        CORE-201 for what is no day; JOB-301 when the first is after the last.
    """
    desk = desk_of(space)
    stands = stands_of(effective(space.events()), desk.line.catches, at=desk.now)
    zone = desk.settings.zone
    known = [stand.made_at.astimezone(zone).date() for stand in stands if stand.made_at is not None]
    start = parse_day(first, where="--from") if first else min(known, default=desk.day)
    end = parse_day(last, where="--to") if last else desk.day
    if start > end:
        raise refuse(WORD, f"{start} is after {end}.", "--from", "Give the earlier day as --from.")
    return Record(desk, tuple(_within(stand, start, end, record=desk) for stand in stands), start, end)


def _within(stand: Stand, start: date, end: date, *, record: Desk) -> Stand:
    """Give a stand with only what happened in some days."""
    zone = record.settings.zone

    def inside(day: date) -> bool:
        return start <= day <= end

    visits = [v for v in stand.visits if inside(v.at.astimezone(zone).date())]
    taken = [t for t in stand.taken if inside(t.catch.at.astimezone(zone).date())]
    return Stand(**{**vars(stand), "visits": visits, "taken": taken})


def stood_in(stands: Sequence[Stand], record: Record) -> tuple[Stand, ...]:
    """Give the stands that stood on any of the days asked about."""
    zone = record.desk.settings.zone
    return tuple(
        stand
        for stand in stands
        if (stand.made_at is None or stand.made_at.astimezone(zone).date() <= record.last)
        and (stand.ended is None or stand.ended.astimezone(zone).date() >= record.first)
    )
