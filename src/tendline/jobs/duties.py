"""Owns asking the law beforehand what must be done with an animal found tomorrow, kind by kind of animal.

Does not own the law (`rules`), nor a catch that has happened: `tendline lawful` judges those.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from tendline.core.feature import Feature
from tendline.core.line import Catch, LineState, SetState
from tendline.core.when import rfc3339
from tendline.core.words import Standing
from tendline.jobs.lawful import doubted
from tendline.jobs.lawful_facts import lawful_cases
from tendline.jobs.workspace import Workspace
from tendline.plan.due import profile_named
from tendline.rules.finding import Finding, Holds, first_things_first
from tendline.rules.judge import judge
from tendline.rules.nouns import Subject
from tendline.rules.rule import Targets, Topic
from tendline.rules.shape import Profile

OTHER = "other animal"
"""Any animal that no rule of the profile names."""
DOG = "dog"
"""A domestic animal; the record calls it by its own name."""
_HOUR = timedelta(hours=1)


def carried_duties(
    space: Workspace,
    line: LineState,
    *,
    profiles: Mapping[str, Profile],
    features: Sequence[Feature],
    found_at: datetime,
) -> list[dict[str, Any]]:
    """Say what every profile in use asks of a catch, as JSON can hold it.

    Parameters
    ----------
    space, line
        The opened line and how it stands.
    profiles
        Rule profiles by id.
    features
        Everything drawn on the ground.
    found_at
        When the animal would be found, UTC: the outing's start.

    Returns
    -------
    list of dict
        One for each profile, animal, and alive or dead; duties in the order of doing, with the minutes after
        the finding by which each is due, where the rule gives a number.
    """
    firsts: dict[str, SetState] = {}
    for one in line.in_field:
        firsts.setdefault(profile_named(one, line, settings=space.settings), one)
    asker = _Asker(space, line, features, found_at)
    return [
        asker.told(profiles[name], one, species, standing, alive=alive)
        for name, one in sorted(firsts.items())
        if name in profiles
        for species, standing in _animals(profiles[name], found_at)
        for alive in (True, False)
    ]


class _Asker:
    """Asks about one imagined catch after the other."""

    def __init__(
        self, space: Workspace, line: LineState, features: Sequence[Feature], found_at: datetime
    ) -> None:
        self._space = space
        self._line = line
        self._features = features
        self._at = found_at

    def told(
        self, profile: Profile, one: SetState, species: str, standing: Standing, *, alive: bool
    ) -> dict[str, Any]:
        """Give what a profile asks of one animal; a limit that moves with the finding is told in minutes."""
        first, later = (
            self._findings(profile, _imagined(one, species, standing, alive=alive, at=at), one)
            for at in (self._at, self._at + _HOUR)
        )
        moved = {f.rule for f in later if f.due_at is not None} & {
            f.rule
            for f in first
            if f.due_at is not None and any(g.rule == f.rule and g.due_at == f.due_at + _HOUR for g in later)
        }
        return {
            "profile": profile.id,
            "species": species,
            "standing": standing.value,
            "alive": alive,
            "duties": [_duty(f, self._at, moves=f.rule in moved) for f in _to_tell(first)],
        }

    def _findings(self, profile: Profile, catch: Catch, one: SetState) -> list[Finding]:
        cases = lawful_cases(_around(self._line, one, catch), self._features, settings=self._space.settings)
        case = next(c for c in cases if c.subject is Subject.CATCH)
        word = self._space.settings.word_on(profile.id)
        found = judge(profile, case.facts, now=catch.at, confirmation=word)
        return [doubted(finding, word) for finding in found]


def _animals(profile: Profile, at: datetime) -> list[tuple[str, Standing]]:
    """Give every animal the profile's rules on a catch name, then any other, then a dog."""
    targets: list[str] = []
    named: list[str] = []
    for rule in profile.rules:
        if rule.topic not in (Topic.CATCH, Topic.REPORT):
            continue
        term = rule.history.on(at.date())
        if term is not None and isinstance(term.value, Targets):
            targets += term.value.species
        named += rule.species
    animals = [(species, Standing.TARGET) for species in dict.fromkeys(targets)]
    animals += [(s, Standing.NONTARGET) for s in dict.fromkeys(named) if s not in targets]
    return [*animals, (OTHER, Standing.NONTARGET), (DOG, Standing.DOMESTIC)]


def _imagined(one: SetState, species: str, standing: Standing, *, alive: bool, at: datetime) -> Catch:
    return Catch(
        at=at,
        set_name=one.name,
        species=species,
        standing=standing.value,
        fate="",
        event="",
        tag=one.tag,
        told={"alive": alive},
    )


def _around(line: LineState, one: SetState, catch: Catch) -> LineState:
    """Give the line with that one set and that one catch: what holds there holds for the profile."""
    devices = {tag: device for tag, device in line.devices.items() if tag == one.tag}
    return replace(line, sets={one.name: one}, devices=devices, catches=(catch,))


def _to_tell(findings: Iterable[Finding]) -> list[Finding]:
    kept = list(findings)
    open_ones = [f for f in kept if f.holds in (Holds.FAIL, Holds.NOT_VERIFIED, Holds.CLOSE)]
    return [*first_things_first(kept), *open_ones]


def _duty(finding: Finding, found_at: datetime, *, moves: bool) -> dict[str, Any]:
    due = finding.due_at
    return {
        "words": finding.words,
        "holds": finding.holds.value,
        "said": list(finding.said) if due is None else [],
        "due_min": round((due - found_at).total_seconds() / 60, 1) if due is not None and moves else None,
        "due_at": rfc3339(due) if due is not None and not moves else None,
        "verified": finding.verified,
        "confirm": list(finding.confirm),
        "citation": str(finding.citation) if finding.citation else "",
    }
