"""Owns the season for the desk page: its document, with every plot drawn and the numbers beside it.

Does not own the figures (`season`), nor what is drawn (`report.season_plots`).
"""

import math
from collections.abc import Sequence
from typing import Any

from tendline.jobs.answer import Answer
from tendline.jobs.season import AskedSeason, is_bad_news, season_told
from tendline.jobs.workspace import Workspace
from tendline.report.season_json import season_document


def season_drawn(space: Workspace, asked: AskedSeason, *, by: Sequence[str] = ()) -> Answer:
    """Say what a season came to, and draw it.

    Parameters
    ----------
    space, asked
        As of `season.season`.
    by
        Groups that rates are drawn by; the usual ones when empty.

    Raises
    ------
    Refused
        As `season.season`.
    """
    from tendline.report.season_plots import RATES_BY, season_plots  # noqa: PLC0415 - matplotlib is slow to load

    told = season_told(space, asked)
    plots = [
        {
            "name": plot.name,
            "svg": plot.files[f"{plot.name}.svg"].decode(),
            "columns": plot.rows[0],
            "rows": [[_cell(value) for value in row] for row in plot.rows[1:]],
        }
        for plot in season_plots(told, ("svg",), by=by or RATES_BY)
    ]
    return Answer("", {"season": season_document(told), "drawn": plots}, bad_news=is_bad_news(told))


def _cell(value: Any) -> Any:
    """Give what JSON can hold: a range without end is null."""
    return None if isinstance(value, float) and not math.isfinite(value) else value
