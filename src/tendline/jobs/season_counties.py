"""Owns `tendline season --counties`: effort and rates by county over records of any length, of several lines.

Does not own the counting (`season.columns`) or its wording (`report.season_counties`).
"""

import json
from collections.abc import Sequence

from tendline.jobs.answer import Answer
from tendline.jobs.season import convention_named
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
        SEA-201; JOB-101 for a folder that is no line.
    Damaged
        LOG-501, LOG-503.
    """
    convention = convention_named(nights)
    columns = Columns()
    try:
        for number, one in enumerate((space, *(open_workspace(folder) for folder in others))):
            _take(columns, one, number)
        rows = columns.by_county(space.settings.zone, convention)
    finally:
        columns.close()
    return Answer(
        counties_text(rows, convention, settings=space.settings, width=width),
        counties_document(rows, convention, settings=space.settings),
        bad_news=not any(row.effort > 0 for row in rows),
    )


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
