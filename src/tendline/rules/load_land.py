"""Owns the keys of rules on device, tag, height, place, person and paper, and those that all new rules share.

Does not own the needs in them (`rules.load_needs`) or the forms of season and catch (`rules.load_season`).
"""

from tendline.core.errors import Refused
from tendline.core.place import LonLat
from tendline.rules.dated import Severity
from tendline.rules.faults import NO_SUCH_NAME, NOT_ALLOWED, SENSELESS
from tendline.rules.load_catch import read_catch_form, read_report
from tendline.rules.load_needs import read_need, read_needs
from tendline.rules.load_rules import Known, read_cites, read_classes, read_history, read_zones
from tendline.rules.load_season import read_season_form
from tendline.rules.needs import NotHeld
from tendline.rules.rule import Area, Gear, Rule, Topic, Use, Value
from tendline.rules.tables import Table

KINDS: dict[Topic, tuple[int, ...]] = {
    Topic.DEVICE: (22, *range(24, 28), *range(31, 41), 57),
    Topic.TAG: (24, 56, 58),
    Topic.HEIGHT: (24, *range(28, 31), 33),
    Topic.PLACE: (22, 24, *range(41, 53)),
    Topic.SEASON: tuple(range(15, 25)),
    Topic.PERSON: (24, 53, 57, 58),
    Topic.PAPER: (24, 43, 50, 52, 54, 55, 57, 58),
    Topic.CATCH: (24, *range(59, 63), 66, 67),
    Topic.REPORT: (24, *range(62, 68)),
}
"""The kinds of rule that may stand in each table; 24, a change on a date, may stand in any."""

_NO_CLASSES = (Topic.PERSON, Topic.PAPER)
_SPECIES = (Topic.SEASON, Topic.CATCH, Topic.REPORT)


def read_rules(top: Table, known: Known) -> tuple[Rule, ...]:
    """Read every table of the new kinds, and check the names that rules call one another by."""
    rules = tuple(
        _rule(topic, name, table, known) for topic in Topic for name, table in top.each(topic.value)
    )
    _check_names(rules, top, known)
    return rules


def _rule(topic: Topic, name: str, table: Table, known: Known) -> Rule:
    meaning = table.text("meaning")
    has_severity = table.has("severity")
    severity = table.choice("severity", Severity) if has_severity else Severity.DUTY
    classes = read_classes(table, needed=topic not in _NO_CLASSES)
    species = table.words("species", needed=False) if topic in _SPECIES else ()
    use = table.choice("use", Use) if topic is Topic.SEASON else None
    gear = table.choice("gear", Gear) if topic is Topic.SEASON and table.has("gear") else None
    if use is Use.TAKE and not species:
        table.fault(SENSELESS, "a season for taking animals names none.", "species", "Write species = [...].")
    rule = Rule(
        id=name,
        topic=topic,
        kinds=_kinds(topic, table),
        meaning=meaning,
        severity=severity or Severity.DUTY,
        history=read_history(table, known, lambda row: _value(topic, row, known)),
        classes=classes,
        zones=read_zones(table, known),
        when=read_needs(table, "if", known),
        unless=read_needs(table, "unless", known),
        rival=table.text("rival", needed=False),
        replaces=table.words("replaces", needed=False),
        species=species,
        use=use or Use.OTHER,
        gear=gear,
    )
    table.close()
    return rule


def _value(topic: Topic, row: Table, known: Known) -> Value | None:
    if row.raw.get("form") == "not-known":
        row.text("form")
        return NotHeld()
    if topic is Topic.SEASON:
        return read_season_form(row, known)
    if topic is Topic.CATCH:
        return read_catch_form(row, known)
    if topic is Topic.REPORT:
        return read_report(row, known)
    return read_need(row, known)


def _kinds(topic: Topic, table: Table) -> tuple[int, ...]:
    found = table.numbers("kinds")
    for number in found:
        if number not in KINDS[topic]:
            do = f"Allowed: {', '.join(map(str, sorted(KINDS[topic])))}."
            table.fault(NOT_ALLOWED, f"kind {number} does not belong in this table.", "kinds", do)
    return found


def read_area(name: str, table: Table, known: Known) -> Area | None:
    """Read one ``[zone.NAME]``: a polygon that answers a question."""
    question, answer = table.text("question"), table.text("answer")
    pairs = table.ring("ring")
    cites = read_cites(table, known, needed=True)
    table.text("note", needed=False)
    table.close()
    held = known.questions.get(question)
    if held is None and question:
        do = f"Questions held: {', '.join(known.questions) or 'none'}."
        table.fault(NO_SUCH_NAME, f"there is no question '{question}'.", "question", do)
    elif held is not None and answer not in held.answers:
        do = f"Answers held: {', '.join(held.answers)}."
        table.fault(NO_SUCH_NAME, f"'{question}' has no answer '{answer}'.", "answer", do)
    try:
        ring = tuple(LonLat(lon, lat) for lon, lat in pairs)
    except Refused as refused:
        table.faults.extend(refused.faults)
        return None
    return Area(name, question, answer, ring, cites) if ring else None


def _check_names(rules: tuple[Rule, ...], top: Table, known: Known) -> None:
    seen: dict[str, Rule] = {}
    for rule in rules:
        if rule.id in seen:
            what = f"'{rule.id}' is the name of a rule in [{seen[rule.id].topic}] already."
            top.fault(SENSELESS, what, f"{rule.topic}.{rule.id}", "Give each rule a name of its own.")
        seen[rule.id] = rule
    for rule in rules:
        for key, names in (("rival", (rule.rival,) if rule.rival else ()), ("replaces", rule.replaces)):
            for name in names:
                if name not in seen:
                    do = f"Rules held: {', '.join(sorted(seen))}."
                    top.fault(
                        NO_SUCH_NAME, f"there is no rule '{name}'.", f"{rule.topic}.{rule.id}.{key}", do
                    )
    seasons = sorted(rule.id for rule in rules if rule.topic is Topic.SEASON)
    for name, where in known.seasons:
        if name and name != "own" and name not in seasons:
            do = f"Seasons held: {', '.join(seasons) or 'none'}."
            top.faults.add(NO_SUCH_NAME, f"there is no season '{name}'.", where, do)
    _check_rounds(rules, top)


def _check_rounds(rules: tuple[Rule, ...], top: Table) -> None:
    """Fault seasons that rest on one another in a ring."""
    leads = {rule.id: seasons_named(rule) for rule in rules if rule.topic is Topic.SEASON}
    for start, first in leads.items():
        reached, queue = set[str](), list(first)
        while queue:
            name = queue.pop()
            if name not in reached:
                reached.add(name)
                queue += leads.get(name, ())
        if start in reached:
            do = "Let one of them stand by itself."
            top.fault(SENSELESS, "the season rests on itself, by way of others.", f"season.{start}", do)


def seasons_named(rule: Rule) -> tuple[str, ...]:
    """Give the seasons on which a season rests."""
    names: list[str] = []
    for term in rule.history.terms:
        value = term.value
        edges = getattr(value, "edges", None)
        if edges is not None:
            names += [*edges.inside, *edges.closed_while]
        names += [name for name in (getattr(value, "end_of", ""), getattr(value, "season", "")) if name]
    return tuple(names)
