"""Owns the list of long works: which job does each, and what it takes.

Does not own running them (`works`), nor the jobs.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from tendline.jobs.answer import Answer
from tendline.jobs.paper_shown import PAPERS, paper_shown
from tendline.jobs.round import Asked, round_
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


def _round(space: Workspace, asked: Mapping[str, Any], tell: Tell, should_stop: Stops) -> Answer:
    given: dict[str, Any] = {
        key: tuple(value) if isinstance(value, list) else value for key, value in asked.items()
    }
    return round_(space, Asked(**given), tell=tell, should_stop=should_stop)


def _paper(space: Workspace, asked: Mapping[str, Any], tell: Tell, should_stop: Stops) -> Answer:
    return paper_shown(
        space, asked.get("paper", ""), asked.get("options", {}), tell=tell, should_stop=should_stop
    )


LONG: Mapping[str, Long] = {
    "round": Long(
        "Plan one outing.",
        _round,
        {
            **dict.fromkeys(("start", "back", "on", "who", "origin", "destination", "weather"), TEXT),
            **dict.fromkeys(("must", "skip"), TEXTS),
            **dict.fromkeys(("everything", "only_due"), FLAG),
            "seed": count(0, 2**31 - 1),
            "seconds": number(0.1, 3600),
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
}
"""Every long work by name."""
