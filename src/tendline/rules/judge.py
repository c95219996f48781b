"""Owns judging facts by a profile: one finding for each rule and subject, rivals read the stricter way.

Does not own what needs and forms mean (`rules.meet`, `rules.seasons`, `rules.catches`, `rules.reports`) or
the check rules and bans (`rules.judge_checks`). What is not known is "not verified", never a pass.
"""

from datetime import datetime

from tendline.core.settings import Confirmation
from tendline.rules.case import to_confirm
from tendline.rules.catches import meet_catch
from tendline.rules.dated import Severity, Term
from tendline.rules.facts import Facts
from tendline.rules.finding import Finding, Holds, worst_first
from tendline.rules.judge_checks import banned, checked
from tendline.rules.judge_season import set_in_season
from tendline.rules.meet import meet, meet_all
from tendline.rules.needs import Need
from tendline.rules.nouns import Subject
from tendline.rules.outcome import Met, Outcome, idle, shifted, unknown
from tendline.rules.reports import meet_report
from tendline.rules.rivals import one_of_rivals
from tendline.rules.rule import CatchForm, Report, Rule, SeasonForm, Topic, Use, Value
from tendline.rules.scene import Scene, open_scene
from tendline.rules.shape import Fit, Profile

SURE = 0.99
"""How probable a side of a limit must be to be called, unless the person says otherwise."""

_HOLDS = {
    Met.YES: Holds.PASS,
    Met.NO: Holds.FAIL,
    Met.UNKNOWN: Holds.NOT_VERIFIED,
    Met.CLOSE: Holds.CLOSE,
    Met.DUE: Holds.DUE,
    Met.OVERDUE: Holds.OVERDUE,
    Met.IDLE: Holds.NOT_APPLICABLE,
}


def judge(
    profile: Profile,
    facts: Facts,
    *,
    now: datetime,
    confirmation: Confirmation | None = None,
    sure: float = SURE,
) -> tuple[Finding, ...]:
    """Say what a profile makes of facts, rule by rule.

    Parameters
    ----------
    profile
        The law, as held.
    facts
        What is known. Findings are given for the subjects in `facts.about` that are there.
    now
        The moment judged for, aware UTC.
    confirmation
        The person's own word on this profile; without one that covers the day, no finding is verified.
    sure
        How probable a side of a limit must be to be called where position error decides, 0.5 to 1.

    Returns
    -------
    tuple of Finding
        What is wrong first, then what cannot be told, then the rest.
    """
    scene = open_scene(profile, facts, now, sure=sure)
    confirm = to_confirm(profile, confirmation, scene.day)
    found = [
        _finding(rule, scene, confirm)
        for rule in profile.rules
        if name_of(rule.topic.subject, facts) and (rule.topic is not Topic.SEASON or rule.use is Use.SET)
        if _concerns(rule, facts)
    ]
    found = one_of_rivals(profile, found)
    found += banned(scene, confirm)
    found += checked(scene, confirmation)
    return worst_first(found)


def name_of(subject: Subject, facts: Facts) -> str:
    """Give the name of a subject that is to be judged, empty when it is not there or not asked for."""
    if facts.about is not None and subject not in facts.about:
        return ""
    held = {
        Subject.DEVICE: facts.device,
        Subject.SET: facts.set,
        Subject.PARCEL: facts.place,
        Subject.PERSON: facts.person,
        Subject.CATCH: facts.catch,
    }[subject]
    return held.name if held is not None else ""


def _concerns(rule: Rule, facts: Facts) -> bool:
    """Say whether a rule on certain animals is about this one."""
    if rule.topic not in (Topic.CATCH, Topic.REPORT) or not rule.species or facts.catch is None:
        return True
    return facts.catch.species in rule.species


def _finding(rule: Rule, scene: Scene, confirm: tuple[str, ...]) -> Finding:
    term = rule.history.on(scene.day)
    outcome = _standing(rule, term, scene)
    holds = _HOLDS[outcome.met]
    if rule.severity is Severity.ADVICE and holds is not Holds.NOT_APPLICABLE:
        kept = {Met.YES: "it is kept", Met.NO: "it is not kept"}.get(
            outcome.met, "whether it is kept is not known"
        )
        outcome, holds = shifted(outcome, outcome.met, f"advice, which binds nobody; {kept}"), Holds.ADVISORY
    asks = outcome.ask if holds in (Holds.NOT_VERIFIED, Holds.CLOSE) else ()
    invented = ("this law is invented and holds nowhere",) if scene.profile.invented else ()
    return Finding(
        rule=rule.id,
        topic=rule.topic.value,
        kinds=rule.kinds,
        subject=rule.topic.subject,
        name=name_of(rule.topic.subject, scene.facts),
        holds=holds,
        verified=not confirm and holds not in (Holds.NOT_VERIFIED, Holds.CLOSE),
        words=rule.meaning,
        day=scene.day,
        shown=outcome.shown,
        due_at=outcome.due_at,
        probability=outcome.probability,
        said=(*outcome.said, *invented),
        confirm=(*confirm, *asks),
        citations=term.cites if term is not None else rule.history.terms[0].cites,
    )


