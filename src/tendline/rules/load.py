"""Owns reading a rule profile from TOML, shipped or the person's own, with all its faults told together.

Does not own the keys of single rules (`rules.load_rules`) or what a profile means (`rules.ask`).
"""

import re
import tomllib
from pathlib import Path
from typing import TypeVar

from tendline.core.errors import FaultList, Refused, refuse
from tendline.core.source import Citation, Status
from tendline.core.when import zone_named
from tendline.rules.areas import overlapping
from tendline.rules.faults import (
    DATES,
    INVENTED,
    MISSING_KEY,
    NO_PROFILE,
    NOT_ALLOWED,
    NOT_OF_THIS_PLACE,
    OVERLAP,
    UNREADABLE,
    UNUSED_CITATION,
)
from tendline.rules.load_land import read_area, read_rules
from tendline.rules.load_rules import (
    Known,
    check_names,
    read_ban,
    read_check,
    read_cites,
    read_either,
    read_fact,
    read_who,
)
from tendline.rules.rule import Area
from tendline.rules.shape import LegalTime, Profile, ProfileState, Question
from tendline.rules.tables import Table

FORMAT = 1
"""The version of the profile format that this package reads."""

_PACKS = Path(__file__).parent / "packs"
_ID = re.compile(r"^(?P<country>[a-z]{2})-(?P<region>[a-z0-9]+(-[a-z0-9]+)*)$")
V = TypeVar("V")


def shipped_profiles() -> tuple[str, ...]:
    """Give the ids of the profiles that come with the package, in order."""
    return tuple(sorted(f"{path.parent.name}-{path.stem}" for path in _PACKS.glob("*/*.toml")))


def load_profile(source: str | Path) -> Profile:
    """Read a profile: a shipped one by its id, or the person's own by its path.

    Parameters
    ----------
    source
        ``us-pa``, or a path to a TOML file.

    Returns
    -------
    Profile
        Checked whole.

    Raises
    ------
    Refused
        RULE-102 when there is none by that id, RULE-101 when the file cannot be opened or is not TOML,
        RULE-103 to RULE-115, CORE-202 and CORE-301 for what is wrong in it, all faults together.
    """
    named = _ID.match(source) if isinstance(source, str) else None
    if named:
        path = _PACKS / named["country"] / f"{named['region']}.toml"
        if not path.is_file():
            what, have = f"there is no rule profile '{source}'.", ", ".join(shipped_profiles())
            raise refuse(NO_PROFILE, what, "", f"Shipped: {have}. Or give the path of a profile of your own.")
        shown = f"packs/{named['country']}/{named['region']}.toml"
        return read_profile(path.read_text(encoding="utf-8"), file=shown, shipped_as=str(source))
    try:
        text = Path(source).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        why = error.strerror if isinstance(error, OSError) else "it is not UTF-8 text"
        what = f"the profile could not be opened: {why}."
        raise refuse(UNREADABLE, what, str(source), "Give the path of a TOML file.") from None
    return read_profile(text, file=str(source))


def read_profile(text: str, *, file: str, shipped_as: str = "") -> Profile:
    """Read a profile from its text.

    Parameters
    ----------
    text
        TOML.
    file
        What to call it in messages.
    shipped_as
        The id it must carry, for a shipped one; empty for any.

    Raises
    ------
    Refused
        As `load_profile`.
    """
    faults = FaultList()
    try:
        top = Table(tomllib.loads(text), file, "", faults)
    except tomllib.TOMLDecodeError as error:
        raise refuse(UNREADABLE, f"this is not TOML: {error}.", file, "Mend the line it points at.") from None
    _check_format(top)
    head = _Head(top)
    known = Known(
        {name: _citation(t, invented=head.invented) for name, t in top.each("cite")}, _questions(top)
    )
    legal_time = _legal_time(top, known)
    checks = tuple(read_check(name, table, known) for name, table in top.each("check"))
    who = tuple(read_who(name, table, known) for name, table in top.each("who"))
    bans = tuple(read_ban(name, table, known) for name, table in top.each("ban"))
    closed = read_either(top.table("closed_set"), known, "clock", ("stops", "runs"))
    distance = read_either(top.table("from_distance"), known, "look", ("counts", "does not count"))
    rules = read_rules(top, known)
    areas = tuple(a for name, t in top.each("zone") if (a := read_area(name, t, known)) is not None)
    _check_areas(areas, top)
    facts = {name: read_fact(name, table, known) for name, table in top.each("fact")}
    top.close()
    check_names(checks, top)
    head.check(shipped_as)
    _check_cites(top, known)
    faults.refuse()
    return Profile(
        id=head.id,
        title=head.title,
        about=head.about,
        country=head.country,
        region=head.region,
        state=_sure(head.state),
        reviewed=_sure(head.reviewed),
        good_until=_sure(head.good_until),
        invented=head.invented,
        legal_time=_sure(legal_time),
        questions=known.questions,
        checks=checks,
        who=who,
        bans=bans,
        closed_stops=closed,
        distance_counts=distance,
        rules=rules,
        areas=areas,
        facts=facts,
        cites={name: _sure(cite) for name, cite in known.cites.items()},
    )


