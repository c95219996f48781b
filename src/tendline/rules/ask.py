"""Owns asking a profile about one set: when the next look is due, in which hours it may be made, and by whom.

Does not own which rules and looks count (`rules.case`), the limits (`rules.limits`, `rules.strictest`) or
reading a profile (`rules.load`). What the law does not say is "not verified", never a default or "allowed".
"""

from dataclasses import replace
from datetime import date, datetime

from tendline.core.settings import Confirmation
from tendline.core.when import Span
from tendline.rules.answer import ClosingAnswer, DueAnswer, Verdict, Watched, WhoAnswer
from tendline.rules.case import Case, open_case, to_confirm
from tendline.rules.limits import limits_of
from tendline.rules.shape import Fit, Profile, WhoForm
from tendline.rules.strictest import advice, strictest

_RECORD = "record a check: nobody knows when it was last seen"


def due(
    profile: Profile, watched: Watched, *, now: datetime, confirmation: Confirmation | None = None
) -> DueAnswer:
    """Say when the next look at a set is due, under which rule, and how sure that is.

    Parameters
    ----------
    profile
        The law, as held.
    watched
        The set.
    now
        The present, aware UTC.
    confirmation
        The person's own word on this profile; without one that covers the day, the answer is computed all the
        same and marked as not verified.

    Returns
    -------
    DueAnswer
        The strictest limit with its source, what must be said with it, and the later limits.
    """
    case = open_case(profile, watched, now)
    opened = to_confirm(profile, confirmation, case.day)
    said = (*case.said, *_about(case))
    answer = DueAnswer(watched.name, profile.id, Verdict.NOT_VERIFIED, said=said, confirm=opened)
    if not watched.in_field:
        return replace(
            answer, verdict=Verdict.NOT_APPLICABLE, said=(*said, "no device is out there"), confirm=()
        )
    answer, doubts = _banned(case, answer)
    if answer.verdict is Verdict.NOT_VERIFIED:
        answer = _closed(case, answer)
    if answer.verdict is not Verdict.NOT_VERIFIED:
        return answer
    since, passed = case.last_counted()
    answer = replace(answer, said=(*answer.said, *passed), advisories=advice(case, since))
    if since is None:
        return replace(answer, confirm=(*answer.confirm, _RECORD), go_now=True)
    return strictest(case, answer, limits_of(case, since), doubts=doubts)


def lawful_windows(
    profile: Profile, watched: Watched, span: Span, *, now: datetime, late: bool = False
) -> tuple[Span, ...]:
    """Give the stretches of `span` in which a look at the set is lawful, counts, and is in time.

    Parameters
    ----------
    profile, watched, now
        As in `due`.
    span
        The outing.
    late
        Leave the deadline out: the lawful hours alone, for a set that is late already.

    Returns
    -------
    tuple of Span
        In order, apart from one another, inside `span`, to the second; empty when there is none. A limit that
        is not verified cuts them all the same. Where no limit is known, only the barred hours are taken out.
    """
    case = open_case(profile, watched, now)
    spans = case.lawful(span)
    by = None if late else due(profile, watched, now=now).due_at
    if by is None:
        return spans
    return tuple(Span(part.start, min(part.end, by)) for part in spans if part.start <= by)


def who_may_check(
    profile: Profile, watched: Watched, *, now: datetime, confirmation: Confirmation | None = None
) -> WhoAnswer:
    """Say who may make a look at the set, by the profile.

    Parameters
    ----------
    profile, watched, now, confirmation
        As in `due`.
    """
    case = open_case(profile, watched, now)
    terms = [
        (rule, term)
        for rule in profile.who
        if case.fit(rule) is not Fit.NO and (term := rule.history.on(case.day)) is not None and term.value
    ]
    confirm = list(to_confirm(profile, confirmation, case.day))
    said = [f"{rule.meaning.rstrip('.')} ({term.cites[0]})" for rule, term in terms]
    if not terms:
        said.append("the profile does not say who may look; plan on the person whose set it is")
    unsure = [rule.id for rule, term in terms if case.fit(rule) is not Fit.YES or not term.status.may_bind]
    confirm += [f"not verified: find out whether '{name}' holds" for name in unsure]
    forms = tuple(term.value.form for _, term in terms if term.value is not None)
    others_may: bool | None = None
    if WhoForm.NAMED_ONLY in forms:
        others_may = False
    elif WhoForm.WRITTEN_AGENT in forms or WhoForm.MAY_CAUSE in forms:
        others_may = True
    emergency = any(term.value is not None and term.value.emergency_leave for _, term in terms)
    if emergency:
        said.append("in an emergency another may go with written leave")
    return WhoAnswer(
        forms=forms,
        others_may=others_may,
        needs_leave=WhoForm.WRITTEN_AGENT in forms,
        verified=bool(terms) and not confirm,
        said=tuple(said),
        confirm=tuple(confirm),
        citations=tuple(term.cites[0] for _, term in terms),
        in_emergency=emergency,
    )


