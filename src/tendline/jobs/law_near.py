"""Owns what lies near a set for the law: taped distances, features drawn, other sets, with how good each is.

Does not own the geometry (`ground.measure`) or the chances (`almanac.position`, `rules`).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tendline.almanac.geodesy import distances_m
from tendline.almanac.position import (
    UNSAID_ACCURACY_M,
    Side,
    chance_inside,
    joint_sigma,
    radius_m,
    side,
    sigma_of,
)
from tendline.core.feature import Feature
from tendline.core.line import Parcel, SetState
from tendline.core.words import FeatureClass
from tendline.ground.measure import Away, inside_m, nearest
from tendline.ground.shapes import distance_to_outline_m, outline_holds
from tendline.rules.facts import Measure, Near, Neighbour
from tendline.rules.nouns import FEATURES

NEAR_M = 2000.0
"""Every feature nearer than this is told to the law [m]: the longest distance of any rule read is a mile."""
_LATITUDE_M = 110_000.0
"""Less than a degree of latitude anywhere on WGS84 [m]: what is farther off in latitude alone is too far."""

_WAIVES = {
    "consent": "consent",
    "notice": "notice",
    "written": "written-permission",
    "own": "ownership",
    "closed_road": "closed-road",
}


@dataclass(frozen=True)
class OnParcel:
    """Whether a set stands on the parcel it is noted on, as far as its position tells.

    Parameters
    ----------
    parcel
        Short name.
    inside_m
        From the edge to the set [m]; below 0 outside.
    accuracy_m
        Of the position, as taken [m]; `assumed` when nobody said it.
    chance
        Of standing on it; near a corner the true chance is smaller.
    side
        Right side, wrong side, or too close to call.
    """

    parcel: str
    inside_m: float
    accuracy_m: float
    assumed: bool
    chance: float
    side: Side


def on_parcel(one: SetState, parcel: Parcel, *, sure: float) -> OnParcel:
    """Say whether a set stands on a parcel, with its chance."""
    place = one.fix.place
    edge = distance_to_outline_m(place, parcel.outline)
    signed = edge if outline_holds(parcel.outline, place) else -edge
    chance = chance_inside(signed, sigma_of(one.fix.accuracy_m))
    said = one.fix.accuracy_m
    return OnParcel(
        parcel.name,
        signed,
        UNSAID_ACCURACY_M if said is None else said,
        said is None,
        chance,
        side(chance, sure=sure),
    )


def near_of(one: SetState, features: Sequence[Feature], others: Iterable[SetState]) -> tuple[Near, ...]:
    """Give all that is near a set.

    Parameters
    ----------
    one
        The set.
    features
        Everything drawn.
    others
        The other sets in the field.

    Returns
    -------
    tuple of Near
        What was taped at the set goes before anything drawn of the same class: the person stood there.
    """
    taped = {str(name): float(metres) for name, metres in one.told.get("taped", {}).items()}
    drawn = [f for f in features if f.feature_class.value in FEATURES and f.feature_class.value not in taped]
    waivers, not_waived = _water(one)
    found = [
        Near(
            name,
            Measure(metres, how="taped or paced at the set"),
            waivers=waivers,
            not_waived=not_waived,
            name=name,
        )
        for name, metres in taped.items()
        if name in FEATURES
    ]
    found += [_drawn(one, each) for each in nearest(one.fix.place, drawn, within_m=NEAR_M)]
    if FeatureClass.OTHER_SET not in taped:
        found += _other_sets(one, others)
    return tuple(found)


def _drawn(one: SetState, each: Away) -> Near:
    feature = each.feature
    waivers, not_waived = (set(words) for words in _water(one))
    for name, word in _WAIVES.items():
        told = getattr(feature, name)
        if told is not None:
            (waivers if told else not_waived).add(word)
    low = each.least_m if each.least_m < each.metres else None
    return Near(
        feature.feature_class.value,
        Measure(each.metres, low, how=each.how or f"as drawn in {feature.where}"),
        edge=each.edge.value,
        error95_m=error95_m(one, feature.accuracy_m),
        waivers=frozenset(waivers),
        not_waived=frozenset(not_waived),
        name=feature.name or feature.feature_class.value,
    )


def _water(one: SetState) -> tuple[frozenset[str], frozenset[str]]:
    """Give what the set itself waives: standing in water."""
    wet = one.told.get("in_water")
    word = frozenset({"in-water"})
    return (word if wet else frozenset(), word if wet is False else frozenset())


def error95_m(one: SetState, other_accuracy_m: float | None) -> float:
    """Give the 95 % radius of the distance between a set and another measured thing [m]."""
    sigma = joint_sigma(sigma_of(one.fix.accuracy_m), sigma_of(other_accuracy_m))
    return radius_m(sigma, share=0.95)


def _other_sets(one: SetState, others: Iterable[SetState]) -> list[Near]:
    band = NEAR_M / _LATITUDE_M
    lat = one.fix.place.lat
    rest = [other for other in others if other.name != one.name and abs(other.fix.place.lat - lat) <= band]
    if not rest:
        return []
    metres = distances_m([one.fix.place], [other.fix.place for other in rest])[0]
    return [
        Near(
            FeatureClass.OTHER_SET.value,
            Measure(float(metres[k]), how="from the two positions"),
            error95_m=error95_m(one, other.fix.accuracy_m),
            name=f"set {other.name}",
        )
        for k, other in enumerate(rest)
        if metres[k] <= NEAR_M
    ]


def neighbours_of(one: SetState, features: Iterable[Feature]) -> tuple[Neighbour, ...]:
    """Give everybody who may live near a set: every house drawn that is not said to be empty or one's own."""
    homes = [
        f
        for f in features
        if f.feature_class is FeatureClass.DWELLING and f.occupied is not False and not f.own
    ]
    found = []
    for each in nearest(one.fix.place, homes, within_m=NEAR_M):
        spread, home = error95_m(one, each.feature.accuracy_m), each.feature
        distance = Measure(each.metres, max(0.0, each.least_m - spread), each.metres + spread, how=each.how)
        consented = home.consent if home.consent is not None else home.written
        found.append(Neighbour(home.name or home.where, distance, told=home.notice, consented=consented))
    return tuple(found)


def stands_in(one: SetState, features: Iterable[Feature], kind: FeatureClass, *, sure: float) -> bool | None:
    """Say whether a set stands inside an area of a kind; None when that is too close to call.

    Parameters
    ----------
    one
        The set.
    features
        Everything drawn.
    kind
        Which areas.
    sure
        Chance from which it counts as certain.

    Returns
    -------
    bool or None
        False means outside every one that is drawn: whether all are drawn is for the caller to know.
    """
    sides = []
    for feature in features:
        if feature.feature_class is kind:
            deep = inside_m(one.fix.place, feature)
            if deep is not None:
                sigma = joint_sigma(sigma_of(one.fix.accuracy_m), sigma_of(feature.accuracy_m))
                sides.append(side(chance_inside(deep, sigma), sure=sure))
    if Side.RIGHT in sides:
        return True
    return None if Side.TOO_CLOSE in sides else False
