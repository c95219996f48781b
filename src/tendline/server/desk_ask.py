"""Owns the form of one thing the desk page may ask: its name, what it takes and gives, and who answers.

Does not own the list of them (`desk_asks`) or HTTP (`desk`).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

import jsonschema

from tendline.core.errors import FaultList
from tendline.jobs.answer import Answer
from tendline.jobs.serve import Desk
from tendline.server.answers_kept import AnswersKept
from tendline.server.faults import BAD_ASK
from tendline.server.works import Works

Body = Mapping[str, Any]
T = TypeVar("T")


@dataclass(frozen=True)
class Here:
    """What a job asked from the desk page stands on.

    Parameters
    ----------
    desk
        The opened line.
    works
        Does what takes long.
    url
        The address that phones reach.
    answers
        What takes a while, and changes little.
    """

    desk: Desk
    works: Works
    url: str
    answers: AnswersKept = field(default_factory=AnswersKept)

    def kept(self, name: str, make: Callable[[], T]) -> T:
        """Give what was kept from before, while the record and the settings are as they were."""
        return self.answers.get(name, self.desk.stamp(), self.desk.now(), make)

    def forget(self, name: str) -> None:
        """Have an answer made anew next time."""
        self.answers.forget(name)


@dataclass(frozen=True)
class Sent:
    """An answer that is no JSON: a page to print, a picture, a file to keep."""

    content: bytes
    media_type: str
    name: str = ""


@dataclass(frozen=True)
class Ask:
    """One thing the desk page may ask.

    Parameters
    ----------
    name
        Behind ``/api/desk/``.
    words
        What it does, in one sentence.
    does
        Answers.
    takes
        JSON Schema of every key it takes.
    needs
        The keys it cannot do without.
    gives
        Name of the schema of its answer in `jobs/schemas`, or the schema itself; None for a file.
    """

    name: str
    words: str
    does: Callable[[Here, Body], Answer | Sent]
    takes: Mapping[str, Any] = field(default_factory=dict)
    needs: tuple[str, ...] = ()
    gives: str | Mapping[str, Any] | None = field(default_factory=dict)

    @property
    def schema(self) -> dict[str, Any]:
        """JSON Schema of what it takes."""
        return {
            "type": "object",
            "properties": dict(self.takes),
            "required": list(self.needs),
            "additionalProperties": False,
        }

    def check(self, body: Body) -> None:
        """Refuse what has the wrong form, all of it at once.

        Raises
        ------
        Refused
            SRV-105.
        """
        faults = FaultList()
        for error in jsonschema.Draft202012Validator(self.schema).iter_errors(body):
            where = ".".join(str(part) for part in error.absolute_path)
            faults.add(BAD_ASK, f"{error.message[:200]}.", where, "Load the page again.")
        faults.refuse()
