"""Owns the fold: events in, the line as it stood at any moment out; pure, whatever order they come in.

Does not own corrections (`corrected`), nor what is due (`plan.due`).
"""

from collections.abc import Iterable
from datetime import datetime

from tendline.core.line import LineState
from tendline.logbook.board import Board
from tendline.logbook.corrected import effective
from tendline.logbook.events import Event


def line_at(events: Iterable[Event], *, at: datetime, known_at: datetime | None = None) -> LineState:
    """Give the line as it stood.

    Parameters
    ----------
    events
        Any events of the line, in any order, each id once.
    at
        The moment asked about: what happened later is left out.
    known_at
        "As it was known then": what was recorded later is left out as well. None for "as it happened".

    Returns
    -------
    LineState
        With a warning for whatever could not be settled; nothing is dropped in silence.
    """
    return line_until(events, at=at, known_at=known_at)[0]


def line_until(
    events: Iterable[Event], *, at: datetime, known_at: datetime | None = None
) -> tuple[LineState, datetime | None]:
    """Give the line as it stood, and when it is next different by what is on record; None for never.

    Parameters
    ----------
    events, at, known_at
        As for `line_at`.
    """
    board, later = Board(), None
    for entry in effective(events, known_at=known_at):
        if entry.happened_at <= at:
            board.apply(entry)
        elif later is None or entry.happened_at < later:
            later = entry.happened_at
    return board.line(at), later
