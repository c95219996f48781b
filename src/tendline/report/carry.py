"""Owns the carry list: what goes into the bag this morning, for this many sets, in this light.

Does not own the odds (`report.odds`). The list is common practice, no source; the person adds their own.
"""

from tendline.plan.itinerary import RoundPlan
from tendline.report.facts import RoundFacts, dark_looks
from tendline.report.odds import morning
from tendline.report.say import count, plain


def carry_list(plan: RoundPlan, facts: RoundFacts) -> tuple[str, ...]:
    """Make the list, most needed first; what single sets need stands last, with their names.

    Parameters
    ----------
    plan, facts
        Sets, odds, darkness, snow and the person's own additions.

    Returns
    -------
    tuple of str
        A few words each; at least one spare device and one support wire, whatever the odds.
    """
    odds = morning(plan, facts)
    usual = [
        "licence, certificate",
        "permission slips",
        "this card, two pencils",
        f"{count(max(1, odds.devices), 'spare device')}, tagged",
        f"{count(max(1, odds.supports), 'support wire')}, pliers",
        "cable cutters",
        "catch pole",
        "gloves, thick and thin",
        "height stick or tape",
        "phone, charged, worn warm",
        "paper map, compass",
        "dry layer, fire kit, first aid",
    ]
    if dark_looks(plan, facts.sun) != 0:
        usual.append("headlamp, spare cells")
    if facts.snow:
        usual.append("shovel, probe")
    wanted: dict[str, list[str]] = {}
    for visit in plan.visits:
        for thing in facts.sets[visit.set_name].bring:
            names = wanted.setdefault(plain(thing), [])
            names += [] if visit.set_name in names else [visit.set_name]
    special = [f"{thing}: {', '.join(names)}" for thing, names in wanted.items() if thing]
    return (*usual, *(plain(thing) for thing in facts.carry), *special)
