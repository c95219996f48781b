"""Owns one set brought before one profile: which rules look at it, which looks count, which hours are lawful.

Does not own the limits that follow (`rules.ask`) or the arithmetic of a form (`rules.forms`).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeVar

from tendline.core.settings import Confirmation
from tendline.core.when import Span, clock_text, day_start, local_day
from tendline.rules.answer import Seen, Watched
from tendline.rules.dated import History, Severity
from tendline.rules.forms import SECOND, DailyReading, Form, Where, Window
from tendline.rules.shape import CheckRule, Fit, Profile, ProfileState, WhoForm, WhoRule
from tendline.rules.windows import joined

T = TypeVar("T")
DAILY_MEANS = "daily-means"
"""The answer that says how an undefined "daily" is read: a word of `DailyReading`."""


@dataclass(frozen=True)
class Case:
    """One set before one profile at one moment.

    Parameters
    ----------
    profile, watched, now
        As asked.
    where
        The law's clock, the place, the reading of "daily".
    day
        The law's calendar day at `now`.
    answers
        The answers that the profile knows; others are left out and told in `said`.
    said
        What had to be left out.
    """

    profile: Profile
    watched: Watched
    now: datetime
    where: Where
    day: date
    answers: Mapping[str, str]
    said: tuple[str, ...]

    def fit(self, rule: CheckRule | WhoRule) -> Fit:
        """Say whether a rule looks at the set."""
        return rule.scope.fits(self.watched.device_class, self.answers)

    def duties(self) -> Iterator[tuple[CheckRule, bool]]:
        """Give the binding check rules that look at the set, or may; with whether they surely do."""
        for rule in self.profile.checks:
            fit = self.fit(rule)
            if rule.severity is Severity.DUTY and fit is not Fit.NO:
                yield rule, fit is Fit.YES

    def open_questions(self) -> tuple[str, ...]:
        """Give the questions on which a rule for this set hangs and which nobody has answered."""
        scopes = [rule.scope for rule in self.profile.checks] + [ban.scope for ban in self.profile.bans]
        wanted = {
            question
            for scope in scopes
            if scope.fits(self.watched.device_class, self.answers) is Fit.UNANSWERED
            for question in scope.zones
            if question not in self.answers
        }
        asked = [question for name, question in self.profile.questions.items() if name in wanted]
        name = self.watched.name
        return tuple(f"answer '{q.id}' for {name}: {q.ask} ({' or '.join(q.answers)})" for q in asked)

    def told(self, instant: datetime) -> str:
        """Write an instant by the law's clock."""
        return clock_text(instant, self.where.zone)

    def lawful(self, over: Span) -> tuple[Span, ...]:
        """Give the stretches of `over` whose hours no duty bars, in order."""
        spans: tuple[Span, ...] = (over,)
        for rule, _ in self.duties():
            if any(isinstance(term.value, Window) for term in rule.history.terms):
                spans = joined([kept for span in spans for kept in self._lawful_by(rule.history, span)])
        return spans

    def last_counted(self) -> tuple[datetime | None, tuple[str, ...]]:
        """Give what the clock runs from, the last look that counts or the making; and what is passed over."""
        made = self.watched.set_at
        said: list[str] = []
        for look in reversed(self.watched.looks):
            if look.at > self.now:
                continue
            if made is not None and look.at < made:
                break
            why = self._why_not(look)
            if not why:
                return look.at, tuple(said)
            if not said:  # the newest one says enough
                said.append(f"the look of {self.told(look.at)} is not counted: {why}")
        return (made if made is None or made <= self.now else None), tuple(said)

    def _why_not(self, look: Seen) -> str:
        day = local_day(look.at, self.where.zone)
        if look.from_distance:
            term = self.profile.distance_counts.on(day) if self.profile.distance_counts is not None else None
            if term is None or not term.status.may_bind:
                return "it was from a distance, and the profile does not say that this counts"
            if not term.value:
                return "it was from a distance, which does not count"
        if not self._by_right_person(look, day):
            return f"{look.by} is not named, and holds no written leave on record"
        for rule, _ in self.duties():
            form = _value_on(rule.history, day)
            if isinstance(form, Window) and not form.lawful(Span(look.at, look.at), self.where):
                return f"it was outside lawful hours ({form.words})"
        return ""

    def _by_right_person(self, look: Seen, day: date) -> bool:
        person, handler = look.by.casefold(), self.watched.handler.casefold()
        if not person or not handler or person == handler:
            return True
        if person in {agent.casefold() for agent in self.watched.agents}:
            return True
        barred = (WhoForm.NAMED_ONLY, WhoForm.WRITTEN_AGENT)
        return not any(
            (who := _value_on(rule.history, day)) is not None and who.form in barred
            for rule in self.profile.who
            if self.fit(rule) is not Fit.NO
        )

    def _lawful_by(self, history: History[Form], over: Span) -> Iterator[Span]:
        zone = self.where.zone
        first = day_start(history.terms[0].day, zone)
        if over.start < first:
            yield Span(over.start, min(over.end, first - SECOND))
        for term, until in history.stretches():
            start = max(over.start, day_start(term.day, zone))
            end = min(over.end, day_start(until, zone) - SECOND) if until is not None else over.end
            if start > end:
                continue
            part = Span(start, end)
            yield from term.value.lawful(part, self.where) if isinstance(term.value, Window) else (part,)


def open_case(profile: Profile, watched: Watched, now: datetime) -> Case:
    """Bring a set before a profile."""
    zone = profile.legal_time.zone or watched.zone
    answers: dict[str, str] = {}
    said: list[str] = []
    for name, question in profile.questions.items():
        answer = watched.answers.get(name)
        if answer in question.answers:
            answers[name] = str(answer)
        elif answer is not None:
            said.append(f"'{answer}' is no answer to '{name}'; it is taken as unanswered")
    daily, means = DailyReading.BOTH, watched.answers.get(DAILY_MEANS)
    if means is not None:
        try:
            daily = DailyReading(means)
        except ValueError:
            known = ", ".join(DailyReading)
            said.append(f"'{means}' is no reading of 'daily' (known: {known}); the cautious one is used")
    where = Where(zone, watched.place, daily)
    return Case(profile, watched, now, where, local_day(now, zone), answers, tuple(said))


def to_confirm(profile: Profile, confirmation: Confirmation | None, day: date) -> tuple[str, ...]:
    """Say what keeps the profile from holding on `day`; empty when the person has confirmed it for then."""
    if profile.state is ProfileState.RETIRED:
        return (f"not verified: {profile.id} has been withdrawn; use another profile",)
    wanted = f"not verified: confirm {profile.id} for {season_of(day)}"
    if confirmation is None or confirmation.profile != profile.id:
        return (wanted,)
    if not confirmation.confirmed <= day <= confirmation.until:
        held = f"your confirmation held from {confirmation.confirmed} to {confirmation.until}"
        return (f"{wanted}; {held}",)
    if day > profile.good_until >= confirmation.confirmed:
        return (f"{wanted}; it was made for days to {profile.good_until} and confirmed before that",)
    return ()


def season_of(day: date) -> str:
    """Give the season a day belongs to, ``2026-27``: July to June, tendline's own way of counting."""
    first = day.year if day.month >= 7 else day.year - 1
    return f"{first}-{(first + 1) % 100:02d}"


def _value_on(history: History[T], day: date) -> T | None:
    term = history.on(day)
    return term.value if term is not None else None