class _Head:
    """The table ``[profile]``: what the profile is."""

    def __init__(self, top: Table) -> None:
        table = top.table("profile", needed=True) or Table({}, top.file, "profile", FaultList())
        self.table = table
        self.id, self.title, self.about = table.text("id"), table.text("title"), table.text("about")
        self.country, self.region = table.text("country"), table.text("region")
        self.state = table.choice("state", ProfileState)
        self.reviewed, self.good_until = table.day("reviewed"), table.day("good_until")
        self.invented = table.flag("invented")
        table.close()

    def check(self, shipped_as: str) -> None:
        """Fault what does not go together."""
        if self.id and self.id != f"{self.country}-{self.region}":
            what = f"'{self.id}' is not '{self.country}-{self.region}'."
            self.table.fault(NOT_OF_THIS_PLACE, what, "id", "Make it of country and region, with a dash.")
        if shipped_as and self.id and self.id != shipped_as:
            what = f"'{self.id}' lies where '{shipped_as}' belongs."
            self.table.fault(NOT_OF_THIS_PLACE, what, "id", "Move the file or change the id.")
        if self.reviewed and self.good_until and self.good_until < self.reviewed:
            what = f"{self.good_until} comes before {self.reviewed}."
            self.table.fault(DATES, what, "good_until", "A profile is good until some day after its review.")


def _check_format(top: Table) -> None:
    found = top.number("format", least=1, most=999)
    if found is not None and found != FORMAT:
        what = f"the format is {found}; this version of tendline reads {FORMAT}."
        top.fault(NOT_ALLOWED, what, "format", "Get the version of tendline that goes with the profile.")


def _citation(table: Table, *, invented: bool) -> Citation | None:
    title, section = table.text("title"), table.text("section", needed=False)
    address, retrieved = table.text("address", needed=False), table.day("retrieved", needed=False)
    status = table.choice("status", Status)
    table.text("note", needed=False)
    table.close()
    if status is None or not title:
        return None
    if (status is Status.INVENTED) != invented:
        what = f"the citation is '{status}' in a profile that is {'' if invented else 'not '}invented."
        table.fault(INVENTED, what, "status", "Invented law stands alone, in a profile with invented = true.")
    if status in (Status.TEXT, Status.AGENCY, Status.SECONDARY):
        for key, value in (("address", address), ("retrieved", retrieved)):
            if not value:
                what = f"a source that was read ('{status}') lacks '{key}'."
                table.fault(MISSING_KEY, what, key, "Say where it was read and when.")
    return Citation(title, section, address, retrieved, status)


def _questions(top: Table) -> dict[str, Question]:
    found: dict[str, Question] = {}
    for name, table in top.each("question"):
        ask, answers = table.text("ask"), table.table("answers", needed=True)
        table.close()
        held = {answer: answers.text(answer) for answer in answers.raw} if answers is not None else {}
        found[name] = Question(name, ask, held)
    return found


def _legal_time(top: Table, known: Known) -> LegalTime | None:
    table = top.table("legal_time", needed=True)
    if table is None:
        return None
    name, called = table.text("zone"), table.text("called", needed=False)
    cites = read_cites(table, known, needed=bool(called))
    table.text("note", needed=False)
    table.close()
    try:
        zone = zone_named(name, where=table.where("zone")) if name not in ("", "place") else None
    except Refused as refused:
        top.faults.extend(refused.faults)
        return None
    return LegalTime(zone, called, cites)


def _check_areas(areas: tuple[Area, ...], top: Table) -> None:
    for first, second in overlapping(areas):
        what = f"the zones '{first.id}' and '{second.id}' lie over one another."
        top.fault(OVERLAP, what, f"zone.{second.id}.ring", "Draw them so that they share a border at most.")


def _check_cites(top: Table, known: Known) -> None:
    for name in known.cites:
        if name not in known.cited:
            do = "Cite it where it is used, or take it out."
            top.fault(UNUSED_CITATION, f"nothing rests on the citation '{name}'.", f"cite.{name}", do)


def _sure(value: V | None) -> V:
    """Give a value that reading would have faulted had it been missing."""
    assert value is not None
    return value
