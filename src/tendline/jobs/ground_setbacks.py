"""Owns the setbacks of the line as areas: around every feature, as far as each rule in force keeps sets off.

Does not own the rules, nor whether a set breaks one (`lawful`): zones, waivers and reach are weighed there.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from tendline.core.feature import Feature
from tendline.core.place import Polygon
from tendline.ground.setback import setback
from tendline.rules.needs import AllOf, DistanceNeed
from tendline.rules.quantities import in_si
from tendline.rules.rule import Rule, Value
from tendline.rules.shape import Profile


@dataclass(frozen=True)
class Kept:
    """One distance that a rule keeps sets from a kind of feature.

    Parameters
    ----------
    profile, rule
        Where it stands.
    features
        Classes of feature.
    metres, text
        How far [m], and as the law writes it.
    """

    profile: str
    rule: Rule
    features: tuple[str, ...]
    metres: float
    text: str

    @property
    def words(self) -> str:
        """What the rule says, and what may make it not hold here."""
        where = [answer for answers in self.rule.zones.values() for answer in answers]
        more = [f"only in {' or '.join(where)}"] if where else []
        more += ["there are exceptions"] if self.rule.unless or self.rule.when else []
        return self.rule.meaning + (f" ({'; '.join(more)})" if more else "")


def distances_kept(profiles: Mapping[str, Profile], day: date) -> tuple[Kept, ...]:
    """Give every distance that a rule in force on a day keeps sets from a feature."""
    return tuple(one for profile in profiles.values() for one in _of(profile, day))


def _of(profile: Profile, day: date) -> Iterator[Kept]:
    for rule in profile.rules:
        term = rule.history.on(day)
        for need in _distances(term.value if term is not None else None):
            limit = need.bounds.at_least or need.bounds.more_than
            if limit is not None:
                yield Kept(profile.id, rule, need.features, float(in_si(limit)), limit.text)


def _distances(value: Value | None) -> Iterator[DistanceNeed]:
    if isinstance(value, DistanceNeed):
        yield value
    elif isinstance(value, AllOf):
        for each in value.needs:
            yield from _distances(each)


def setbacks(
    features: Sequence[Feature], kept: Sequence[Kept]
) -> tuple[tuple[Feature, Kept, tuple[Polygon, ...]], ...]:
    """Give the area round every feature for every rule that keeps sets from it, the widest first."""
    found = [
        (feature, one, setback(feature, one.metres))
        for feature in features
        for one in kept
        if feature.feature_class.value in one.features and one.metres > 0
    ]
    return tuple(sorted(found, key=lambda each: -each[1].metres))
