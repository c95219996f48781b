"""Owns the job `tendline paper`: papers for a person with a pencil, kept in `papers/`.

Does not own what stands on them (`report`).
"""

from collections.abc import Callable
from pathlib import Path

from tendline.core.errors import refuse
from tendline.core.when import local_day
from tendline.jobs.answer import Answer
from tendline.jobs.faults import CANNOT_WRITE
from tendline.jobs.files import write_all
from tendline.jobs.kept_plans import CARD, json_bytes, kept_path
from tendline.jobs.round import Asked, Planned, plan
from tendline.jobs.workspace import PAPERS, Workspace
from tendline.report.card import build_card
from tendline.report.itinerary_json import round_document
from tendline.report.typeset import route_card_pdf


def route_card(
    space: Workspace,
    asked: Asked,
    *,
    out: str | None = None,
    tell: Callable[[str], None] = lambda _: None,
    should_stop: Callable[[], bool] | None = None,
) -> Answer:
    """Plan one outing and print its card; its plan is kept in `papers/`, so that it can be held against it.

    Parameters
    ----------
    space, asked, tell, should_stop
        As for `round.plan`.
    out
        Where to write the PDF; into the line's `papers/`, named by its day, when left out. The plan as a
        document goes into `papers/` always: the last card of a day is the one that counts.

    Raises
    ------
    Refused
        As `round.plan`; JOB-104 when the file cannot be written; REP-102.
    """
    return write_card(space, plan(space, asked, tell=tell, should_stop=should_stop), out=out)


def write_card(space: Workspace, planned: Planned, *, out: str | None = None) -> Answer:
    """Write the card of a round that is planned already; see `route_card`."""
    day = local_day(planned.verdict.plan.leave, space.settings.zone)
    path = Path(out) if out else space.folder / PAPERS / f"route-card-{day}.pdf"
    pdf = route_card_pdf(build_card(planned.verdict, planned.facts))
    document, kept = round_document(planned.verdict, planned.facts), kept_path(space, CARD, day)
    try:
        for one in (path, kept):
            one.parent.mkdir(parents=True, exist_ok=True)
        write_all({path: pdf, kept: json_bytes(document)})
    except OSError as problem:
        raise refuse(
            CANNOT_WRITE, f"{problem.strerror}.", str(path), "Choose another place with --out."
        ) from problem
    fits = (
        "" if planned.verdict.fits else " Not everything that must be visited fits: the card says so first."
    )
    text = f"Route card for {day}: {path}, {len(planned.verdict.plan.visits)} sets.{fits}"
    data = {"paper": "route-card", "file": str(path), "plan": str(kept), "round": document}
    return Answer(text, data, bad_news=not planned.verdict.fits, warnings=planned.line.warnings)
