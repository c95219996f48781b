"""Owns the list of values in a profile that a person goes through once a season: each with its source.

Does not own the profile (`rules`) or what the person said (`confirm`).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from tendline.core.source import Citation
from tendline.jobs.guidance import GUIDANCE
from tendline.rules.dated import History
from tendline.rules.rule import Rule
from tendline.rules.shape import Ban, CheckRule, Profile, WhoRule


@dataclass(frozen=True)
class ProfileValue:
    """One value of the law as held.

    Parameters
    ----------
    rule
        Its id in the profile.
    words
        What it says, in one plain sentence.
    since
        The first day it is known to hold; None when nothing holds on the day asked about.
    citations
        Where it was read, with how surely.
    """

    rule: str
    words: str
    since: date | None
    citations: tuple[Citation, ...]


def values_of(profile: Profile, day: date) -> tuple[ProfileValue, ...]:
    """Give every value of a profile as it stands on a day, in the order of the file."""
    return tuple(_values(profile, day))


def _values(profile: Profile, day: date) -> Iterator[ProfileValue]:
    rules: tuple[CheckRule | WhoRule | Ban | Rule, ...]
    rules = (*profile.checks, *profile.who, *profile.bans, *profile.rules)
    for rule in rules:
        yield _value(rule.id, rule.meaning, rule.history, day)
    if profile.closed_stops is not None:
        words = "Closing a set ends the duty to look at it, or does not."
        yield _value("closed_set", words, profile.closed_stops, day)
    if profile.distance_counts is not None:
        words = "A look from a distance counts, or does not."
        yield _value("from_distance", words, profile.distance_counts, day)
    for name in GUIDANCE:
        if (fact := profile.facts.get(name)) is not None:
            yield _value(f"fact.{name}", fact.meaning, fact.history, day)


def _value(rule: str, words: str, history: History[Any], day: date) -> ProfileValue:
    term = history.on(day)
    if term is None:
        return ProfileValue(rule, words, None, ())
    return ProfileValue(rule, words, term.day, term.cites)
