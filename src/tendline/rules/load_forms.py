"""Owns the keys of each form of check rule in a profile, and the making of the form from them.

Does not own the forms (`rules.forms`, `rules.windows`) or the rest of a rule (`rules.load_rules`).
"""

from collections.abc import Callable

from tendline.core.errors import Refused
from tendline.core.place import LonLat
from tendline.rules.faults import NOT_ALLOWED, SENSELESS
from tendline.rules.forms import (
    WEEKDAYS,
    Advice,
    CalendarDay,
    CalendarDays,
    CalendarWeek,
    Daily,
    ElapsedHours,
    Form,
    FullCalendarDays,
    NoInterval,
    NotKnown,
    RemoteSystem,
)
from tendline.rules.tables import Table
from tendline.rules.windows import Curfew, SunWindow


def read_form(table: Table) -> Form | None:
    """Read the form named by the key ``form``, with the keys that belong to it; None when it is faulty."""
    name = table.text("form")
    reader = _READERS.get(name)
    if reader is None:
        if name:
            table.fault(NOT_ALLOWED, f"'{name}' is no form.", "form", f"Allowed: {', '.join(_READERS)}.")
        table.take_all()
        return None
    return reader(table)


def _elapsed_hours(table: Table) -> Form | None:
    hours = table.duration("limit")
    return ElapsedHours(hours) if hours else None


def _full_calendar_days(table: Table) -> Form | None:
    days = table.number("days", least=1, most=31)
    return FullCalendarDays(days) if days else None


def _calendar_days(table: Table) -> Form | None:
    days, counts = table.number("days", least=2, most=31), table.flag("look_day_counts")
    return CalendarDays(days, counts) if days else None


def _calendar_week(table: Table) -> Form | None:
    begins = table.text("begins")
    if begins in WEEKDAYS:
        return CalendarWeek(begins)
    if begins:
        table.fault(NOT_ALLOWED, f"'{begins}' is no weekday.", "begins", f"Allowed: {', '.join(WEEKDAYS)}.")
    return None


def _sun_window(table: Table) -> Form | None:
    before, after = table.duration("before_sunrise"), table.duration("after_sunset")
    place, name = None, ""
    at = table.table("at")
    if at is not None:
        name, lon, lat = at.text("name"), at.decimal("lon"), at.decimal("lat")
        at.close()
        try:
            place = LonLat(lon, lat) if lon is not None and lat is not None else None
        except Refused as refused:
            table.faults.extend(refused.faults)
    return SunWindow(before, after, place, name) if before and after else None


def _curfew(table: Table) -> Form | None:
    start, end = table.clock("from"), table.clock("to")
    if start is not None and start == end:
        table.fault(
            SENSELESS, f"a curfew from {start:%H:%M} to {end:%H:%M} is empty.", "to", "Write its end."
        )
    return Curfew(start, end) if start is not None and end is not None else None


def _remote(table: Table) -> Form | None:
    every, within = table.duration("report_every"), table.duration("alert_within")
    alert, contact = table.duration("visit_after_alert"), table.duration("visit_after_contact")
    replaces = table.words("in_place_of")
    if every and within and alert and contact:
        return RemoteSystem(every, within, alert, contact, replaces)
    return None


_READERS: dict[str, Callable[[Table], Form | None]] = {
    ElapsedHours.key: _elapsed_hours,
    CalendarDay.key: lambda _: CalendarDay(),
    Daily.key: lambda _: Daily(),
    FullCalendarDays.key: _full_calendar_days,
    CalendarDays.key: _calendar_days,
    CalendarWeek.key: _calendar_week,
    SunWindow.key: _sun_window,
    Curfew.key: _curfew,
    RemoteSystem.key: _remote,
    Advice.key: lambda table: Advice(table.text("says")),
    NoInterval.key: lambda _: NoInterval(),
    NotKnown.key: lambda _: NotKnown(),
}
"""Every form by the word that names it in a profile."""
