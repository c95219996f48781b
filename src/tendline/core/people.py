"""Owns the papers of people, and who else may go round besides the handler.

Does not own what the law asks of them (`rules`) or the file they stand in (`jobs.settings_file`).
"""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class PaperHeld:
    """A licence or certificate of the person.

    Parameters
    ----------
    kind
        As a rule profile calls it: ``cable-restraint-course``.
    name, number
        What stands on it, for people.
    first, last
        Good days, both included; None when it names none.
    carried
        It is carried on the line; None when not said.
    """

    kind: str
    name: str = ""
    number: str = ""
    first: date | None = None
    last: date | None = None
    carried: bool | None = None


@dataclass(frozen=True)
class Helper:
    """Somebody other than the handler who may go round.

    Parameters
    ----------
    name
        As they are named when they note something, and in ``--who``.
    phone
        How to reach them.
    leave
        They hold the handler's written leave to look at the sets; None when not said.
    leave_until
        The last day for which that leave holds; None when it names none.
    vehicle
        They have one; None when not said.
    papers, lacks
        Their licences and certificates; kinds that they do not hold.
    landowner
        Of the land of the line; None when not said.
    """

    name: str
    phone: str = ""
    leave: bool | None = None
    leave_until: date | None = None
    vehicle: bool | None = None
    papers: tuple[PaperHeld, ...] = ()
    lacks: tuple[str, ...] = ()
    landowner: bool | None = None

    def may_act(self, day: date) -> bool | None:
        """Say whether they hold the written leave on a day; None when not said."""
        if self.leave and self.leave_until is not None and day > self.leave_until:
            return False
        return self.leave
