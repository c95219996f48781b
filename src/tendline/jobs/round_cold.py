"""Owns the cautions of cold for one outing: from a forecast handed in, else from what somebody noted.

Does not own the reading of a forecast (`ground.forecast`) or the wording (`report.cold_text`).
"""

from collections.abc import Sequence
from datetime import timedelta

from tendline.core.line import LineState
from tendline.core.when import Span
from tendline.jobs.weather import given_forecast
from tendline.jobs.workspace import Workspace
from tendline.logbook.events import Event
from tendline.plan.cold_out import ColdOut, cold_seen, coldest_forecast
from tendline.report.cold_text import NOT_TOLD, cold_words

NOTED_FOR = timedelta(hours=12)
"""Air noted so long before an outing still tells something of it (common practice, no source)."""


def cold_cautions(
    space: Workspace,
    line: LineState,
    span: Span,
    events: Sequence[Event],
    *,
    forecast: str = "",
    weather: str = "",
) -> tuple[str, ...]:
    """Say what cold there will be on an outing.

    Parameters
    ----------
    space, line
        The opened line and how it stands.
    span
        The outing.
    events
        The record: air and wind that somebody noted.
    forecast, weather
        A file, or a forecast typed in; both empty to go by the record.

    Raises
    ------
    Refused
        As the readers of a forecast.
    """
    units, zone = space.settings.units, space.settings.zone
    if forecast or weather:
        cold = coldest_forecast(given_forecast(space, line, forecast or None, weather or None), span)
        return (NOT_TOLD,) if cold is None else cold_words(cold, units, zone)
    seen = _seen(span, events)
    return () if seen is None else cold_words(seen, units, zone)


def _seen(span: Span, events: Sequence[Event]) -> ColdOut | None:
    """Give the newest air noted before the outing, or during it."""
    noted = [
        event
        for event in events
        if event.kind == "weather-seen"
        and "air_c" in event.body
        and span.start - NOTED_FOR <= event.happened_at <= span.end
    ]
    if not noted:
        return None
    last = max(noted, key=lambda event: event.happened_at)
    return cold_seen(last.happened_at, last.body["air_c"], last.body.get("wind_kmh"))
