"""Owns making any paper by its name from what a form holds, with its pages drawn for looking at beforehand.

Does not own any paper (`paper`, `paper_*`); each is made by the same job as on the command line.
"""

import gzip
from base64 import b64encode
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tendline.core.errors import FaultList, refuse
from tendline.jobs.answer import Answer
from tendline.jobs.faults import WORD
from tendline.jobs.paper import route_card
from tendline.jobs.paper_cards import incident_form, set_card, warden_sheet
from tendline.jobs.paper_farm import farm_sheet, landowner_note
from tendline.jobs.paper_finder import finder_sheet
from tendline.jobs.paper_returns import (
    agency_return,
    damage_report,
    fur_list,
    invoice,
    season_review,
    study_forms,
)
from tendline.jobs.round import Asked, names_of
from tendline.jobs.workspace import Workspace
from tendline.report.typeset import pages_watched

Given = Mapping[str, str]
Tell = Callable[[str], None]
Stops = Callable[[], bool] | None


@dataclass(frozen=True)
class PaperOption:
    """One thing that may be said of a paper: its name, its words, and of which sort it is.

    Parameters
    ----------
    name, words
        As in a form.
    sort
        ``text``, ``lines`` (one a line), ``day``, ``flag``, ``set``, ``sets``, ``parcel`` or ``parcels``.
    needed
        The paper cannot be made without it.
    """

    name: str
    words: str
    sort: str = "text"
    needed: bool = False


@dataclass(frozen=True)
class PaperKind:
    """One sort of paper: what it is, what may be said of it, and what makes it."""

    words: str
    options: tuple[PaperOption, ...]
    make: Callable[[Workspace, Given, Tell, Stops], Answer]


def paper_kinds() -> Answer:
    """List every sort of paper with its options."""
    kinds = [
        {"paper": name, "words": kind.words, "options": [vars(option) for option in kind.options]}
        for name, kind in PAPERS.items()
    ]
    return Answer("\n".join(f"{name}: {kind.words}" for name, kind in PAPERS.items()), {"papers": kinds})


def paper_shown(
    space: Workspace, name: str, given: Given, *, tell: Tell = lambda _: None, should_stop: Stops = None
) -> Answer:
    """Make a paper, keep it in `papers/`, and give its pages to look at.

    Parameters
    ----------
    space
        The opened line.
    name
        A key of `PAPERS`.
    given
        Options as written, by name.
    tell, should_stop
        As for `round.plan`.

    Returns
    -------
    Answer
        The file's name, what was said of it, and each page as an SVG: gzip (RFC 1952) in base64 (RFC 4648).

    Raises
    ------
    Refused
        JOB-301 for an option that is not of this paper or is missing; as the paper's own job.
    """
    kind = PAPERS.get(name)
    if kind is None:
        raise refuse(WORD, f"there is no paper '{name}'.", "", f"Papers: {', '.join(PAPERS)}.")
    _check(kind, given)
    with pages_watched() as pages:
        answer = kind.make(space, given, tell, should_stop)
    shown = [b64encode(gzip.compress(page, 6, mtime=0)).decode() for page in pages]
    data = {
        "paper": name,
        "file": Path(answer.data["file"]).name,
        "bad_news": answer.bad_news,
        "pages": shown,
    }
    return Answer(answer.text, data, bad_news=answer.bad_news, warnings=answer.warnings)


def _check(kind: PaperKind, given: Given) -> None:
    faults = FaultList()
    known = {option.name: option for option in kind.options}
    for key in given:
        if key not in known:
            faults.add(WORD, f"this paper has no option '{key}'.", key, f"Options: {', '.join(known)}.")
    for option in known.values():
        if option.needed and not given.get(option.name, "").strip():
            faults.add(WORD, f"'{option.name}' is missing.", option.name, option.words)
    faults.refuse()


def _lines(given: Given, name: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in given.get(name, "").splitlines() if line.strip())


def _names(given: Given, name: str) -> tuple[str, ...]:
    return names_of([given[name]]) if name in given else ()


def _said(given: Given, name: str) -> str | None:
    return given.get(name, "").strip() or None


def _days(given: Given) -> dict[str, Any]:
    return {"first": _said(given, "first"), "last": _said(given, "last")}


def _card(space: Workspace, given: Given, tell: Tell, should_stop: Stops) -> Answer:
    asked = Asked(
        start=_said(given, "start"),
        back=_said(given, "back"),
        on=_said(given, "on"),
        must=_names(given, "must"),
        skip=_names(given, "skip"),
        everything=given.get("everything") == "yes",
        only_due=given.get("only_due") == "yes",
        who=given.get("who", "").strip(),
        origin=given.get("origin", "").strip(),
        destination=given.get("destination", "").strip(),
        weather=given.get("weather", "").strip(),
    )
    return route_card(space, asked, tell=tell, should_stop=should_stop)


