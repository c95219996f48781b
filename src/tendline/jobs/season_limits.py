"""Owns what the law and the person's own word say of a season: its legal end, and the limit of each wait.

Does not own the law (`rules`), nor what a season came to (`season`).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta

from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.core.settings import Settings
from tendline.core.when import Span, local_day
from tendline.core.words import DeviceClass
from tendline.jobs.workspace import Workspace
from tendline.plan.due import PROFILE_ANSWER
from tendline.rules.answer import Watched
from tendline.rules.ask import due
from tendline.rules.facts import Facts
from tendline.rules.outcome import Met
from tendline.rules.rule import Topic, Use
from tendline.rules.scene import open_scene
from tendline.rules.seasons import open_at
from tendline.rules.shape import Profile
from tendline.season.stretches import Stretch

_EARLY, _FAR = 1000, 9000
"""A season that begins before the one or ends after the other has no such end."""


@dataclass(frozen=True)
class LegalSeason:
    """The season for having devices out: its span, None when it is not known, and what to say of it."""

    span: Span | None
    said: str


def legal_season(
    space: Workspace, place: LonLat | None, profiles: Mapping[str, Profile], window: Span
) -> LegalSeason:
    """Find the season of the law for devices that lies in a stretch.

    Parameters
    ----------
    space
        The opened line, for answers.
    place
        Where its first set stands; None where none is on record.
    profiles
        Rule profiles by id; the first in use is asked.
    window
        The stretch asked about.
    """
    profile = profiles.get(space.settings.profiles[0]) if space.settings.profiles else None
    if profile is None:
        return LegalSeason(None, "no rule profile is in use: nights are not cut at a legal end")
    rules = [r for r in profile.rules if r.topic is Topic.SEASON and r.use is Use.SET]
    rules = [r for r in rules if not r.classes or DeviceClass.LIVE_RESTRAINT in r.classes]
    if not rules:
        return LegalSeason(
            None, f"{profile.id} holds no season for devices: nights are not cut at a legal end"
        )
    facts = Facts(
        space.settings.zone,
        at=place,
        answers=space.settings.answers,
        quota_reached=space.settings.law.quotas,
    )
    spans: list[Span] = []
    at = window.start + timedelta(hours=12)
    while at < window.end:
        scene = open_scene(profile, facts, at, sure=space.settings.law.sure)
        found = [open_at(rule, at, scene) for rule in rules]
        spans += [o.span for o in found if o.met is Met.YES and o.span is not None and _bounded(o.span)]
        at += timedelta(days=7)
    if not spans:
        return LegalSeason(
            None,
            f"no season for devices with a first and last day is known from {profile.id}: nights are not cut",
        )
    span = Span(min(s.start for s in spans), max(s.end for s in spans))
    first, last = local_day(span.start, space.settings.zone), local_day(span.end, space.settings.zone)
    return LegalSeason(
        span, f"season for devices by {profile.id}: {first} to {last}; nights outside it are in no rate"
    )


def _bounded(span: Span) -> bool:
    return span.start.year > _EARLY and span.end.year < _FAR


@dataclass
class LawLimits:
    """The last lawful moment of the look that ended a stretch; worked out once for each day and property.

    Parameters
    ----------
    settings, line, profiles
        As the due board has them.
    doubtful
        Answers given so far that rest on what is not verified.
    """

    settings: Settings
    line: LineState
    profiles: Mapping[str, Profile]
    doubtful: int = 0
    _known: dict[tuple[str, str, date], tuple[timedelta | None, datetime | None, bool]] = field(
        default_factory=dict
    )
    _verified: bool = True

    def __call__(self, one: Stretch) -> datetime | None:
        """Give the limit; None where none can be told."""
        key = (one.groups["property"], one.groups["device class"], local_day(one.start, self.settings.zone))
        if key not in self._known:
            self._verified = True
            self._known[key] = (*self._form(one), self._verified)
        after, fixed, verified = self._known[key]
        self.doubtful += not verified
        if after is not None:
            return one.start + after
        return fixed

    def _form(self, one: Stretch) -> tuple[timedelta | None, datetime | None]:
        """Find whether the limit of that day moves with the look, or stands."""
        early, late = self._due(one, one.start), self._due(one, one.start + timedelta(seconds=60))
        if early is None or late is None:
            return None, None
        if late - early == timedelta(seconds=60):
            return early - one.start, None
        return None, early

    def _due(self, one: Stretch, seen: datetime) -> datetime | None:
        parcel = self.line.parcels.get(one.groups["property"])
        zones = parcel.zones if parcel is not None else {}
        name = zones.get(PROFILE_ANSWER) or (self.settings.profiles[0] if self.settings.profiles else "")
        profile, held = self.profiles.get(name), self.line.sets.get(one.set_name)
        if profile is None or held is None:
            return None
        watched = Watched(
            one.set_name,
            DeviceClass(one.groups["device class"]),
            held.fix.place,
            self.settings.zone,
            seen,
            answers={**self.settings.answers, **zones},
            handler=self.settings.handler,
        )
        answer = due(profile, watched, now=seen, confirmation=self.settings.word_on(profile.id))
        self._verified = self._verified and answer.verified
        return answer.due_at


def own_limits(settings: Settings) -> Callable[[Stretch], datetime | None]:
    """Give the person's own limit of each wait: so many hours, or an hour of the next morning."""
    limits = settings.personal

    def limit(one: Stretch) -> datetime | None:
        found: list[datetime] = []
        if limits.hours is not None:
            found.append(one.start + timedelta(hours=limits.hours))
        if limits.before:
            next_day = local_day(one.start, settings.zone) + timedelta(days=1)
            by = datetime.combine(next_day, time.fromisoformat(limits.before), tzinfo=settings.zone)
            found.append(by.astimezone(UTC))
        return min(found, default=None)

    return limit


def season_year(now: date) -> int:
    """Give the year in which the season that holds a day began, counted from July to June."""
    return now.year if now.month >= 7 else now.year - 1


def season_name(year: int) -> str:
    """Name a season: ``2026-27``."""
    return f"{year}-{(year + 1) % 100:02d}"
