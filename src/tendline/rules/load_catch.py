"""Owns the keys of each form of rule on a catch and on a report in a profile.

Does not own what they mean (`rules.catches`, `rules.reports`) or the rest of the rule (`rules.load_land`).
"""

from collections.abc import Callable

from tendline.rules.faults import NOT_ALLOWED, SENSELESS
from tendline.rules.load_rules import Known
from tendline.rules.load_season import month_day, season_name
from tendline.rules.nouns import ACTS
from tendline.rules.rule import (
    AtOnce,
    CatchForm,
    From,
    KeepIf,
    MayNot,
    OneOfActs,
    Order,
    PossessionEnd,
    Report,
    Targets,
)
from tendline.rules.tables import Table

HELD = ("live", "green-pelt", "pelt")
"""In what state a catch may be held."""

REPORT_FORMS = ("within", "days", "business-days", "as-soon-as")
"""Every form of report by the word that names it."""


def read_catch_form(row: Table, known: Known) -> CatchForm | None:
    """Read the form named by the key ``form``; None when it is faulty."""
    name = row.text("form")
    reader = CATCH_FORMS.get(name)
    if reader is None:
        if name:
            allowed = f"Allowed: {', '.join(CATCH_FORMS)}, not-known."
            row.fault(NOT_ALLOWED, f"'{name}' is no form of rule on a catch.", "form", allowed)
        row.take_all()
        return None
    return reader(row, known)


def read_report(row: Table, known: Known) -> Report | None:
    """Read a report and its deadline; None when it is faulty."""
    form = _one_of(row, "form", REPORT_FORMS)
    if form is None:
        row.take_all()
        return None
    act, to, in_writing = _one_of(row, "act", ACTS), row.text("to"), row.flag("in_writing")
    if form == "as-soon-as":
        says = row.text("says")
        return Report(act, to, soon=says, in_writing=in_writing) if act and says else None
    start = row.choice("from", From)
    if form == "within":
        limit = row.duration("limit")
        if start is From.SEASON_CLOSE:
            do = 'Write form = "days" or "business-days".'
            row.fault(SENSELESS, "hours do not run from the close of a season.", "from", do)
        return Report(act, to, start, limit, in_writing=in_writing) if act and start and limit else None
    days = row.number("days", least=1, most=366)
    season = season_name(row, "season", known) if start is From.SEASON_CLOSE else ""
    if not act or start is None or days is None:
        return None
    if form == "days":
        return Report(act, to, start, days=days, season=season, in_writing=in_writing)
    return Report(act, to, start, business_days=days, season=season, in_writing=in_writing)


def _targets(row: Table, known: Known) -> CatchForm | None:  # noqa: ARG001  all readers are called alike
    species = row.words("species")
    return Targets(species) if species else None


def _keep_if(row: Table, known: Known) -> CatchForm | None:
    which = _one_of(row, "which", ("incidental", "all"))
    seasons, papers = row.words("seasons", needed=False), row.words("papers", needed=False)
    for name in seasons:
        known.mention(name, row.where("seasons"))
    if not seasons and not papers:
        do = 'Write seasons = ["own"], papers = ["own"], or ids and kinds.'
        row.fault(SENSELESS, "nothing is asked before keeping.", "seasons", do)
        return None
    return KeepIf(which == "incidental", seasons, papers) if which else None


def _at_once(row: Table, known: Known) -> CatchForm | None:  # noqa: ARG001
    act = _one_of(row, "act", ACTS)
    return AtOnce(act) if act else None


def _order(row: Table, known: Known) -> CatchForm | None:  # noqa: ARG001
    acts = _acts(row, least=2)
    return Order(acts) if acts else None


def _one_act(row: Table, known: Known) -> CatchForm | None:  # noqa: ARG001
    acts = _acts(row, least=2)
    return OneOfActs(acts) if acts else None


def _may_not(row: Table, known: Known) -> CatchForm | None:  # noqa: ARG001
    acts = _acts(row, least=1)
    return MayNot(acts) if acts else None


def _possession_end(row: Table, known: Known) -> CatchForm | None:
    held = row.words("held")
    for word in held:
        if word not in HELD:
            row.fault(NOT_ALLOWED, f"'{word}' is not allowed here.", "held", f"Allowed: {', '.join(HELD)}.")
    has_until, has_season = row.has("until"), row.has("season")
    if has_until == has_season:
        row.fault(SENSELESS, "the end is wanted once.", "until", "Write until, or season and days.")
        return None
    if has_until:
        until = month_day(row, "until")
        return PossessionEnd(held, until) if until and held else None
    season, days = season_name(row, "season", known), row.number("days", least=0, most=366)
    return PossessionEnd(held, None, season, days) if season and days is not None and held else None


CATCH_FORMS: dict[str, Callable[[Table, Known], CatchForm | None]] = {
    "targets": _targets,
    "keep-if": _keep_if,
    "at-once": _at_once,
    "order": _order,
    "one-of": _one_act,
    "may-not": _may_not,
    "possession-end": _possession_end,
}
"""Every form of rule on a catch by the word that names it."""


def _acts(row: Table, *, least: int) -> tuple[str, ...]:
    acts = row.words("acts")
    for act in acts:
        if act not in ACTS:
            row.fault(NOT_ALLOWED, f"'{act}' is no act.", "acts", f"Allowed: {', '.join(ACTS)}.")
    if acts and (len(acts) < least or len(set(acts)) < len(acts)):
        row.fault(SENSELESS, "too few acts, or one twice.", "acts", f"Name {least} or more different ones.")
    return acts


def _one_of(row: Table, key: str, allowed: tuple[str, ...]) -> str | None:
    found = row.text(key)
    if found in allowed:
        return found
    if found:
        row.fault(NOT_ALLOWED, f"'{found}' is not allowed here.", key, f"Allowed: {', '.join(allowed)}.")
    return None