_SETS = PaperOption("sets", "Only these sets; all in the field otherwise.", "sets")
_PARCELS = PaperOption("parcels", "Only these parcels; all otherwise.", "parcels")
_PARCEL = PaperOption("parcel", "Whose ground.", "parcel", needed=True)
_DAYS = (
    PaperOption("first", "First day told; all of the record otherwise.", "day"),
    PaperOption("last", "Last day told; today otherwise.", "day"),
)

PAPERS: Mapping[str, PaperKind] = {
    "route-card": PaperKind(
        "One outing: order, times, limits, boxes to fill in with a pencil.",
        (
            PaperOption("start", "Earliest start, such as 05:00.", needed=True),
            PaperOption("back", "Latest return, such as 12:00.", needed=True),
            PaperOption("on", "The day; the next such times otherwise.", "day"),
            PaperOption("who", "Who goes; the handler otherwise."),
            PaperOption("origin", "Start: a parking or LON,LAT; home otherwise."),
            PaperOption("destination", "Where to be back; the start otherwise."),
            PaperOption("must", "Sets that must be visited, besides what is due.", "sets"),
            PaperOption("skip", "Sets that are not visited, whatever is due.", "sets"),
            PaperOption("everything", "Every working set must be visited.", "flag"),
            PaperOption("only_due", "Nothing but what must be visited.", "flag"),
            PaperOption("weather", "Weather for wind chill, such as: 5 F, wind 15 mph."),
        ),
        _card,
    ),
    "finder-sheet": PaperKind(
        "How another person reaches and takes up every device, from paper alone.",
        (_SETS, PaperOption("calls", "Whom to call, each as who: number.", "lines")),
        lambda space, given, tell, _: finder_sheet(
            space, sets=_names(given, "sets"), calls=_lines(given, "calls"), tell=tell
        ),
    ),
    "farm-sheet": PaperKind(
        "One property for whoever works it: map, houses, parkings, leave, sets.",
        (_PARCELS,),
        lambda space, given, tell, _: farm_sheet(space, parcels=_names(given, "parcels"), tell=tell),
    ),
    "set-card": PaperKind(
        "Cards for the shed: build, tag, anchor, heights, what stands within reach, history.",
        (_SETS,),
        lambda space, given, *_: set_card(space, sets=_names(given, "sets")),
    ),
    "incident": PaperKind(
        "An incident form: dog, other animal, person, theft, damage.",
        (PaperOption("set", "Fill in what is on record of this set.", "set"),),
        lambda space, given, *_: incident_form(space, set_name=_said(given, "set")),
    ),
    "warden": PaperKind(
        "For an officer: papers held, tags, builds, heights, last looks, leave.",
        (_PARCELS,),
        lambda space, given, *_: warden_sheet(space, parcels=_names(given, "parcels")),
    ),
    "landowner": PaperKind(
        "For one owner: visits, animals, incidents, devices out; their own ground alone.",
        (_PARCEL, *_DAYS),
        lambda space, given, *_: landowner_note(space, given["parcel"], **_days(given)),
    ),
    "agency": PaperKind(
        "The return for the agency: animals, counties, methods, effort; blanks where unknown.",
        _DAYS,
        lambda space, given, *_: agency_return(space, **_days(given)),
    ),
    "fur-list": PaperKind(
        "For a fur buyer: animals kept, with room for grade and price.",
        (PaperOption("species", "Only these kinds, one a line.", "lines"), *_DAYS),
        lambda space, given, *_: fur_list(space, species=_lines(given, "species"), **_days(given)),
    ),
    "damage": PaperKind(
        "The damage report for one client: days, animals, effort, losses to fill in.",
        (_PARCEL, *_DAYS),
        lambda space, given, *_: damage_report(space, given["parcel"], **_days(given)),
    ),
    "invoice": PaperKind(
        "An invoice for one client from lines as entered; nothing is priced by tendline.",
        (
            _PARCEL,
            PaperOption(
                "items", "Each line as what;number;each, such as visits;12;35.00.", "lines", needed=True
            ),
            PaperOption("number", "Number of the invoice."),
            PaperOption("currency", "Currency, as it is to stand on it."),
            *_DAYS,
        ),
        lambda space, given, *_: invoice(
            space,
            given["parcel"],
            items=_lines(given, "items"),
            number=given.get("number", ""),
            currency=given.get("currency", ""),
            **_days(given),
        ),
    ),
    "study": PaperKind(
        "The forms of a study: device-nights, contacts, a form for each animal held.",
        _DAYS,
        lambda space, given, *_: study_forms(space, **_days(given)),
    ),
    "season": PaperKind(
        "The season's page of counts.",
        _DAYS,
        lambda space, given, *_: season_review(space, **_days(given)),
    ),
}
"""Every sort of paper, by the name of its command."""