def _standing(rule: Rule, term: Term[Value] | None, scene: Scene) -> Outcome:
    """Say how a rule stands: whether it looks at the subject at all, and what it then says."""
    fit = scene.fit(rule)
    if fit is Fit.NO:
        return idle("it does not look at this device or this place")
    aside = _aside(rule, scene)
    if aside is not None and aside.met is Met.IDLE:
        return aside
    replaced = _replaced(rule, scene)
    if replaced is not None and replaced.met is Met.IDLE:
        return replaced
    if term is None:
        first = rule.history.terms[0].day
        return unknown("find out what the law said then", f"nothing is held before {first}")
    if term.value is None:
        return idle(f"there is no such rule since {term.day}")
    outcome = _with_conditions(rule, term.value, scene)
    outcome = _doubted(outcome, fit, rule, scene)
    if not term.status.may_bind and outcome.met is not Met.IDLE:
        said = f"the rule is only known '{term.status.value}'; what is said here is what it would come to"
        outcome = shifted(outcome, Met.UNKNOWN, said, ask=(f"find out whether '{rule.id}' holds",))
    if aside is not None and outcome.met not in (Met.YES, Met.IDLE):
        outcome = shifted(outcome, Met.UNKNOWN, *aside.said, ask=aside.ask)
    if replaced is not None and outcome.met is not Met.IDLE:
        outcome = shifted(outcome, Met.UNKNOWN, *replaced.said, ask=replaced.ask)
    return outcome


def _aside(rule: Rule, scene: Scene) -> Outcome | None:
    """Say why a rule passes a set by: nothing is out there, or its season is for other animals."""
    held = scene.facts.set
    if rule.topic.subject is not Subject.SET or held is None:
        return None
    if not held.in_field:
        return idle("no device is out there")
    if not rule.species or held.species in rule.species:
        return None
    named = ", ".join(rule.species)
    if held.species is None:
        return unknown(
            "record what the set is for", f"the rule is for {named}; what the set is for is not recorded"
        )
    return idle(f"the rule is for {named}; the set is for {held.species}")


def _doubted(outcome: Outcome, fit: Fit, rule: Rule, scene: Scene) -> Outcome:
    if fit is Fit.YES or outcome.met in (Met.YES, Met.IDLE):
        return outcome
    said = "whether the rule holds here hangs on an open question"
    return shifted(outcome, Met.UNKNOWN, said, ask=scene.questions_of(rule))


def _with_conditions(rule: Rule, value: Value, scene: Scene) -> Outcome:
    """Ask the rule, unless its conditions surely fail or an exemption surely holds."""
    when = meet_all(rule.when, scene)
    if when.met is Met.NO:
        return idle(*when.said)
    exempt = [meet(need, scene) for need in rule.unless]
    for outcome in exempt:
        if outcome.met is Met.YES:
            return idle("exempt:", *outcome.said)
    found = _asked(rule, value, scene)
    if found.met in (Met.YES, Met.IDLE):
        return found
    unsure = [o for o in (when, *exempt) if o.met in (Met.UNKNOWN, Met.CLOSE)]
    for outcome in unsure:
        found = shifted(
            found, Met.UNKNOWN, "whether the rule binds here is not known:", *outcome.said, ask=outcome.ask
        )
    return found


def _asked(rule: Rule, value: Value, scene: Scene) -> Outcome:
    if isinstance(value, Need):
        return meet(value, scene)
    if isinstance(value, SeasonForm):
        return set_in_season(rule, scene)
    catch = scene.facts.catch
    assert catch is not None
    if isinstance(value, CatchForm):
        return meet_catch(value, catch, scene)
    assert isinstance(value, Report)
    return meet_report(value, catch, scene)


def _replaced(rule: Rule, scene: Scene) -> Outcome | None:
    """Say whether another rule takes this one's place here: idle when it surely does, unknown when it may."""
    doubt: Outcome | None = None
    for other in scene.profile.rules:
        if rule.id not in other.replaces:
            continue
        term = other.history.on(scene.day)
        if term is None or term.value is None:
            continue
        fit, when = scene.fit(other), meet_all(other.when, scene)
        if fit is Fit.NO or when.met is Met.NO:
            continue
        if fit is Fit.YES and when.met in (Met.YES, Met.IDLE) and term.status.may_bind:
            return idle(f"here '{other.id}' holds in its place")
        ask = (*scene.questions_of(other), *when.ask) or (f"find out whether '{other.id}' holds",)
        doubt = Outcome(Met.UNKNOWN, (f"'{other.id}' may hold here in its place",), ask)
    return doubt
