"""Owns asking any need of the facts, whatever its kind, and needs put together.

Does not own the single kinds (`rules.meet_device`, `rules.meet_place`, `rules.meet_paper`, `rules.seasons`).
"""

from collections.abc import Callable, Mapping
from typing import Any

from tendline.rules.facts_ask import quality_of, word_of
from tendline.rules.meet_device import meet_height, meet_length, meet_measure, meet_part, meet_tag
from tendline.rules.meet_paper import meet_neighbours, meet_paper, meet_permission, meet_produce
from tendline.rules.meet_place import meet_circle, meet_distance
from tendline.rules.needs import (
    AllOf,
    AnyOf,
    Choice,
    CircleNeed,
    DistanceNeed,
    HeightNeed,
    LengthNeed,
    MeasureNeed,
    Need,
    NeighbourNeed,
    NotHeld,
    PaperNeed,
    PartNeed,
    PermissionNeed,
    ProduceNeed,
    QualityNeed,
    SeasonNeed,
    TagNeed,
    WordNeed,
)
from tendline.rules.outcome import Met, Outcome, all_of, any_of, no, unknown, yes
from tendline.rules.scene import Scene
from tendline.rules.seasons import own_season, season_at


def meet(need: Need, scene: Scene) -> Outcome:
    """Say whether the facts meet a need."""
    return _MEETERS[type(need)](need, scene)


def meet_all(needs: tuple[Need, ...], scene: Scene) -> Outcome:
    """Say whether the facts meet all needs; none asked is nothing asked."""
    return all_of([meet(need, scene) for need in needs])


def _quality(need: QualityNeed, scene: Scene) -> Outcome:
    name = need.quality.replace("-", " ")
    found = quality_of(scene.facts, need.quality)
    if found is None:
        return unknown(f"record: {name}, yes or no", f"'{name}' is not recorded")
    said = f"{name}: {'yes' if found else 'no'}"
    return yes(said) if found is need.wanted else no(said)


def _word(need: WordNeed, scene: Scene) -> Outcome:
    name = need.word.replace("-", " ")
    found = scene.answers.get(need.word) if need.answer else word_of(scene.facts, need.word)
    if found is None:
        if need.answer:
            question = scene.profile.questions[need.word]
            ask = f"answer '{need.word}': {question.ask} ({' or '.join(question.answers)})"
            return unknown(ask, f"'{need.word}' is not answered")
        return unknown(f"record the {name}", f"the {name} is not recorded")
    listed = {word.casefold() for word in need.one_of or need.none_of}
    fine = (found.casefold() in listed) is bool(need.one_of)
    allowed = (
        f"allowed: {', '.join(need.one_of)}" if need.one_of else f"not allowed: {', '.join(need.none_of)}"
    )
    said = f"the {name} is {found}; {allowed}"
    return yes(said) if fine else no(said)


def _choice(choice: Choice, scene: Scene) -> Outcome:
    first = meet(choice.need, scene)
    if not choice.then or first.met not in (Met.YES, Met.CLOSE):
        return first
    follow = [meet(need, scene) for need in choice.then]
    found = all_of([first, *follow])
    if found.met is Met.NO:
        return Outcome(Met.NO, (*first.said, "which then also asks:", *found.said), found.ask, found.shown)
    return found


def _any(need: AnyOf, scene: Scene) -> Outcome:
    return any_of([_choice(choice, scene) for choice in need.choices])


def _season(need: SeasonNeed, scene: Scene) -> Outcome:
    facts = scene.facts
    at = scene.now
    if facts.catch is not None and facts.catch.found_at is not None:
        at = facts.catch.found_at
    if need.season == "own":
        target = facts.set.species if facts.set is not None else None
        species = facts.catch.species if facts.catch is not None else target
        if not species:
            return unknown("record what animal it is", "what animal is meant is not recorded")
        found = own_season(species, at, scene)
    else:
        found = season_at(need.season, at, scene)
    if found.met is Met.UNKNOWN:
        return Outcome(Met.UNKNOWN, found.said, (f"find out the dates of '{need.season}'",))
    fine = (found.met is Met.YES) is need.is_open
    return yes(*found.said) if fine else no(*found.said)


_MEETERS: Mapping[type[Need], Callable[[Any, Scene], Outcome]] = {
    NotHeld: lambda _, __: unknown("find out what the law says", "it was looked for and not found"),
    MeasureNeed: lambda need, scene: meet_measure(need, scene.facts),
    HeightNeed: lambda need, scene: meet_height(need, scene.facts),
    LengthNeed: lambda need, scene: meet_length(need, scene.facts),
    PartNeed: lambda need, scene: meet_part(need, scene.facts),
    TagNeed: lambda need, scene: meet_tag(need, scene.facts),
    ProduceNeed: lambda need, scene: meet_produce(need, scene.facts),
    QualityNeed: _quality,
    WordNeed: _word,
    DistanceNeed: meet_distance,
    CircleNeed: meet_circle,
    PaperNeed: meet_paper,
    PermissionNeed: meet_permission,
    NeighbourNeed: meet_neighbours,
    SeasonNeed: _season,
    AllOf: lambda need, scene: meet_all(need.needs, scene),
    AnyOf: _any,
}
