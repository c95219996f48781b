"""Owns `tendline season --counties`: effort and rates by county over records of any length, of several lines.

Does not own the counting (`season.columns`) or its wording (`report.season_counties`).
"""

import json
from collections.abc import Sequence

from tendline.core.when import Span
from tendline.jobs.answer import Answer
from tendline.jobs.profiles import profile_named
from tendline.jobs.season import convention_named, season_days
from tendline.jobs.season_limits import legal_season
from tendline.jobs.workspace import Workspace, open_workspace
from tendline.logbook.corrected import effective
from tendline.logbook.events import instant_text
from tendline.report.season_counties import counties_document, counties_text
from tendline.season.columns import Columns, Row
from tendline.season.columns_queries import KINDS


def by_counties(space: Workspace, others: Sequence[str], *, nights: str, width: int = 100) -> Answer:
    """Count effort and catches by county and season.

    Parameters
    ----------
    space
        The opened line; its zone tells midnights.
    others
        Further line folders, each counted with its own sets.
    nights
        A word of `Convention`.
    width
        Of the terminal [characters].

    Returns
    -------
    Answer
        Bad news when there is no effort.

    Raises
    ------
    Refused
        SEA-201; RULE-1xx; JOB-101 for a folder that is no line; RULE-1xx.
    Damaged
        LOG-501, LOG-503.
    """
    convention = convention_named(nights)
    columns = Columns()
    try:
        for number, one in enumerate((space, *(open_workspace(folder) for folder in others))):
            _take(columns, one, number)
            years = columns.seasons(space.settings.zone, line=number)
            columns.limit(_legal(one, years), space.settings.zone, line=number)
        rows = columns.by_county(space.settings.zone, convention)
    finally:
        columns.close()
    return Answer(
        counties_text(rows, convention, settings=space.settings, width=width),
        counties_document(rows, convention, settings=space.settings),
        bad_news=not any(row.effort > 0 for row in rows),
    )


def _legal(space: Workspace, years: Sequence[int]) -> dict[int, Span]:
    """Find the legal span of each season of a line, inside its July to June; none where none is known."""
    with space.store() as store:
        made = store.first_placed("set-made")
    names, spans = space.settings.profiles[:1], dict[int, Span]()
    profiles = {name: profile_named(space, name) for name in names}
    for year in years if profiles else ():
        whole = season_days(space, year)
        place = made.fix.place if made is not None and made.fix is not None else None
        legal = legal_season(space, place, profiles, whole).span
        within = None if legal is None else whole.meet(legal)
        if within is not None:
            spans[year] = within
    return spans


def _take(columns: Columns, space: Workspace, number: int) -> None:
    """Hand over one logbook: what was never changed as it stands, the rest once corrected."""
    with space.store() as store:
        last = 0
        for batch in store.plain_rows(KINDS):
            columns.add(batch, line=number)
            last = max(last, batch[-1][0])
        changed: list[Row] = [
            (last + i, e.event.id, e.event.kind, instant_text(e.happened_at), json.dumps(dict(e.body)))
            for i, e in enumerate(effective(store.changed()), start=1)
            if e.event.kind in KINDS
        ]
    columns.add(changed, line=number)
