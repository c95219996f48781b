"""Owns the keys that rules of a profile share (scope, dated terms, citations) and those of each kind of rule.

Does not own the keys of one form (`rules.load_forms`) or the file as a whole (`rules.load`).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TypeVar

from tendline.core.source import Citation
from tendline.core.words import DeviceClass
from tendline.rules.dated import Began, History, Severity, Term
from tendline.rules.faults import DATES, MISSING_KEY, NO_CITATION, NO_SUCH_NAME, NOT_ALLOWED, SENSELESS
from tendline.rules.forms import Advice, Form, RemoteSystem
from tendline.rules.load_forms import read_form
from tendline.rules.shape import (
    Ban,
    CheckRule,
    Fact,
    FactValue,
    Question,
    Scope,
    Who,
    WhoForm,
    WhoRule,
)
from tendline.rules.tables import Table

V = TypeVar("V")


@dataclass
class Known:
    """What the rules of one profile may refer to.

    Parameters
    ----------
    cites
        Citations by key; None for one that is there but faulty.
    questions
        Questions by id.
    cited
        Keys of the citations used so far.
    seasons
        Seasons named so far, each with where.
    """

    cites: Mapping[str, Citation | None]
    questions: Mapping[str, Question]
    cited: set[str] = field(default_factory=set)
    seasons: list[tuple[str, str]] = field(default_factory=list)

    def mention(self, season: str, where: str) -> None:
        """Note that a season is named, to be looked for when all are read."""
        self.seasons.append((season, where))


def read_check(name: str, table: Table, known: Known) -> CheckRule:
    """Read one ``[check.NAME]``."""
    rule = CheckRule(
        id=name,
        meaning=table.text("meaning"),
        severity=table.choice("severity", Severity) or Severity.DUTY,
        scope=_scope(table, known),
        history=read_history(table, known, read_form),
        rival=table.text("rival", needed=False),
    )
    if rule.severity is Severity.DUTY and any(isinstance(term.value, Advice) for term in rule.history.terms):
        table.fault(SENSELESS, "words of advice are no duty.", "severity", 'Write severity = "advice".')
    table.close()
    return rule


def read_who(name: str, table: Table, known: Known) -> WhoRule:
    """Read one ``[who.NAME]``."""
    meaning, scope = table.text("meaning"), _scope(table, known)
    rule = WhoRule(name, meaning, scope, read_history(table, known, _who))
    table.close()
    return rule


def read_ban(name: str, table: Table, known: Known) -> Ban:
    """Read one ``[ban.NAME]``."""
    meaning, scope = table.text("meaning"), _scope(table, known)
    rule = Ban(name, meaning, scope, read_history(table, known, lambda _: True))
    table.close()
    return rule


def read_fact(name: str, table: Table, known: Known) -> Fact:
    """Read one ``[fact.NAME]``."""
    fact = Fact(name, table.text("meaning"), read_history(table, known, _fact_value))
    table.close()
    return fact


def read_either(table: Table | None, known: Known, key: str, words: tuple[str, str]) -> History[bool] | None:
    """Read a dated answer that is one of two words, the first meaning yes; None when it is not held."""
    if table is None:
        return None

    def answer(row: Table) -> bool | None:
        word = row.text(key)
        if word in words:
            return word == words[0]
        if word:
            row.fault(NOT_ALLOWED, f"'{word}' is not allowed here.", key, f"Allowed: {', '.join(words)}.")
        return None

    history = read_history(table, known, answer)
    table.close()
    return history


def read_cites(table: Table, known: Known, *, needed: bool) -> tuple[Citation, ...]:
    """Read the key ``cite``: keys of citations, the first being the one the value rests on."""
    if needed and not table.has("cite"):
        do = 'Write cite = ["..."] with keys of [cite...] tables.'
        table.fault(NO_CITATION, "the value has no citation.", "cite", do)
        return ()
    keys = table.words("cite", needed=False)
    known.cited.update(keys)
    for key in keys:
        if key not in known.cites:
            have = ", ".join(known.cites) or "none"
            table.fault(NO_CITATION, f"there is no citation '{key}'.", "cite", f"Citations held: {have}.")
    return tuple(cite for key in keys if (cite := known.cites.get(key)) is not None)


def read_history(table: Table, known: Known, value_of: Callable[[Table], V | None]) -> History[V]:
    """Read the dated terms of one value; faulty ones are told and left out."""
    terms: list[Term[V]] = []
    latest: date | None = None
    for row in table.rows("since"):
        began, day = _first_day(row)
        ended = row.flag("ended")
        value = None if ended else value_of(row)
        cites = read_cites(row, known, needed=True)
        note = row.text("note", needed=False)
        row.close()
        if day is not None and latest is not None and day <= latest:
            what = f"{day} does not come after {latest}."
            row.fault(
                DATES, what, began.value.replace("in force", "day"), "Put the first days in rising order."
            )
        latest = day or latest
        if day is not None and cites and (ended or value is not None):
            terms.append(Term(day, began, value, cites, note))
    return History(tuple(terms))


def _first_day(row: Table) -> tuple[Began, date | None]:
    has_day, has_seen = row.has("day"), row.has("seen")
    if has_day and has_seen:
        row.fault(SENSELESS, "both 'day' and 'seen' are given.", "seen", "Keep one: see the reference page.")
    elif not has_day and not has_seen:
        what = "the first day is missing."
        do = "Write day = ... (first day in force) or seen = ... (first day for which the source vouches)."
        row.fault(MISSING_KEY, what, "day", do)
        return Began.IN_FORCE, None
    if has_day:
        return Began.IN_FORCE, row.day("day")
    return Began.SEEN, row.day("seen")


def _scope(table: Table, known: Known) -> Scope:
    return Scope(read_classes(table), read_zones(table, known))


def read_classes(table: Table, *, needed: bool = True) -> frozenset[DeviceClass]:
    """Read the key ``classes``: classes of device."""
    classes: set[DeviceClass] = set()
    for word in table.words("classes", needed=needed):
        try:
            classes.add(DeviceClass(word))
        except ValueError:
            do = f"Allowed: {', '.join(DeviceClass)}."
            table.fault(NOT_ALLOWED, f"'{word}' is no class of device.", "classes", do)
    return frozenset(classes)


def read_zones(table: Table, known: Known) -> dict[str, tuple[str, ...]]:
    """Read the key ``zones``: by question, the answers for which a rule holds."""
    zones: dict[str, tuple[str, ...]] = {}
    asked = table.table("zones")
    for question in asked.raw if asked is not None else ():
        assert asked is not None
        zones[question] = asked.words(question)
        held = known.questions.get(question)
        if held is None:
            have = ", ".join(known.questions) or "none"
            asked.fault(
                NO_SUCH_NAME, f"there is no question '{question}'.", question, f"Questions held: {have}."
            )
            continue
        for answer in zones[question]:
            if answer not in held.answers:
                do = f"Answers held: {', '.join(held.answers)}."
                asked.fault(NO_SUCH_NAME, f"'{question}' has no answer '{answer}'.", question, do)
    return zones


def _who(row: Table) -> Who | None:
    form = row.choice("form", WhoForm)
    leave = row.flag("emergency_leave")
    if leave and form is not None and form is not WhoForm.NAMED_ONLY:
        what = f"'{form}' needs no emergency leave."
        row.fault(SENSELESS, what, "emergency_leave", f"It goes with {WhoForm.NAMED_ONLY} only.")
    return Who(form, leave) if form is not None else None


def _fact_value(row: Table) -> FactValue | None:
    given = [key for key in ("quantity", "text", "list", "flag") if row.has(key)]
    if len(given) != 1:
        what = "the value is missing." if not given else f"the value is given {len(given)} times."
        row.fault(SENSELESS, what, given[-1] if given else "text", "Write one of quantity, text, list, flag.")
        return None
    if given == ["quantity"]:
        return row.quantity("quantity")
    if given == ["text"]:
        return row.text("text") or None
    if given == ["list"]:
        return row.words("list") or None
    return row.flag("flag")


def check_names(checks: tuple[CheckRule, ...], top: Table) -> None:
    """Fault every mention of a check rule that the profile does not hold."""
    have = {rule.id for rule in checks}

    def missing(name: str, at: str) -> None:
        if name and name not in have:
            do = f"Check rules held: {', '.join(sorted(have))}."
            top.fault(NO_SUCH_NAME, f"there is no check rule '{name}'.", at, do)

    for rule in checks:
        missing(rule.rival, f"check.{rule.id}.rival")
        for number, term in enumerate(rule.history.terms):
            form: Form | None = term.value
            if isinstance(form, RemoteSystem):
                for name in form.in_place_of:
                    missing(name, f"check.{rule.id}.since[{number}].in_place_of")
