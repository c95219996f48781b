"""Owns taking out of a rule profile what it says of the loop and its breakaway, for the day.

Does not own the profile (`rules`) or the loop that follows (`gear.loop`). Rules that hang on a condition or
on an open question are taken as limits all the same, and that is said: the stricter way.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date

from tendline.almanac.datum import Base
from tendline.almanac.loops import across_of
from tendline.core.settings import Confirmation
from tendline.core.words import DeviceClass
from tendline.gear.chain import LegalMost
from tendline.gear.loop import HeightLimit, LoopLaw
from tendline.rules.case import to_confirm
from tendline.rules.dated import Quantity, Severity
from tendline.rules.needs import AllOf, AnyOf, Bounds, HeightNeed, MeasureNeed, Need, WordNeed
from tendline.rules.nouns import Across
from tendline.rules.quantities import in_si
from tendline.rules.rule import Rule
from tendline.rules.shape import Profile


@dataclass
class _Found:
    """What has been met so far."""

    open_most: list[float] = field(default_factory=list)
    stop_least: list[float] = field(default_factory=list)
    heights: list[HeightLimit] = field(default_factory=list)
    said: list[str] = field(default_factory=list)


def loop_law(
    profile: Profile,
    *,
    day: date,
    confirmation: Confirmation | None,
    snow_lies: bool,
    answers: Mapping[str, str],
) -> LoopLaw:
    """Give what a profile says of the loop of a live restraint.

    Parameters
    ----------
    profile
        The law, as held.
    day
        The law's calendar day.
    confirmation
        The person's own word on it.
    snow_lies
        Whether there is snow at the set: some laws then measure from another surface.
    answers
        The person's answers to the profile's questions.
    """
    found = _Found()
    for rule in profile.rules:
        if _fits(rule, answers):
            _take(rule, day, found, answers, snow_lies=snow_lies)
    confirm = to_confirm(profile, confirmation, day)
    if confirm:
        found.said.append(f"{profile.id} is not confirmed for this season: not verified")
    if profile.invented:
        found.said.append("this law is invented and holds nowhere")
    return LoopLaw(
        profile=profile.id,
        open_most_m=min(found.open_most, default=None),
        stop_least_m=max(found.stop_least, default=None),
        heights=tuple(found.heights),
        said=tuple(dict.fromkeys(found.said)),
        verified=not confirm and not profile.invented,
    )


def breakaway_law(
    profile: Profile, *, day: date, confirmation: Confirmation | None, answers: Mapping[str, str]
) -> tuple[LegalMost, ...]:
    """Give the most that a profile lets a breakaway hold, rule by rule; none where it holds no limit.

    Parameters
    ----------
    profile, day, confirmation, answers
        As for `loop_law`.
    """
    sure = not to_confirm(profile, confirmation, day) and not profile.invented
    found = []
    for rule in profile.rules:
        term = rule.history.on(day)
        if term is None or rule.severity is Severity.ADVICE or not _fits(rule, answers):
            continue
        if isinstance(term.value, Need):
            bound = sure and term.status.may_bind
            found += [
                LegalMost(profile.id, rule.meaning, most, bound, either)
                for most, either in _mosts(term.value)
            ]
    return tuple(found)


LOOPS = ("loop-open", "loop-now")
"""Measures of a loop as it hangs."""


def rules_on_hanging(profile: Profile, *, day: date, subtype: str | None) -> frozenset[str]:
    """Give the rules that look at how wide a loop hangs and how high, or hang on it.

    Parameters
    ----------
    profile, day
        As for `loop_law`.
    subtype
        Of the device; None leaves rules for one type of device out, as `loop_law` does.
    """
    found = set()
    for rule in profile.rules:
        term = rule.history.on(day)
        if term is None or (subtype is None and any(_names_subtype(need) for need in rule.when)):
            continue
        asked = (*rule.when, *rule.unless, *((term.value,) if isinstance(term.value, Need) else ()))
        if any(_on_hanging(need) for need in asked):
            found.add(rule.id)
    return frozenset(found)


def _on_hanging(need: Need) -> bool:
    match need:
        case HeightNeed():
            return True
        case MeasureNeed():
            return need.measure in LOOPS
        case AllOf():
            return any(_on_hanging(part) for part in need.needs)
        case AnyOf():
            return any(_on_hanging(choice.need) for choice in need.choices)
    return False


def _mosts(need: Need, *, either: bool = False) -> list[tuple[float, bool]]:
    """Give every most of a breakaway in a need [N], and whether it is one of several ways."""
    match need:
        case MeasureNeed(measure="breakaway"):
            most = _ends(need.bounds)[1]
            return [] if most is None else [(most, either)]
        case AllOf():
            return [found for part in need.needs for found in _mosts(part, either=either)]
        case AnyOf():
            return [found for choice in need.choices for found in _mosts(choice.need, either=True)]
    return []


def _fits(rule: Rule, answers: Mapping[str, str]) -> bool:
    """Say whether a rule looks at a live restraint here, or may."""
    if rule.classes and DeviceClass.LIVE_RESTRAINT not in rule.classes:
        return False
    return all(answers.get(question, wanted[0]) in wanted for question, wanted in rule.zones.items())


def _take(rule: Rule, day: date, found: _Found, answers: Mapping[str, str], *, snow_lies: bool) -> None:
    term = rule.history.on(day)
    value = term.value if term is not None else None
    if rule.severity is Severity.ADVICE or not isinstance(value, MeasureNeed | HeightNeed):
        return
    if isinstance(value, MeasureNeed) and value.measure not in ("loop-open", "stop"):
        return
    assert term is not None
    if any(_names_subtype(need) for need in rule.when):
        found.said.append(f"'{rule.id}' is for another type of device and is left out: {rule.meaning}")
        return
    if isinstance(value, MeasureNeed):
        _take_size(value, found)
    else:
        found.heights.append(_height(value, rule, snow_lies=snow_lies))
    if rule.when or not all(_names_subtype(need) for need in rule.unless):
        found.said.append(f"'{rule.id}' holds on a condition only; it is kept to here: {rule.meaning}")
    if any(question not in answers for question in rule.zones):
        found.said.append(f"'{rule.id}' holds in some places only; it is kept to here: {rule.meaning}")
    if not term.status.may_bind:
        found.said.append(
            f"'{rule.id}' is only known '{term.status.value}'; it is kept to here, not verified"
        )


def _names_subtype(need: Need) -> bool:
    """Say whether a condition is about a type of device, none of which a loop hung on a trail is."""
    return isinstance(need, WordNeed) and need.word == "subtype" and bool(need.one_of)


def _take_size(need: MeasureNeed, found: _Found) -> None:
    low, high = _ends(need.bounds)
    around = need.across is Across.CIRCUMFERENCE
    if need.measure == "loop-open" and high is not None:
        found.open_most.append(across_of(high) if around else high)
    if need.measure == "stop" and low is not None:
        found.stop_least.append(across_of(low) if around else low)


def _height(need: HeightNeed, rule: Rule, *, snow_lies: bool) -> HeightLimit:
    low, high = _ends(need.bounds)
    datum = need.above_on_snow if snow_lies and need.above_on_snow is not None else need.above
    return HeightLimit(need.height, Base(datum.value), low, high, rule.meaning)


def _ends(bounds: Bounds) -> tuple[float | None, float | None]:
    return (
        _tightest(max, bounds.at_least, bounds.more_than),
        _tightest(min, bounds.at_most, bounds.less_than),
    )


def _tightest(which: Callable[[list[float]], float], *limits: Quantity | None) -> float | None:
    given = [float(in_si(limit)) for limit in limits if limit is not None]
    return which(given) if given else None