def closing_stops(profile: Profile, *, day: date) -> ClosingAnswer:
    """Say whether closing a set ends the duty to look at it.

    Parameters
    ----------
    profile
        The law, as held.
    day
        The day asked about.

    Returns
    -------
    ClosingAnswer
        `stops` is None where the profile does not say, or not surely enough to bind: then the clock of a
        closed set is kept running, and only taking the device up ends it.
    """
    term = profile.closed_stops.on(day) if profile.closed_stops is not None else None
    if term is None or term.value is None or not term.status.may_bind:
        return ClosingAnswer(None, term.cites if term is not None else ())
    return ClosingAnswer(term.value, term.cites)


def _about(case: Case) -> tuple[str, ...]:
    """Say what holds for every answer of a profile: that it is invented, that it keeps another clock."""
    said: list[str] = []
    if case.profile.invented:
        said.append("this law is invented and holds nowhere")
    if case.where.zone.key != case.watched.zone.key:
        called = case.profile.legal_time.called
        said.append(
            f"times of day are {f'{called} (' if called else ''}{case.where.zone.key}{')' if called else ''}"
        )
    return tuple(said)


def _banned(case: Case, answer: DueAnswer) -> tuple[DueAnswer, tuple[str, ...]]:
    """Answer for a class of device that is prohibited outright; a doubtful ban is said and leaves a doubt."""
    doubts: list[str] = []
    for ban in case.profile.bans:
        fit = ban.scope.fits(case.watched.device_class, case.answers)
        term = ban.history.on(case.day)
        if fit is Fit.NO or term is None or not term.value:
            continue
        if fit is Fit.YES and term.status.may_bind:
            said = "this device may not be set at all here: see to it and take it up"
            banned = replace(
                answer,
                verdict=Verdict.PROHIBITED,
                verified=not answer.confirm,
                rule=ban.id,
                words=ban.meaning,
                citations=term.cites,
                said=(*answer.said, said),
                go_now=True,
            )
            return banned, ()
        doubts += [f"not verified: {q}" for q in case.open_questions()] if fit is Fit.UNANSWERED else []
        doubts += [f"not verified: find out whether '{ban.id}' holds"] if not term.status.may_bind else []
        said = f"it may be prohibited outright: {ban.meaning.rstrip('.')} ({term.cites[0]})"
        answer = replace(answer, said=(*answer.said, said))
    return replace(answer, confirm=(*answer.confirm, *doubts)), tuple(doubts)


def _closed(case: Case, answer: DueAnswer) -> DueAnswer:
    """Answer for a set that is closed: its clock stops only where the profile says so."""
    if case.watched.working:
        return answer
    history = case.profile.closed_stops
    term = history.on(case.day) if history is not None else None
    if term is None or not term.status.may_bind or term.value is None:
        said = (
            "it is closed, and the profile does not say that this stops the clock: the clock is kept running"
        )
        return replace(answer, said=(*answer.said, said))
    if not term.value:
        return replace(answer, said=(*answer.said, "it is closed, which does not stop the clock"))
    return replace(
        answer,
        verdict=Verdict.NO_CLOCK,
        verified=not answer.confirm,
        words="closed: no clock runs",
        citations=term.cites,
        said=(*answer.said, "it is closed, and under this profile a closed set has no clock"),
    )
