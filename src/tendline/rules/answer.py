"""Owns what is asked of the law about one set, and the shape of its answers.

Does not own the asking: that is `rules.ask`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from tendline.core.place import LonLat
from tendline.core.source import Citation, Status
from tendline.core.words import DeviceClass
from tendline.rules.shape import WhoForm


class Verdict(StrEnum):
    """What the law says of one set's next look."""

    DUE = "due"
    OVERDUE = "overdue"
    NOT_VERIFIED = "not verified"
    NO_CLOCK = "no clock"
    PROHIBITED = "prohibited"
    NOT_APPLICABLE = "not applicable"


@dataclass(frozen=True)
class Seen:
    """One look that saw the set: when, by whom (empty when not said), and whether from a distance only."""

    at: datetime
    by: str = ""
    from_distance: bool = False


@dataclass(frozen=True)
class RemoteState:
    """What a monitoring system last said of one set; None for what it has not said."""

    last_good_contact: datetime | None = None
    alert_at: datetime | None = None


@dataclass(frozen=True)
class Watched:
    """What the law looks at for one set.

    Parameters
    ----------
    name
        Short name of the set.
    device_class
        For rules that differ by it.
    place, zone
        Where it stands and the zone there.
    set_at
        When it was made; None when the record does not say.
    looks
        Looks that saw it, oldest first. A search that did not find it is none of them.
    in_field
        A device is out there.
    working
        It is open; False once it is closed or unset.
    answers
        Answers to the profile's questions, and under ``daily-means`` how an undefined "daily" is read.
    handler
        Whose set it is; empty when not said.
    agents
        People who hold the handler's written leave to look.
    remote
        What a monitoring system says; None when nothing monitors it.
    """

    name: str
    device_class: DeviceClass
    place: LonLat
    zone: ZoneInfo
    set_at: datetime | None
    looks: tuple[Seen, ...] = ()
    in_field: bool = True
    working: bool = True
    answers: Mapping[str, str] = field(default_factory=dict)
    handler: str = ""
    agents: frozenset[str] = frozenset()
    remote: RemoteState | None = None


@dataclass(frozen=True)
class OtherLimit:
    """A rule that binds or may bind as well, but later."""

    rule: str
    words: str
    due_at: datetime
    citation: Citation


@dataclass(frozen=True)
class DueAnswer:
    """When the next look at one set falls due, and on what that rests. Instants are UTC.

    Parameters
    ----------
    set_name, profile
        Which set, which profile (empty when there is none).
    verdict
        Due, overdue, and so on.
    verified
        The person has confirmed the profile for this season and nothing is open. False is never "allowed".
    due_at
        The last second in which a look is in time; None when no limit can be told.
    act_by
        The last second that is in time and in lawful hours: before `due_at` when that falls in barred hours.
    since
        What the clock runs from: the last look that counts, the making, or a monitoring system's last word.
    rule, form, words
        The strictest rule: its id, the name of its form, and the rule in a few words.
    citations
        Where it was read; the first is the one it rests on.
    said
        What must be told with the answer, in plain sentences.
    confirm
        What the person can do so that the answer holds.
    advisories
        Advice of the law and of common practice; binds nobody.
    others
        Other limits, the earliest first.
    go_now
        The device wants seeing at once: it is overdue, prohibited, or nobody knows when it was last seen.
    """

    set_name: str
    profile: str
    verdict: Verdict
    verified: bool = False
    due_at: datetime | None = None
    act_by: datetime | None = None
    since: datetime | None = None
    rule: str = ""
    form: str = ""
    words: str = ""
    citations: tuple[Citation, ...] = ()
    said: tuple[str, ...] = ()
    confirm: tuple[str, ...] = ()
    advisories: tuple[str, ...] = ()
    others: tuple[OtherLimit, ...] = ()
    go_now: bool = False

    @property
    def citation(self) -> Citation | None:
        """The source the answer rests on."""
        return self.citations[0] if self.citations else None

    @property
    def status(self) -> Status:
        """How surely the strictest rule is known."""
        return self.citations[0].status if self.citations else Status.UNKNOWN


@dataclass(frozen=True)
class WhoAnswer:
    """Who may make a look at a set.

    Parameters
    ----------
    forms
        What the profile says; empty when it says nothing.
    others_may
        Whether somebody other than the handler may go: True, False, or None when that is not known.
    needs_leave
        The other person needs the handler's written leave.
    in_emergency
        In an emergency another may go with written leave, whoever may else.
    verified
        As in `DueAnswer`.
    said, confirm, citations
        As in `DueAnswer`.
    """

    forms: tuple[WhoForm, ...]
    others_may: bool | None
    needs_leave: bool
    verified: bool
    said: tuple[str, ...]
    confirm: tuple[str, ...]
    citations: tuple[Citation, ...]
    in_emergency: bool = False


@dataclass(frozen=True)
class ClosingAnswer:
    """Whether closing a set ends the duty to look at it (None: not verified), and where that was read."""

    stops: bool | None
    citations: tuple[Citation, ...]
