"""Owns which height rules of a profile look at a set, with their bounds: what a forecast is held against.

Does not own whether the loop keeps them today (`rules.judge`). A rule that may hold, or is not surely known,
is given all the same and marked: the stricter way.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from tendline.core.settings import Confirmation
from tendline.core.source import Citation
from tendline.rules.case import to_confirm
from tendline.rules.dated import Quantity, Severity
from tendline.rules.facts import Datum, Facts
from tendline.rules.meet import meet, meet_all
from tendline.rules.needs import AllOf, Bounds, HeightNeed, Need
from tendline.rules.outcome import Met
from tendline.rules.quantities import in_si
from tendline.rules.rule import Rule, Topic
from tendline.rules.scene import Scene, open_scene
from tendline.rules.shape import Fit, Profile


@dataclass(frozen=True)
class HeightRule:
    """Bounds on the height of one point of a loop.

    Parameters
    ----------
    rule
        Its id in the profile.
    point
        ``bottom`` or ``top``.
    above
        Surface; on bare ground a surface of snow is the ground.
    least_m, most_m
        [m]; None where there is none.
    words
        In one sentence.
    verified
        It is confirmed, its source may bind, and it surely looks at this set.
    citation
        What it rests on.
    """

    rule: str
    point: str
    above: Datum
    least_m: float | None
    most_m: float | None
    words: str
    verified: bool
    citation: Citation


def height_rules(
    profile: Profile, facts: Facts, *, now: datetime, confirmation: Confirmation | None, sure: float
) -> tuple[HeightRule, ...]:
    """Give every height rule that looks at a set, or may.

    Parameters
    ----------
    profile, facts
        The law as held, and what is known of the set.
    now
        The moment.
    confirmation
        The person's own word on the profile.
    sure
        As for `rules.judge.judge`.
    """
    scene = open_scene(profile, facts, now, sure=sure)
    confirmed = not to_confirm(profile, confirmation, scene.day) and not profile.invented
    doubts = confirmation.doubts if confirmation is not None else {}
    return tuple(
        found
        for rule in profile.rules
        if rule.topic is Topic.HEIGHT and rule.severity is Severity.DUTY
        for found in _asked(rule, scene, confirmed=confirmed and rule.id not in doubts)
    )


def _asked(rule: Rule, scene: Scene, *, confirmed: bool) -> Iterator[HeightRule]:
    fit, term = scene.fit(rule), rule.history.on(scene.day)
    held = scene.facts.set
    if fit is Fit.NO or term is None or term.value is None or held is None:
        return
    if rule.species and held.species is not None and held.species not in rule.species:
        return
    when, exempt = meet_all(rule.when, scene).met, [meet(need, scene).met for need in rule.unless]
    if when is Met.NO or Met.YES in exempt:
        return
    open_question = when in _OPEN or any(met in _OPEN for met in exempt) or fit is not Fit.YES
    if not isinstance(term.value, Need):
        return
    for need in _heights(term.value):
        least, most = _ends(need.bounds)
        yield HeightRule(
            rule.id,
            need.height,
            need.above_on_snow or need.above,
            least,
            most,
            rule.meaning,
            verified=confirmed and term.status.may_bind and not open_question,
            citation=term.cites[0],
        )


_OPEN = (Met.UNKNOWN, Met.CLOSE)


def _heights(need: Need) -> Iterator[HeightNeed]:
    if isinstance(need, HeightNeed):
        yield need
    elif isinstance(need, AllOf):
        for part in need.needs:
            yield from _heights(part)


def _ends(bounds: Bounds) -> tuple[float | None, float | None]:
    least = [_metres(q) for q in (bounds.at_least, bounds.more_than) if q is not None]
    most = [_metres(q) for q in (bounds.at_most, bounds.less_than) if q is not None]
    return max(least, default=None), min(most, default=None)


def _metres(limit: Quantity) -> float:
    return float(in_si(limit))
