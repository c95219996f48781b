"""Owns whether papers, leave, notice to neighbours and things to be shown are as the law asks.

Does not own putting needs together (`rules.meet`).
"""

from datetime import date

from tendline.rules.facts import Facts, Neighbour, Paper, PermissionFacts
from tendline.rules.meet_measures import inside
from tendline.rules.needs import Bounds, NeighbourNeed, PaperNeed, PermissionNeed, ProduceNeed
from tendline.rules.outcome import Met, Outcome, all_of, any_of, idle, no, unknown, yes
from tendline.rules.scene import Scene


def meet_paper(need: PaperNeed, scene: Scene) -> Outcome:
    """Ask a licence or certificate: held today, and carried."""
    person = scene.facts.person
    if person is None:
        return unknown("record who goes", "no person is recorded")
    held = [paper for paper in person.papers if paper.kind == need.paper]
    if not held:
        if need.paper in person.lacks:
            return no(f"{person.name} does not hold '{need.paper}'")
        return unknown(
            f"record whether {person.name} holds '{need.paper}'", f"'{need.paper}' is not recorded"
        )
    return any_of([_held(need, paper, scene.day) for paper in held])


def _held(need: PaperNeed, paper: Paper, day: date) -> Outcome:
    if paper.issued is not None and day < paper.issued:
        return no(f"'{paper.kind}' begins on {paper.issued}")
    if paper.until is not None and day > paper.until:
        return no(f"'{paper.kind}' ended on {paper.until}")
    if not need.carried or paper.carried:
        return yes(f"'{paper.kind}' is held{' and carried' if need.carried else ''}")
    if paper.carried is None:
        return unknown(
            f"record that '{paper.kind}' is carried", f"whether '{paper.kind}' is carried is not recorded"
        )
    return no(f"'{paper.kind}' is not carried")


def meet_permission(need: PermissionNeed, scene: Scene) -> Outcome:
    """Ask leave of everybody whose leave is needed: one leave of each that is as the law wants it."""
    facts = scene.facts
    owners = facts.place.owners if facts.place is not None else None
    if owners is None:
        return unknown("record whose leave is needed", "whose leave is needed is not recorded")
    if facts.permissions is None:
        return unknown("record the leaves", "no leave is recorded, nor that there is none")
    if not owners:
        return yes("nobody's leave is needed")
    return all_of([_of(need, owner, scene) for owner in owners])


def _of(need: PermissionNeed, owner: str, scene: Scene) -> Outcome:
    leaves = [leave for leave in scene.facts.permissions or () if leave.owner == owner]
    if not leaves:
        return no(f"no leave of {owner} is on record")
    return any_of([_leave(need, leave, scene) for leave in leaves])


def _leave(need: PermissionNeed, leave: PermissionFacts, scene: Scene) -> Outcome:
    day, whose = scene.day, f"the leave of {leave.owner}"
    if leave.withdrawn is not None and leave.withdrawn <= day:
        return no(f"{whose} was withdrawn on {leave.withdrawn}")
    if leave.until is not None and day > leave.until:
        return no(f"{whose} lapsed on {leave.until}")
    if leave.issued is not None and day < leave.issued:
        return no(f"{whose} begins on {leave.issued}")
    outcomes = [yes(f"{whose} holds on {day}"), *_covers(need, leave, scene)]
    flags = (("written", need.written, leave.written), ("signed", need.signed, leave.signed))
    for word, wanted, found in (*flags, ("carried", need.carried, leave.carried)):
        if wanted:
            outcomes.append(_flag(whose, word, found))
    if need.issued_within_years is not None:
        outcomes.append(_age(need.issued_within_years, leave, day))
    if need.filed_first:
        outcomes.append(_filed(leave, scene))
    return all_of(outcomes)


def _covers(need: PermissionNeed, leave: PermissionFacts, scene: Scene) -> list[Outcome]:
    outcomes: list[Outcome] = []
    whose, target = (
        f"the leave of {leave.owner}",
        scene.facts.set.species if scene.facts.set is not None else None,
    )
    if need.names_method:
        outcomes.append(_names(whose, need.names_method, leave.methods))
    if need.names_species and target is None:
        outcomes.append(unknown("record what the set is for", "what the set is for is not recorded"))
    elif need.names_species and target is not None:
        outcomes.append(_names(whose, target, leave.species))
    elif leave.species and target is not None and target not in leave.species:
        outcomes.append(no(f"{whose} is for {', '.join(sorted(leave.species))}, not for {target}"))
    return outcomes


