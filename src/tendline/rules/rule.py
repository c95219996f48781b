"""Owns one rule on device, tag, height, place, season, person, paper, catch or report, with its forms.

Does not own the needs (`rules.needs`), reading (`rules.load_land`) or asking (`rules.judge`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time
from enum import StrEnum

from tendline.core.place import LonLat
from tendline.core.source import Citation
from tendline.core.words import DeviceClass
from tendline.rules.dated import History, Severity
from tendline.rules.forms import Duration
from tendline.rules.needs import Need
from tendline.rules.nouns import Subject


class Topic(StrEnum):
    """The table of a profile in which a rule stands."""

    DEVICE = "device"
    TAG = "tag"
    HEIGHT = "height"
    PLACE = "place"
    SEASON = "season"
    PERSON = "person"
    PAPER = "paper"
    CATCH = "catch"
    REPORT = "report"

    @property
    def subject(self) -> Subject:
        """What a finding of such a rule is about."""
        return _SUBJECTS[self]


_SUBJECTS = {
    Topic.DEVICE: Subject.DEVICE,
    Topic.TAG: Subject.DEVICE,
    Topic.HEIGHT: Subject.SET,
    Topic.PLACE: Subject.SET,
    Topic.SEASON: Subject.SET,
    Topic.PERSON: Subject.PERSON,
    Topic.PAPER: Subject.PARCEL,
    Topic.CATCH: Subject.CATCH,
    Topic.REPORT: Subject.CATCH,
}


class Use(StrEnum):
    """What a season is for: taking animals, having devices out, or being referred to only."""

    TAKE = "take"
    SET = "set"
    OTHER = "other"


class Gear(StrEnum):
    """What counts as a device that is out."""

    OPEN = "open"
    SET_OR_SPRUNG = "set-or-sprung"


@dataclass(frozen=True)
class MonthDay:
    """A day of every year, as ``12-26``; 29 February is the last of February where there is none."""

    month: int
    day: int

    @property
    def text(self) -> str:
        """``12-26``."""
        return f"{self.month:02d}-{self.day:02d}"


@dataclass(frozen=True)
class Hour:
    """A clock time, or sunrise or sunset."""

    text: str
    clock: time | None = None


class SeasonForm:
    """One form of season."""


@dataclass(frozen=True)
class Edges:
    """What a season has beside its days: hours on the first and last, other seasons it needs or shuns."""

    opens: Hour | None = None
    closes: Hour | None = None
    inside: tuple[str, ...] = ()
    closed_while: tuple[str, ...] = ()


@dataclass(frozen=True)
class WindowSeason(SeasonForm):
    """Open from a day of the year to another, or to the end of another season; both included."""

    start: MonthDay
    end: MonthDay | None
    end_of: str = ""
    edges: Edges = field(default_factory=Edges)


@dataclass(frozen=True)
class DatesSeason(SeasonForm):
    """Open between dates that are set each year; nothing is known beyond them."""

    spans: tuple[tuple[date, date], ...]
    edges: Edges = field(default_factory=Edges)


@dataclass(frozen=True)
class AllYear(SeasonForm):
    """Open all year."""

    edges: Edges = field(default_factory=Edges)


@dataclass(frozen=True)
class ClosedWindow(SeasonForm):
    """Closed from a day of the year to another, both included; open else."""

    start: MonthDay
    end: MonthDay
    edges: Edges = field(default_factory=Edges)


@dataclass(frozen=True)
class Quota(SeasonForm):
    """A season closes so many days after so many were taken."""

    season: str
    count: int
    days_after: int


class CatchForm:
    """One form of rule on a catch."""


@dataclass(frozen=True)
class Targets(CatchForm):
    """The species that the device is for."""

    species: tuple[str, ...]


@dataclass(frozen=True)
class KeepIf(CatchForm):
    """Kept only while seasons are open and with papers held; ``own`` is that of the animal itself."""

    incidental: bool
    seasons: tuple[str, ...] = ()
    papers: tuple[str, ...] = ()


@dataclass(frozen=True)
class AtOnce(CatchForm):
    """To be done at once: a duty without a number."""

    act: str


@dataclass(frozen=True)
class Order(CatchForm):
    """Acts that go one before the other."""

    acts: tuple[str, ...]


@dataclass(frozen=True)
class OneOfActs(CatchForm):
    """One of several acts."""

    acts: tuple[str, ...]


@dataclass(frozen=True)
class MayNot(CatchForm):
    """Acts that are barred."""

    acts: tuple[str, ...]


@dataclass(frozen=True)
class PossessionEnd(CatchForm):
    """Held only to a day of the year, or so many days after a season."""

    held: tuple[str, ...]
    until: MonthDay | None = None
    season: str = ""
    days: int = 0


class From(StrEnum):
    """What a deadline runs from."""

    FOUND = "found"
    HARVEST = "harvest"
    SEASON_CLOSE = "season-close"


@dataclass(frozen=True)
class Report:
    """A report or another act with a deadline: exactly one of the limits.

    Parameters
    ----------
    act
        What counts as done.
    to
        To whom.
    start
        What the deadline runs from.
    within, days, business_days, soon
        Hours; calendar days; business days; or words without a number.
    season
        Whose close, for a deadline that runs from one; ``own`` for that of the animal.
    in_writing
        It must be written.
    """

    act: str
    to: str
    start: From = From.FOUND
    within: Duration | None = None
    days: int | None = None
    business_days: int | None = None
    soon: str = ""
    season: str = ""
    in_writing: bool = False


Value = Need | SeasonForm | CatchForm | Report


@dataclass(frozen=True)
class Rule:
    """One rule beside those on checking.

    Parameters
    ----------
    id, topic, kinds, meaning, severity
        Its name inside the profile, its table, the kinds of rule it is an example of, one plain sentence.
    classes
        Classes of device it looks at; empty for every one.
    zones
        By question, the answers for which it holds.
    when, unless
        All must hold; any that holds exempts.
    history
        Its value, dated.
    rival, replaces
        A second source's wording of the same duty; rules that do not hold where this one does.
    species
        Of a season or catch rule: the animals; empty for every one.
    use, gear
        Of a season.
    """

    id: str
    topic: Topic
    kinds: tuple[int, ...]
    meaning: str
    severity: Severity
    history: History[Value]
    classes: frozenset[DeviceClass] = frozenset()
    zones: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    when: tuple[Need, ...] = ()
    unless: tuple[Need, ...] = ()
    rival: str = ""
    replaces: tuple[str, ...] = ()
    species: tuple[str, ...] = ()
    use: Use = Use.OTHER
    gear: Gear | None = None


@dataclass(frozen=True)
class Area:
    """A polygon that answers a question: whoever stands inside it has that answer."""

    id: str
    question: str
    answer: str
    ring: tuple[LonLat, ...]
    cites: tuple[Citation, ...]
