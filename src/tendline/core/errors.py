"""Owns the one tree of errors, and the shape of a fault that a person can act on.

Does not own the codes: each room declares its own in its `faults.py`.

    TendlineError
    ├── Refused    the input is at fault; nothing was written        exit 2
    └── Damaged    what is kept has been harmed; says what is whole   exit 3
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import ClassVar


@dataclass(frozen=True)
class Code:
    """A stable name for one kind of fault, and the sentence that explains it in the docs.

    Parameters
    ----------
    id
        Two to four capital letters of the room, a dash, three digits: ``GND-101``.
    meaning
        One sentence for the table of errors.
    """

    id: str
    meaning: str


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong: what, where, and what to do about it.

    Parameters
    ----------
    code
        Which kind of fault.
    what
        What is wrong, with the value that was found.
    where
        File and row, file and key, set and time: enough to put a finger on it. May be empty.
    do
        What the person can do now.
    """

    code: Code
    what: str
    where: str
    do: str

    def __str__(self) -> str:
        """One line: code, place, what is wrong, what to do."""
        place = f"{self.where}: " if self.where else ""
        return f"{self.code.id} {place}{self.what} {self.do}".rstrip()


class TendlineError(Exception):
    """Any error meant for a person: it carries one or more faults, all found in one go."""

    exit_code: ClassVar[int] = 2

    def __init__(self, *faults: Fault) -> None:
        """Carry `faults`; at least one is needed."""
        if not faults:
            raise ValueError("an error for a person needs at least one fault")
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


class Refused(TendlineError):
    """The input is at fault. Nothing was written."""

    exit_code = 2


class Damaged(TendlineError):
    """What is kept has been harmed. The faults say what, and what is still whole."""

    exit_code = 3


@dataclass
class FaultList:
    """Collects the faults of one input, so that all are told together.

    Parameters
    ----------
    found
        The faults so far, in the order they were found.
    """

    found: list[Fault] = field(default_factory=list)

    def add(self, code: Code, what: str, where: str, do: str) -> None:
        """Note one fault and go on reading."""
        self.found.append(Fault(code, what, where, do))

    def extend(self, faults: Iterable[Fault]) -> None:
        """Note several faults."""
        self.found.extend(faults)

    def refuse(self) -> None:
        """Raise `Refused` with everything found so far, if anything was.

        Raises
        ------
        Refused
            With every fault collected.
        """
        if self.found:
            raise Refused(*self.found)


def refuse(code: Code, what: str, where: str, do: str) -> Refused:
    """Make a `Refused` with a single fault, to be raised by the caller."""
    return Refused(Fault(code, what, where, do))
