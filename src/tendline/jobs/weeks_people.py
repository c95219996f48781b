"""Owns who may go round, day by day: what the profile says of others, licences on record, written leave.

Does not own the law (`rules`) or the plan. What is not on record is "not verified", which is never "may".
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from tendline.core.line import LineState
from tendline.core.people import Helper
from tendline.core.settings import Settings
from tendline.core.when import day_start
from tendline.jobs.law_people import person_facts
from tendline.jobs.workspace import Workspace
from tendline.plan.due import profile_named, watched_set
from tendline.rules.answer import WhoAnswer
from tendline.rules.ask import who_may_check
from tendline.rules.facts import Facts, Paper, PersonFacts
from tendline.rules.finding import OPEN, WRONG
from tendline.rules.judge import judge
from tendline.rules.nouns import Subject
from tendline.rules.shape import Profile, WhoForm

DAY = timedelta(days=1)


class May(StrEnum):
    """Whether somebody may look at a set."""

    YES = "may"
    WITH_LEAVE = "may, with your written leave"
    NOT_VERIFIED = "not verified"
    NO = "may not"


@dataclass(frozen=True)
class Standing:
    """Whether one person may look at the sets that go by one profile, on one day.

    Parameters
    ----------
    who, profile
        Which person, which profile.
    may
        The answer.
    why
        What it rests on, or what is lacking, in plain sentences without a full stop.
    cites
        Where the profile's word on it was read.
    """

    who: str
    profile: str
    may: May
    why: tuple[str, ...]
    cites: tuple[str, ...] = ()


def standing(
    space: Workspace, line: LineState, profile: Profile, sets: Sequence[str], *, who: str, day: date
) -> Standing:
    """Say whether a person may look at sets that go by one profile.

    Parameters
    ----------
    sets
        Their names; at least one.
    who
        The handler or somebody else.
    day
        Licences are asked for this day.
    """
    wrong, unsure = _papers(space, profile, who, day)
    if who == space.settings.handler:
        found = May.NO if wrong else May.NOT_VERIFIED if unsure else May.YES
        return Standing(who, profile.id, found, (*wrong, *unsure))
    answers = [
        who_may_check(
            profile, watched_set(line.sets[name], line, settings=space.settings), now=day_noon(space, day)
        )
        for name in sets
    ]
    return _of_another(space.settings, profile, who, day, answer=_strictest(answers), papers=(wrong, unsure))


def day_noon(space: Workspace, day: date) -> datetime:
    """Give the noon of a local day, about: no change of the clocks falls there."""
    return day_start(day, space.settings.zone) + DAY / 2


def _strictest(answers: Sequence[WhoAnswer]) -> WhoAnswer:
    """Give the answer that allows least."""
    order = {False: 0, None: 1, True: 2}
    return min(answers, key=lambda one: (order[one.others_may], not one.needs_leave))


def _of_another(
    settings: Settings,
    profile: Profile,
    who: str,
    day: date,
    *,
    answer: WhoAnswer,
    papers: tuple[tuple[str, ...], tuple[str, ...]],
) -> Standing:
    wrong, unsure = papers
    cites = tuple(str(cite) for cite in answer.citations)
    if wrong:
        return Standing(who, profile.id, May.NO, wrong, cites)
    if answer.others_may is False and answer.in_emergency:
        return Standing(who, profile.id, May.NOT_VERIFIED, (*answer.said, _EMERGENCY, *unsure), cites)
    if answer.others_may is False:
        return Standing(who, profile.id, May.NO, answer.said, cites)
    helper = settings.helper(who)
    leave = helper.may_act(day) if helper is not None else None
    if answer.others_may is None or unsure:
        said = answer.said if answer.others_may is None else ()
        return Standing(who, profile.id, May.NOT_VERIFIED, (*said, *unsure), cites)
    if answer.needs_leave and not leave:
        return Standing(who, profile.id, May.WITH_LEAVE, (_lacking(helper, day),), cites)
    let = "holds your written leave, by your record" if answer.needs_leave else "the profile lets others look"
    removes = (_REMOVES,) if WhoForm.USER_REMOVES in answer.forms else ()
    return Standing(who, profile.id, May.YES, (let, *removes), cites)


_EMERGENCY = "ask the officer whether this is one, and write your leave"
_REMOVES = "may look, but what is caught only you may remove"


def _lacking(helper: Helper | None, day: date) -> str:
    if helper is not None and helper.leave and helper.leave_until is not None and day > helper.leave_until:
        return f"your written leave ended on {helper.leave_until}: write it anew before they go"
    return "write your leave before they go: none is on record"


def _papers(
    space: Workspace, profile: Profile, who: str, day: date
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Say which licences a person lacks, and of which nobody knows."""
    facts = Facts(
        zone=space.settings.zone,
        at=space.settings.home,
        person=_person(space.settings, who),
        about=frozenset({Subject.PERSON}),
        answers=space.settings.answers,
        holidays=space.settings.law.holidays,
        quota_reached=space.settings.law.quotas,
    )
    wrong: list[str] = []
    unsure: list[str] = []
    for finding in judge(profile, facts, now=day_noon(space, day)):
        if finding.subject is Subject.PERSON and finding.topic == "person":
            if finding.holds in WRONG:
                wrong += [_said(one, who) for one in finding.said if "invented" not in one]
            elif finding.holds in OPEN:
                unsure += [one for one in finding.confirm if not one.startswith("not verified: confirm ")]
    return tuple(dict.fromkeys(wrong)), tuple(dict.fromkeys(unsure))


def _said(words: str, who: str) -> str:
    return words if words.startswith(who) else f"{who}: {words}"


def _person(settings: Settings, who: str) -> PersonFacts:
    if who == settings.handler:
        return person_facts(settings, name=who)
    helper = settings.helper(who)
    if helper is None:
        return PersonFacts(who)
    papers = tuple(Paper(p.kind, p.first, p.last, p.carried) for p in helper.papers)
    return PersonFacts(who, papers, frozenset(helper.lacks), landowner=helper.landowner)


def profiles_of(
    space: Workspace, line: LineState, names: Iterable[str], profiles: Mapping[str, Profile]
) -> dict[str, list[str]]:
    """Give the sets by the profile they go by; sets without one are left out."""
    found: dict[str, list[str]] = {}
    for name in names:
        profile = profile_named(line.sets[name], line, settings=space.settings)
        if profile in profiles:
            found.setdefault(profile, []).append(name)
    return found
