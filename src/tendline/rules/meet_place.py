"""Owns whether a set keeps its distances: from features, to which edge, from its reach; and the clear circle.

Does not own how far it is (`rules.facts`) or numbers against bounds (`rules.meet_measures`).
"""

from dataclasses import replace
from fractions import Fraction

from tendline.rules.dated import Quantity
from tendline.rules.facts import Measure, Near, Obstacle, SetFacts
from tendline.rules.finding import Shown
from tendline.rules.meet_measures import inside, inside_by_chance
from tendline.rules.needs import Bounds, CircleNeed, DistanceNeed
from tendline.rules.outcome import Met, Outcome, all_of, any_of, no, shifted, unknown, yes
from tendline.rules.quantities import in_si, written
from tendline.rules.scene import Scene

_CENTRE = "centre-line"


def meet_distance(need: DistanceNeed, scene: Scene) -> Outcome:
    """Ask the distance from every feature of the kinds named; to be within a distance, one is enough."""
    held = scene.facts.set
    if held is None:
        return unknown("record the set", "no set is recorded")
    near = [n for n in held.near if n.feature in need.features]
    outcomes = [_one(need, n, held, scene) for n in near]
    unlooked = [f for f in need.features if f not in held.looked_for]
    beyond = need.bounds.at_least or need.bounds.more_than
    blanks = [_not_looked(feature, need) for feature in unlooked]
    if beyond is None:
        none = no(f"no {' or '.join(need.features)} is near")
        return any_of([*outcomes, *blanks] or [none])
    if not outcomes and not blanks:
        return yes(f"no {' or '.join(need.features)} is near: somebody has looked")
    found = all_of([*outcomes, *blanks])
    return found if found.shown is not None else replace(found, shown=_nearest(outcomes))


def _nearest(outcomes: list[Outcome]) -> Shown | None:
    shown = [o.shown for o in outcomes if o.shown is not None]
    return min(shown, key=lambda s: s.margin) if shown else None


def _not_looked(feature: str, need: DistanceNeed) -> Outcome:
    ask = f"look for a {feature} and say what is there ({need.bounds.words})"
    return unknown(ask, f"nobody has recorded that every {feature} near by was looked for")


def _one(need: DistanceNeed, near: Near, held: SetFacts, scene: Scene) -> Outcome:
    distance, what = near.distance, f"the distance to {near.name or f'the {near.feature}'}"
    if need.from_reach:
        if held.reach is None:
            return unknown("measure anchor, extension and cable", "how far it reaches is not recorded")
        distance, what = distance.minus(held.reach), f"what is left between its reach and the {near.feature}"
    if near.error95_m:
        found = inside_by_chance(distance, need.bounds, what, error95_m=near.error95_m, sure=scene.sure)
    else:
        found = inside(distance, need.bounds, what)
    return _waived(need, near, _by_edge(need, near, found))


def _by_edge(need: DistanceNeed, near: Near, found: Outcome) -> Outcome:
    """Read a distance to another edge than the law's: the centre line lies farther off than any edge."""
    if (near.edge == _CENTRE) == (need.edge == _CENTRE):
        return found
    beyond = need.bounds.at_least is not None or need.bounds.more_than is not None
    settled = Met.NO if near.edge == _CENTRE else Met.YES
    if found.met is (settled if beyond else Met.YES if settled is Met.NO else Met.NO):
        return found
    said = f"it was measured to the {near.edge}; the law measures to the {need.edge}"
    return shifted(found, Met.UNKNOWN, said, ask=(f"measure again, to the {need.edge}",))


def _waived(need: DistanceNeed, near: Near, found: Outcome) -> Outcome:
    if found.met is Met.YES or not need.waived_by:
        return found
    have = [word for word in need.waived_by if word in near.waivers]
    if have:
        return shifted(replace(found, ask=()), Met.YES, f"which is waived by {have[0]}")
    unasked = [word for word in need.waived_by if word not in near.not_waived]
    if unasked:
        ask = f"record whether {' or '.join(unasked)} waives it ({near.name or near.feature})"
        return shifted(found, Met.UNKNOWN, f"{' or '.join(unasked)} would waive it", ask=(ask,))
    return found


def meet_circle(need: CircleNeed, scene: Scene) -> Outcome:
    """Ask that nothing to tangle on stands within the reach and its margin, up to a height."""
    held = scene.facts.set
    if held is None or held.reach is None:
        return unknown("measure anchor, extension and cable", "how far it reaches is not recorded")
    if held.obstacles is None:
        return unknown(
            "go round it and record every obstacle, or that there is none",
            "nobody has recorded the obstacles",
        )
    radius = held.reach
    if need.margin is not None:
        extra = float(in_si(need.margin))
        radius = radius.plus(Measure(extra))
    outcomes = [_clear(need, obstacle, radius) for obstacle in held.obstacles]
    return all_of(outcomes) if outcomes else yes("nothing to tangle on is within reach: somebody has looked")


def _clear(need: CircleNeed, obstacle: Obstacle, radius: Measure) -> Outcome:
    if need.up_to is not None and obstacle.height is not None:
        above = inside(obstacle.height, Bounds(more_than=need.up_to), f"the height of {obstacle.name}")
        if above.met is Met.YES:
            return yes(f"{obstacle.name} is higher than {need.up_to.text}")
    wanted = need.margin or need.up_to
    unit = wanted.unit if wanted is not None else "ft"
    none = Bounds(more_than=Quantity(f"0 {unit}", unit, Fraction(0)))
    found = inside(obstacle.distance.minus(radius), none, f"the room to {obstacle.name}")
    with_margin = " with the margin" if need.margin is not None else ""
    said = (
        f"{obstacle.name} stands {written(obstacle.distance.value, unit)} from the anchor; "
        f"a held animal reaches {written(radius.value, unit)}{with_margin}"
    )
    return replace(found, said=(said,))
