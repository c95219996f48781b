"""Owns telling check rules and outright bans as findings, beside all the others.

Does not own their answers (`rules.ask`).
"""

from dataclasses import replace

from tendline.core.settings import Confirmation
from tendline.core.source import Citation
from tendline.rules.answer import DueAnswer, Verdict
from tendline.rules.ask import due
from tendline.rules.finding import Finding, Holds
from tendline.rules.nouns import Subject
from tendline.rules.scene import Scene
from tendline.rules.shape import Fit

KINDS_OF_FORM: dict[str, tuple[int, ...]] = {
    "elapsed-hours": (1,),
    "calendar-day": (2,),
    "daily": (3,),
    "full-calendar-days": (4,),
    "calendar-days": (5,),
    "calendar-week": (6,),
    "sun-window": (7,),
    "curfew": (8,),
    "remote": (11,),
    "advice": (14,),
}
"""The kind of rule that each form of check rule is."""

_HOLDS = {
    Verdict.DUE: Holds.DUE,
    Verdict.OVERDUE: Holds.OVERDUE,
    Verdict.NOT_VERIFIED: Holds.NOT_VERIFIED,
    Verdict.NO_CLOCK: Holds.NOT_APPLICABLE,
    Verdict.NOT_APPLICABLE: Holds.NOT_APPLICABLE,
    Verdict.PROHIBITED: Holds.PROHIBITED,
}


def checked(scene: Scene, confirmation: Confirmation | None) -> list[Finding]:
    """Give the finding on the next look at the set, and one for the law's advice."""
    facts = scene.facts
    if facts.watched is None or (facts.about is not None and Subject.SET not in facts.about):
        return []
    watched = replace(facts.watched, answers={**facts.watched.answers, **scene.answers})
    answer = due(scene.profile, watched, now=scene.now, confirmation=confirmation)
    if answer.verdict is Verdict.PROHIBITED:
        return []  # told as a ban
    found = [_of(answer, scene)]
    if answer.advisories:
        advice = replace(
            found[0],
            rule="advice",
            kinds=(14,),
            holds=Holds.ADVISORY,
            words="What is advised of checking.",
            due_at=None,
            said=answer.advisories,
        )
        found.append(advice)
    return found


def _of(answer: DueAnswer, scene: Scene) -> Finding:
    others = tuple(f"also {o.words}: {scene.told(o.due_at)} ({o.citation})" for o in answer.others)
    return Finding(
        rule=answer.rule or "check",
        topic="check",
        kinds=KINDS_OF_FORM.get(answer.form, ()),
        subject=Subject.SET,
        name=answer.set_name,
        holds=_HOLDS[answer.verdict],
        verified=answer.verified,
        words=answer.words or "When the next look is due.",
        day=scene.day,
        due_at=answer.due_at,
        said=(*answer.said, *others),
        confirm=answer.confirm,
        citations=answer.citations,
    )


def banned(scene: Scene, confirm: tuple[str, ...]) -> list[Finding]:
    """Give a finding for each outright ban on this class of device, sure or feared."""
    facts = scene.facts
    subject = Subject.SET if facts.set is not None or facts.watched is not None else Subject.DEVICE
    wanted = facts.about is None or bool({Subject.SET, Subject.DEVICE} & facts.about)
    if scene.device_class is None or not wanted:
        return []
    named = facts.set or facts.watched or facts.device
    found = []
    for ban in scene.profile.bans:
        term = ban.history.on(scene.day)
        fit = ban.scope.fits(scene.device_class, scene.answers)
        if fit is Fit.NO or term is None or not term.value or named is None:
            continue
        sure = fit is Fit.YES and term.status.may_bind
        asked = [scene.profile.questions[q] for q in ban.scope.zones if q not in scene.answers]
        asks = [f"answer '{q.id}': {q.ask} ({' or '.join(q.answers)})" for q in asked]
        if not term.status.may_bind:
            asks.append(f"find out whether '{ban.id}' holds")
        cites: tuple[Citation, ...] = term.cites
        said = "this device may not be set at all here" if sure else "it may be prohibited outright"
        found.append(
            Finding(
                rule=ban.id,
                topic="ban",
                kinds=(),
                subject=subject,
                name=named.name,
                holds=Holds.PROHIBITED if sure else Holds.NOT_VERIFIED,
                verified=sure and not confirm,
                words=ban.meaning,
                day=scene.day,
                said=(said,),
                confirm=confirm if sure else (*confirm, *asks),
                citations=cites,
            )
        )
    return found
