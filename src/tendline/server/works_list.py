"""Owns the list of long works: which job does each, and what it takes.

Does not own running them (`works`), nor the jobs.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from tendline.jobs.answer import Answer
from tendline.jobs.isochrones import MINUTES, isochrones
from tendline.jobs.paper_shown import PAPERS, paper_shown
from tendline.jobs.room import room
from tendline.jobs.room_asked import AskedRoom
from tendline.jobs.round import Asked, round_
from tendline.jobs.weeks import AskedWeeks, weeks
from tendline.jobs.weeks_routine import weeks_routine
from tendline.jobs.weeks_without import without
from tendline.jobs.weeks_without_asked import AskedWithout
from tendline.jobs.workspace import Workspace
from tendline.server.desk_fields import FLAG, TEXT, TEXTS, WORDS, count, number, one_of

Tell = Callable[[str], None]
Stops = Callable[[], bool]


@dataclass(frozen=True)
class Long:
    """One long work.

    Parameters
    ----------
    words
        What it does, in one sentence.
    does
        Does it.
    takes
        JSON Schema of every key it takes.
    gives
        Name of the schema of its answer.
    """

    words: str
    does: Callable[[Workspace, Mapping[str, Any], Tell, Stops], Answer]
    takes: Mapping[str, Any] = field(default_factory=dict)
    gives: str = ""


def _given(asked: Mapping[str, Any]) -> dict[str, Any]:
    return {key: tuple(value) if isinstance(value, list) else value for key, value in asked.items()}


def _round(space: Workspace, asked: Mapping[str, Any], tell: Tell, should_stop: Stops) -> Answer:
    return round_(space, Asked(**_given(asked)), tell=tell, should_stop=should_stop)


def _weeks(space: Workspace, asked: Mapping[str, Any], tell: Tell, should_stop: Stops) -> Answer:
    return weeks(space, AskedWeeks(**_given(asked)), tell=tell, should_stop=should_stop)


def _routine(space: Workspace, asked: Mapping[str, Any], tell: Tell, should_stop: Stops) -> Answer:
    return weeks_routine(space, AskedWeeks(**_given(asked)), tell=tell, should_stop=should_stop)


def _without(space: Workspace, asked: Mapping[str, Any], tell: Tell, should_stop: Stops) -> Answer:
    return without(space, AskedWithout(**_given(asked)), tell=tell, should_stop=should_stop)


def _room(space: Workspace, asked: Mapping[str, Any], tell: Tell, should_stop: Stops) -> Answer:
    return room(space, AskedRoom(**_given(asked)), tell=tell, should_stop=should_stop)


_SEARCH = {"seed": count(0, 2**31 - 1), "seconds": number(0.1, 3600)}
_HOURS = {**dict.fromkeys(("mornings", "evenings"), TEXT), "who": TEXTS}
_WEEKS = {
    "days": count(1, 60),
    **_HOURS,
    "own": one_of("shown", "also"),
    "origin": TEXT,
    "own_min": number(0, 600),
    "safe": number(0, 0.999),
    "storm": number(0, 0.999),
    **dict.fromkeys(("keep", "apart", "also"), TEXTS),
    "record": FLAG,
    **_SEARCH,
}


def _paper(space: Workspace, asked: Mapping[str, Any], tell: Tell, should_stop: Stops) -> Answer:
    return paper_shown(
        space, asked.get("paper", ""), asked.get("options", {}), tell=tell, should_stop=should_stop
    )


def _on_foot(space: Workspace, asked: Mapping[str, Any], tell: Tell, should_stop: Stops) -> Answer:
    del should_stop  # some seconds
    tell("how far one gets on foot")
    minutes, dark = asked.get("minutes", MINUTES), asked.get("dark", False)
    return Answer("", isochrones(space, asked["starts"], minutes=minutes, dark=dark).document())


def _scout(space: Workspace, asked: Mapping[str, Any], tell: Tell, should_stop: Stops) -> Answer:
    del should_stop  # a solve has no half answer
    from tendline.jobs.scout import ScoutAsked, scout  # noqa: PLC0415 - heavy

    return scout(space, ScoutAsked(animals=(asked["animal"],), keep=True), tell=tell)


LONG: Mapping[str, Long] = {
    "round": Long(
        "Plan one outing.",
        _round,
        {
            **dict.fromkeys(("start", "back", "on", "who", "origin", "destination", "weather"), TEXT),
            **dict.fromkeys(("must", "skip"), TEXTS),
            **dict.fromkeys(("everything", "only_due"), FLAG),
            **_SEARCH,
            "iterations": count(1, 10**9),
        },
        "round",
    ),
    "paper": Long(
        "Make a paper, keep it in papers/, and give its pages to look at.",
        _paper,
        {"paper": one_of(*PAPERS), "options": WORDS},
        "paper-shown",
    ),
    "weeks": Long("Plan the days ahead so that no gap is over the limit.", _weeks, _WEEKS, "weeks"),
    "weeks-routine": Long("Plan a week that can be repeated.", _routine, _WEEKS, "weeks-routine"),
    "weeks-without": Long(
        "Say the least that must be done while somebody cannot go.",
        _without,
        {"without": TEXTS, "since": TEXT, "until": TEXT, **_HOURS, **_SEARCH},
        "weeks-without",
    ),
    "room": Long(
        "Count how many more sets can be tended.",
        _room,
        {
            **dict.fromkeys(("start", "back", "on", "who", "origin", "new", "mornings", "evenings"), TEXT),
            "everything": FLAG,
            "days": count(1, 60),
            "people": TEXTS,
            **_SEARCH,
        },
        "room",
    ),
    "on-foot": Long(
        "Say how far one gets on foot from the nearest of some places, in bands of minutes.",
        _on_foot,
        {
            "starts": {"type": "array", "items": TEXT, "minItems": 1, "maxItems": 200},
            "minutes": {"type": "array", "items": number(1, 240), "minItems": 1, "maxItems": 12},
            "dark": FLAG,
        },
        "on-foot",
    ),
    "scout": Long(
        "Scout every parcel, and keep what was found.",
        _scout,
        {"animal": one_of("coyote", "red fox", "gray fox")},
        "scout",
    ),
}
"""Every long work by name."""
