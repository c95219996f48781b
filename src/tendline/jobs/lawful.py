"""Owns the job `tendline lawful`: every device, set, parcel, person and catch against the rules in force.

Does not own the law (`rules`), the facts (`lawful_facts`) or the wording (`report.lawful_text`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from tendline.core.errors import FaultList
from tendline.core.settings import Confirmation
from tendline.core.when import local_day
from tendline.jobs.answer import Answer
from tendline.jobs.faults import WORD
from tendline.jobs.lawful_devices import out_until_rebuilt
from tendline.jobs.lawful_facts import LawCase, lawful_cases, read_features
from tendline.jobs.lawful_places import reach_words, stands_on
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.workspace import Workspace
from tendline.report.lawful_text import Judged, lawful_document, lawful_text
from tendline.rules.ask import who_may_check
from tendline.rules.finding import WRONG, Finding, Holds, first_things_first, worst_first
from tendline.rules.judge import judge
from tendline.rules.nouns import Subject
from tendline.rules.shape import Profile


def lawful(
    space: Workspace,
    *,
    sets: Sequence[str] = (),
    parcels: Sequence[str] = (),
    catches: bool = False,
    everything: bool = False,
    draw: bool = False,
    width: int = 100,
) -> Answer:
    """Judge the line as it stands.

    Parameters
    ----------
    space
        The opened line.
    sets, parcels
        Only these, with what belongs to them; the whole line when both are empty.
    catches
        Only catches: what must be done with each, first, second, by when.
    everything
        Tell what passes and what does not apply as well.
    draw
        Write a drawing of what an animal held at the sets named can reach.
    width
        Of the terminal [characters].

    Returns
    -------
    Answer
        Bad news when anything is wrong.

    Raises
    ------
    Refused
        JOB-301 for a name that is none; RULE-1xx, GND-xxx.
    """
    line = space.line()
    ordered = judged_line(space, sets=sets, parcels=parcels, catches=catches)
    wrong = any(one.finding.holds in WRONG for one in ordered)
    text = [
        lawful_text(
            ordered, settings=space.settings, now=space.now, width=width, everything=everything or catches
        )
    ]
    text += reach_words(space, line, sets, draw=draw)
    return Answer(
        "\n".join(text),
        lawful_document(ordered, settings=space.settings, now=space.now),
        bad_news=wrong,
        warnings=line.warnings,
    )


def lawful_data(space: Workspace) -> dict[str, Any]:
    """Judge the whole line, and give what `--json` prints."""
    return lawful_document(judged_line(space), settings=space.settings, now=space.now)


def judged_line(
    space: Workspace,
    *,
    sets: Sequence[str] = (),
    parcels: Sequence[str] = (),
    catches: bool = False,
) -> list[Judged]:
    """Judge the line, or a part of it; arguments and errors as of `lawful`."""
    line = space.line()
    profiles = profiles_in_use(space, line)
    whole = lawful_cases(line, read_features(space), settings=space.settings)
    cases = _narrowed(whole, sets=sets, parcels=parcels, catches=catches)
    judged = [
        one
        for case in cases
        for one in (
            *_judged(space, case, profiles),
            *stands_on(space, case),
            *out_until_rebuilt(space, line, case),
        )
    ]
    if not catches:
        judged += _who_may_look(space, whole, profiles)
    return _ordered(judged, catches=catches)


def _narrowed(
    cases: Sequence[LawCase], *, sets: Sequence[str], parcels: Sequence[str], catches: bool
) -> list[LawCase]:
    if catches:
        return [case for case in cases if case.subject is Subject.CATCH]
    wanted = {name.lower(): name for name in (*sets, *parcels)}
    if not wanted:
        return list(cases)
    found = [case for case in cases if _names_of(case) & set(wanted)]
    faults = FaultList()
    met = {name for case in found for name in _names_of(case)}
    for lower, name in wanted.items():
        if lower not in met:
            faults.add(WORD, f"there is no set or parcel '{name}'.", "", "tendline due lists the sets.")
    faults.refuse()
    return found


def _names_of(case: LawCase) -> set[str]:
    facts = case.facts
    names = {case.name}
    if facts.set is not None:
        names.add(facts.set.name)
    if case.subject is Subject.PARCEL and facts.place is not None:
        names.add(facts.place.name)
    return {name.lower() for name in names}


def _judged(space: Workspace, case: LawCase, profiles: Mapping[str, Profile]) -> list[Judged]:
    profile = profiles.get(case.profile)
    if profile is None:
        return []
    confirmation = space.settings.word_on(profile.id)
    found = judge(profile, case.facts, now=space.now, confirmation=confirmation, sure=space.settings.law.sure)
    return [Judged(profile.id, doubted(finding, confirmation)) for finding in found]


def _who_may_look(
    space: Workspace, cases: Sequence[LawCase], profiles: Mapping[str, Profile]
) -> list[Judged]:
    """Say who may look at the sets, once for each profile in use."""
    firsts: dict[str, LawCase] = {}
    for case in cases:
        if case.facts.watched is not None and case.profile in profiles:
            firsts.setdefault(case.profile, case)
    told = []
    for name, case in firsts.items():
        assert case.facts.watched is not None
        confirmation = space.settings.word_on(name)
        answer = who_may_check(profiles[name], case.facts.watched, now=space.now, confirmation=confirmation)
        found = Finding(
            rule="who-may-look",
            topic="person",
            kinds=(12,),
            subject=Subject.PERSON,
            name=space.settings.handler or "handler",
            holds=Holds.ADVISORY if answer.forms else Holds.NOT_VERIFIED,
            verified=answer.verified,
            words="Who may look at the sets.",
            day=local_day(space.now, space.settings.zone),
            said=answer.said,
            confirm=answer.confirm,
            citations=answer.citations,
        )
        told.append(Judged(name, found))
    return told


def doubted(finding: Finding, confirmation: Confirmation | None) -> Finding:
    """Take back a pass that rests on a value the person did not agree to."""
    doubt = confirmation.doubts.get(finding.rule) if confirmation is not None else None
    if doubt is None:
        return finding
    holds = Holds.NOT_VERIFIED if finding.holds is Holds.PASS else finding.holds
    said = f"not verified: going through the profile you said of this rule: {doubt}"
    return replace(finding, holds=holds, verified=False, confirm=(*finding.confirm, said))


def _ordered(judged: Sequence[Judged], *, catches: bool) -> list[Judged]:
    by_finding = {id(one.finding): one for one in judged}
    findings = [one.finding for one in judged]
    if catches:
        first = first_things_first(findings)
        firsts = {id(finding) for finding in first}
        findings = [*first, *worst_first(f for f in findings if id(f) not in firsts)]
    else:
        findings = list(worst_first(findings))
    return [by_finding[id(finding)] for finding in findings]