def _names(whose: str, word: str, named: frozenset[str] | None) -> Outcome:
    if named is None:
        return unknown(f"record whether {whose} names '{word}'", f"what {whose} names is not recorded")
    return yes(f"{whose} names '{word}'") if word in named else no(f"{whose} does not name '{word}'")


def _flag(whose: str, word: str, found: bool | None) -> Outcome:  # noqa: FBT001  a fact, not an option
    if found is None:
        return unknown(f"record whether {whose} is {word}", f"whether {whose} is {word} is not recorded")
    return yes(f"{whose} is {word}") if found else no(f"{whose} is not {word}")


def _age(years: int, leave: PermissionFacts, day: date) -> Outcome:
    whose = f"the leave of {leave.owner}"
    if leave.issued is None:
        return unknown(f"record the day of {whose}", f"the day of {whose} is not recorded")
    said = f"{whose} is of {leave.issued}; it may be {years} year{'s' if years > 1 else ''} old"
    return yes(said) if leave.issued >= years_before(day, years) else no(said)


def years_before(day: date, years: int) -> date:
    """Give the same day some years before; 29 February gives 28 February where there is none."""
    try:
        return day.replace(year=day.year - years)
    except ValueError:
        return day.replace(year=day.year - years, day=28)


def _filed(leave: PermissionFacts, scene: Scene) -> Outcome:
    whose = f"the leave of {leave.owner}"
    if leave.filed is None:
        if leave.filed_known:
            return no(f"no copy of {whose} was filed")
        return unknown(
            f"record when a copy of {whose} was filed", f"whether a copy of {whose} was filed is not recorded"
        )
    made = scene.facts.set.made_at if scene.facts.set is not None else None
    by = scene.day if made is None else scene.day_of(made)
    said = f"a copy of {whose} was filed on {leave.filed}; the set was made on {by}"
    return yes(said) if leave.filed <= by else no(said)


def meet_neighbours(need: NeighbourNeed, scene: Scene) -> Outcome:
    """Ask that everybody who lives within a distance was told, or has consented."""
    place = scene.facts.place
    if place is None or place.neighbours is None:
        ask = f"record everybody who lives within {need.within.text}, or that nobody does"
        return unknown(ask, "who lives near is not recorded")
    bounds = Bounds(at_most=need.within)
    near = [n for n in place.neighbours if inside(n.distance, bounds, n.name).met is not Met.NO]
    if not near:
        return yes(f"nobody lives within {need.within.text}: somebody has asked")
    return all_of([_neighbour(need, n, scene.day) for n in near])


def _neighbour(need: NeighbourNeed, neighbour: Neighbour, day: date) -> Outcome:
    told = neighbour.told or (neighbour.notified is not None and neighbour.notified <= day)
    found = neighbour.consented if need.consent else True if told else neighbour.told
    word = "consented" if need.consent else "been told"
    if found is None:
        return unknown(
            f"record whether {neighbour.name} has {word}",
            f"whether {neighbour.name} has {word} is not recorded",
        )
    return yes(f"{neighbour.name} has {word}") if found else no(f"{neighbour.name} has not {word}")


def meet_produce(need: ProduceNeed, facts: Facts) -> Outcome:
    """Ask that a thing was handed over whenever somebody asked; until then it is only to be kept ready."""
    asked = [d for d in facts.person.demands if d.what == need.what] if facts.person is not None else []
    if not asked:
        return idle(f"keep '{need.what}' ready: it must be shown or handed over when asked for")
    outcomes = []
    for demand in asked:
        if demand.met is None:
            ask = f"record whether '{need.what}' was handed over"
            outcomes.append(unknown(ask, f"'{need.what}' was asked for; what was done is not recorded"))
        else:
            outcomes.append(
                yes(f"'{need.what}' was handed over when asked for")
                if demand.met
                else no(f"'{need.what}' was asked for and not handed over")
            )
    return all_of(outcomes)
