"""Owns the job `tendline due`: what is due, by when, under which rule, sorted by what runs out first.

Does not own the law (`rules`), the board (`plan.due`) or its wording (`report.due_text`).
"""

from typing import Any

from tendline.jobs.answer import Answer
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.workspace import Workspace
from tendline.plan.due import DueRow, due_board
from tendline.report.due_text import due_document, due_text
from tendline.rules.answer import Verdict


def due(space: Workspace, *, width: int = 100) -> Answer:
    """Put up the due board.

    Parameters
    ----------
    space
        The opened line.
    width
        Of the terminal [characters].

    Returns
    -------
    Answer
        Bad news when anything is overdue or prohibited.
    """
    rows = due_rows(space)
    return Answer(
        due_text(rows, settings=space.settings, now=space.now, width=width),
        due_document(rows, settings=space.settings, now=space.now),
        bad_news=any(row.answer.verdict in (Verdict.OVERDUE, Verdict.PROHIBITED) for row in rows),
        warnings=space.line().warnings,
    )


def due_rows(space: Workspace) -> tuple[DueRow, ...]:
    """Give the rows of the due board, what runs out first on top."""
    line = space.line()
    return due_board(line, profiles=profiles_in_use(space, line), settings=space.settings, now=space.now)


def due_data(space: Workspace) -> dict[str, Any]:
    """Give the due board as `--json` prints it."""
    return due_document(due_rows(space), settings=space.settings, now=space.now)
