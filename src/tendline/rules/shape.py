"""Owns the shape of a rule profile: law as dated, cited values, each with how surely it is known.

Does not own reading one (`rules.load`), the arithmetic of a form (`rules.forms`) or asking it (`rules.ask`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from zoneinfo import ZoneInfo

from tendline.core.source import Citation
from tendline.core.words import DeviceClass
from tendline.rules.dated import History, Quantity, Severity
from tendline.rules.forms import Form
from tendline.rules.rule import Area, Rule


class ProfileState(StrEnum):
    """How far the makers of a profile have come with it; only the person's own word makes it hold."""

    DRAFT = "draft"
    CHECKED = "checked"
    RETIRED = "retired"


class Fit(StrEnum):
    """Whether a rule looks at a set."""

    YES = "yes"
    NO = "no"
    UNANSWERED = "unanswered"


class WhoForm(StrEnum):
    """Who may make a look, as laws put it."""

    NAMED_ONLY = "named-person-only"
    WRITTEN_AGENT = "written-agent"
    MAY_CAUSE = "may-cause-visit"
    USER_REMOVES = "only-user-removes"


@dataclass(frozen=True)
class Scope:
    """Which sets a rule looks at.

    Parameters
    ----------
    classes
        Classes of device.
    zones
        By question, the answers for which the rule holds; empty when it holds everywhere in the place.
    """

    classes: frozenset[DeviceClass]
    zones: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def fits(self, device_class: DeviceClass, answers: Mapping[str, str]) -> Fit:
        """Say whether a set is looked at; unanswered when that hangs on a question nobody has answered."""
        if device_class not in self.classes:
            return Fit.NO
        fit = Fit.YES
        for question, wanted in self.zones.items():
            answer = answers.get(question)
            if answer is None:
                fit = Fit.UNANSWERED
            elif answer not in wanted:
                return Fit.NO
        return fit


@dataclass(frozen=True)
class CheckRule:
    """One rule about when a set must, may or should be looked at.

    Parameters
    ----------
    id, meaning
        Its name inside the profile, and one sentence in plain words.
    severity
        Duty or advice.
    scope
        Which sets.
    history
        Its form with limits, dated.
    rival
        Id of another rule that is a second source's wording of the same duty; empty for none.
    """

    id: str
    meaning: str
    severity: Severity
    scope: Scope
    history: History[Form]
    rival: str = ""


@dataclass(frozen=True)
class Who:
    """Who may make a look; with `emergency_leave`, in an emergency another may with written leave."""

    form: WhoForm
    emergency_leave: bool = False


@dataclass(frozen=True)
class WhoRule:
    """One rule about who may make a look."""

    id: str
    meaning: str
    scope: Scope
    history: History[Who]


@dataclass(frozen=True)
class Ban:
    """A class of device that the law prohibits outright."""

    id: str
    meaning: str
    scope: Scope
    history: History[bool]


@dataclass(frozen=True)
class Question:
    """What only the person can say of a place: ``On which side of the river does the set stand?``.

    Parameters
    ----------
    id, ask
        The key of the answer, and the question.
    answers
        By answer, what it means.
    """

    id: str
    ask: str
    answers: Mapping[str, str]


@dataclass(frozen=True)
class LegalTime:
    """The clock the law goes by.

    Parameters
    ----------
    zone
        A fixed zone, or None for the zone in which the set stands.
    called
        What the law calls it: ``Trenton time``; empty when the text names none.
    cites
        Where that was read; empty when the text names none.
    """

    zone: ZoneInfo | None
    called: str = ""
    cites: tuple[Citation, ...] = ()


FactValue = Quantity | str | bool | tuple[str, ...]


@dataclass(frozen=True)
class Fact:
    """A dated, cited value that no rule engine reads yet: a loop size, a season date, a list of parts."""

    id: str
    meaning: str
    history: History[FactValue]


@dataclass(frozen=True)
class Profile:
    """The law of one place for this trade, as far as it is held.

    Parameters
    ----------
    id, title, about, country, region
        ``us-pa``; words for people; where.
    state
        Draft, checked or retired.
    reviewed
        The day its makers last went to the sources.
    good_until
        The last day for which it was made; after it the sources must be read again.
    invented
        Made up for an example; every answer says so.
    legal_time
        The clock it goes by.
    questions
        What the person must answer about a place, by id.
    checks, who, bans
        The rules.
    closed_stops
        Whether closing a set ends the duty to look at it; None when that was not found.
    distance_counts
        Whether a look from a distance counts; None when that was not found.
    rules
        The rules on device, height, place, season, person, paper, catch and report.
    areas
        Polygons that answer questions.
    facts
        Values held for later use, by id.
    cites
        Every source, by its key.
    """

    id: str
    title: str
    about: str
    country: str
    region: str
    state: ProfileState
    reviewed: date
    good_until: date
    invented: bool
    legal_time: LegalTime
    questions: Mapping[str, Question]
    checks: tuple[CheckRule, ...]
    who: tuple[WhoRule, ...] = ()
    bans: tuple[Ban, ...] = ()
    closed_stops: History[bool] | None = None
    distance_counts: History[bool] | None = None
    rules: tuple[Rule, ...] = ()
    areas: tuple[Area, ...] = ()
    facts: Mapping[str, Fact] = field(default_factory=dict)
    cites: Mapping[str, Citation] = field(default_factory=dict)
