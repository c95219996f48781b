"""Owns who goes in the days ahead: people with windows, for as long as the law lets them by the record.

Does not own what the law says of a person on one day (`weeks_people`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from tendline.core.line import LineState
from tendline.core.people import PaperHeld
from tendline.core.settings import Settings
from tendline.core.when import Span, day_start, local_day
from tendline.jobs.weeks_people import May, Standing, profiles_of, standing
from tendline.jobs.workspace import Workspace
from tendline.plan.weeks_nouns import WeekOuting
from tendline.rules.shape import Profile

DAY = timedelta(days=1)


@dataclass(frozen=True)
class Going:
    """Who goes, and when not.

    Parameters
    ----------
    closed
        By person, stretches in which they may look at no set at all.
    barred_from
        By profile, people who may not look at its sets on some day on which they go.
    said
        Whatever keeps somebody from going, in plain words.
    """

    closed: Mapping[str, tuple[Span, ...]] = field(default_factory=dict)
    barred_from: Mapping[str, frozenset[str]] = field(default_factory=dict)
    said: tuple[str, ...] = ()

    def may_go(self, one: WeekOuting) -> bool:
        """Say whether a window may be used by its person."""
        return not any(
            part.start < one.span.end and one.span.start < part.end for part in self.closed.get(one.who, ())
        )

    def barred(self, profile: str) -> frozenset[str]:
        """Name who may not look at sets under a profile; "" is no profile."""
        return self.barred_from.get(profile, frozenset())


def who_goes(
    space: Workspace,
    line: LineState,
    profiles: Mapping[str, Profile],
    outings: Sequence[WeekOuting],
    span: Span,
) -> Going:
    """Ask for everybody with a window, and every day on which the answer can change, whether they may look.

    The handler goes also where a paper is not verified, which is said; somebody else does not. Where no rule
    profile is at hand, nobody but the handler does.
    """
    settings = space.settings
    by_profile = profiles_of(space, line, [one.name for one in line.in_field], profiles)
    closed: dict[str, tuple[Span, ...]] = {}
    barred: dict[str, set[str]] = {name: set() for name in by_profile}
    said: list[str] = []
    for who in sorted({one.who for one in outings}):
        days = turning_days(settings, who, span)
        stretches = _stretches(days, span, settings)
        shut: list[Span] = []
        for day, part in zip(days, stretches, strict=True):
            found = [
                standing(space, line, profiles[p], own, who=who, day=day) for p, own in by_profile.items()
            ]
            open_ = {one.profile for one in found if _open(one, who == settings.handler)}
            said += [
                told for one in found if (told := _told(one, day, first=day == days[0], settings=settings))
            ]
            if found and not open_:
                shut.append(part)
            else:
                for one in found:
                    barred[one.profile] |= {who} - ({who} if one.profile in open_ else set())
        closed[who] = tuple(shut)
    nobody = frozenset({one.who for one in outings} - {settings.handler})
    held = {name: frozenset(names) for name, names in barred.items()}
    return Going(closed, {"": nobody, **held}, tuple(dict.fromkeys(said)))


def _stretches(days: Sequence[date], span: Span, settings: Settings) -> list[Span]:
    starts = [max(span.start, day_start(day, settings.zone)) for day in days]
    return [Span(a, b) for a, b in zip(starts, [*starts[1:], span.end], strict=True)]


def _open(one: Standing, is_handler: bool) -> bool:  # noqa: FBT001  a fact, not an option
    return one.may in (May.YES, May.WITH_LEAVE) or (is_handler and one.may is May.NOT_VERIFIED)


def _told(one: Standing, day: date, *, first: bool, settings: Settings) -> str:
    """Say what keeps somebody from going, or what has to be done before they go."""
    who, why = one.who or "the handler", "; ".join(one.why)
    since = "" if first else f" from {day} on"
    if one.may is May.NO:
        return f"{who} is not planned{since}: {why}"
    if one.may is May.NOT_VERIFIED:
        handler = one.who == settings.handler
        return (
            f"not verified of {who}: {why}"
            if handler
            else f"{who} is not planned{since}, not verified: {why}"
        )
    return f"{who}: {why}" if one.may is May.WITH_LEAVE else ""


def held_papers(settings: Settings, who: str) -> tuple[PaperHeld, ...]:
    """Give the licences on record of a person."""
    if who == settings.handler:
        return settings.papers
    helper = settings.helper(who)
    return helper.papers if helper is not None else ()


def turning_days(settings: Settings, who: str, span: Span) -> list[date]:
    """Give the days of a span on which what a person may do can change: the first, and each after an end."""
    first, last = (local_day(at, settings.zone) for at in (span.start, span.end))
    helper = settings.helper(who)
    ends = [paper.last for paper in held_papers(settings, who)] + [helper.leave_until if helper else None]
    begins = [paper.first for paper in held_papers(settings, who)]
    changes = [end + DAY for end in ends if end is not None] + [day for day in begins if day is not None]
    return sorted({first, *(day for day in changes if first < day <= last)})
