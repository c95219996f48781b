"""Owns the keys of each form of season in a profile.

Does not own what a season means (`rules.seasons`) or the rest of the rule (`rules.load_land`).
"""

from collections.abc import Callable
from datetime import date

from tendline.rules.faults import BAD_VALUE, DATES, NOT_ALLOWED, SENSELESS
from tendline.rules.load_rules import Known
from tendline.rules.rule import (
    AllYear,
    ClosedWindow,
    DatesSeason,
    Edges,
    Hour,
    MonthDay,
    Quota,
    SeasonForm,
    WindowSeason,
)
from tendline.rules.tables import Table


def read_season_form(row: Table, known: Known) -> SeasonForm | None:
    """Read the form named by the key ``form``; None when it is faulty."""
    name = row.text("form")
    reader = SEASON_FORMS.get(name)
    if reader is None:
        if name:
            allowed = f"Allowed: {', '.join(SEASON_FORMS)}, not-known."
            row.fault(NOT_ALLOWED, f"'{name}' is no form of season.", "form", allowed)
        row.take_all()
        return None
    return reader(row, known)


def month_day(row: Table, key: str) -> MonthDay | None:
    """Read a day of every year."""
    found = row.month_day(key)
    return MonthDay(*found) if found else None


def season_name(row: Table, key: str, known: Known, *, needed: bool = True) -> str:
    """Read the id of a season, to be looked for when all are read."""
    name = row.text(key, needed=needed)
    known.mention(name, row.where(key))
    return name


def _window(row: Table, known: Known) -> SeasonForm | None:
    start = month_day(row, "from")
    has_to, has_season = row.has("to"), row.has("to_season")
    if has_to == has_season:
        row.fault(SENSELESS, "the end is wanted once.", "to", "Write to or to_season.")
        return None
    end = month_day(row, "to") if has_to else None
    end_of = season_name(row, "to_season", known) if has_season else ""
    edges = _edges(row, known)
    return WindowSeason(start, end, end_of, edges) if start and (end or end_of) else None


def _dates(row: Table, known: Known) -> SeasonForm | None:
    spans: list[tuple[date, date]] = []
    for inner in row.rows("open"):
        first, last = inner.day("from"), inner.day("to")
        inner.close()
        if first is None or last is None:
            continue
        if last < first or (spans and first <= spans[-1][1]):
            what = f"{first} to {last} does not run forward."
            inner.fault(DATES, what, "from", "Put the dates in rising order, apart from one another.")
        spans.append((first, last))
    edges = _edges(row, known)
    return DatesSeason(tuple(spans), edges) if spans else None


def _closed_window(row: Table, known: Known) -> SeasonForm | None:
    start, end, edges = month_day(row, "from"), month_day(row, "to"), _edges(row, known)
    return ClosedWindow(start, end, edges) if start and end else None


def _quota(row: Table, known: Known) -> SeasonForm | None:
    season = season_name(row, "season", known)
    count, days = row.number("count", least=1, most=10**6), row.number("days_after", least=0, most=365)
    return Quota(season, count, days) if season and count and days is not None else None


def _edges(row: Table, known: Known) -> Edges:
    def names(key: str) -> tuple[str, ...]:
        found = row.words(key, needed=False)
        for name in found:
            known.mention(name, row.where(key))
        return found

    return Edges(_hour(row, "opens"), _hour(row, "closes"), names("inside"), names("closed_while"))


def _hour(row: Table, key: str) -> Hour | None:
    if not row.has(key):
        return None
    found = row.raw[key]
    if found in ("sunrise", "sunset"):
        return Hour(str(found))
    if not isinstance(found, str):
        row.fault(BAD_VALUE, f"{found!r} is no hour.", key, 'Write "07:00", "sunrise" or "sunset".')
        return None
    clock = row.clock(key)
    return Hour(found, clock) if clock is not None else None


SEASON_FORMS: dict[str, Callable[[Table, Known], SeasonForm | None]] = {
    "window": _window,
    "dates": _dates,
    "all-year": lambda row, known: AllYear(_edges(row, known)),
    "closed-window": _closed_window,
    "quota": _quota,
}
"""Every form of season by the word that names it."""
