"""Owns everything one judging looks at: profile, facts, the moment, the law's clock, and how sure is sure.

Does not own the judging (`rules.judge`).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from statistics import NormalDist
from zoneinfo import ZoneInfo

from tendline.core.when import clock_text, local_day
from tendline.core.words import DeviceClass
from tendline.rules.areas import answers_at
from tendline.rules.facts import Facts
from tendline.rules.meet_measures import R95_PER_SIGMA
from tendline.rules.rule import Rule, Topic
from tendline.rules.shape import Fit, Profile


@dataclass(frozen=True)
class Scene:
    """One judging.

    Parameters
    ----------
    profile, facts, now
        As asked.
    zone
        The law's clock.
    day
        The law's calendar day at `now`.
    answers
        The answers that the profile knows: the person's own, and those that a zone on the map gives.
    sure
        How probable a side of a limit must be to be called, where position error decides.
    """

    profile: Profile
    facts: Facts
    now: datetime
    zone: ZoneInfo
    day: date
    answers: Mapping[str, str]
    sure: float

    @property
    def device_class(self) -> DeviceClass | None:
        """The class of device; None when it is not known."""
        if self.facts.device is not None:
            return self.facts.device.device_class
        return self.facts.watched.device_class if self.facts.watched is not None else None

    def rule(self, name: str) -> Rule | None:
        """Find a season by its id."""
        return next((r for r in self.profile.rules if r.id == name and r.topic is Topic.SEASON), None)

    def fit(self, rule: Rule) -> Fit:
        """Say whether a rule looks at this class of device, in this zone."""
        fit = Fit.YES
        if rule.classes:
            if self.device_class is None:
                fit = Fit.UNANSWERED
            elif self.device_class not in rule.classes:
                return Fit.NO
        for question, wanted in rule.zones.items():
            answer = self.answers.get(question)
            if answer is None:
                fit = Fit.UNANSWERED
            elif answer not in wanted:
                return Fit.NO
        return fit

    def questions_of(self, rule: Rule) -> tuple[str, ...]:
        """Give the questions on which a rule hangs and that nobody has answered."""
        asked = [self.profile.questions[q] for q in rule.zones if q not in self.answers]
        found = [f"answer '{q.id}': {q.ask} ({' or '.join(q.answers)})" for q in asked]
        if rule.classes and self.device_class is None:
            found.append("record what class of device it is")
        return tuple(found)

    def told(self, instant: datetime) -> str:
        """Write an instant by the law's clock."""
        return clock_text(instant, self.zone, relative_to=self.now)

    def day_of(self, instant: datetime) -> date:
        """Give the law's calendar day of an instant."""
        return local_day(instant, self.zone)


def open_scene(profile: Profile, facts: Facts, now: datetime, *, sure: float) -> Scene:
    """Bring facts before a profile; an answer of the person goes before one from the map."""
    zone = profile.legal_time.zone or facts.zone
    mapped: Mapping[str, str] = {}
    if facts.at is not None:
        margin = NormalDist().inv_cdf(sure) * facts.error95_m / R95_PER_SIGMA if facts.error95_m else 0.0
        mapped = answers_at(profile.areas, facts.at, margin_m=margin)
    given = {**mapped, **facts.answers}
    answers = {
        name: given[name]
        for name, question in profile.questions.items()
        if name in given and given[name] in question.answers
    }
    return Scene(profile, facts, now, zone, local_day(now, zone), answers, sure)
