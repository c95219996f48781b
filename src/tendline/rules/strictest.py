"""Owns choosing among the limits of one set: the strictest, with what must be said beside it.

Does not own how a limit comes about (`rules.limits`) or when there is nothing to choose (`rules.ask`).
"""

from dataclasses import replace
from datetime import datetime, timedelta

from tendline.core.when import Span
from tendline.core.words import DeviceClass
from tendline.rules.answer import DueAnswer, OtherLimit, Verdict
from tendline.rules.case import Case
from tendline.rules.dated import Severity
from tendline.rules.forms import DAY, Clock
from tendline.rules.limits import Bound, Limits
from tendline.rules.shape import Fit

HOLDS_ALIVE = frozenset({DeviceClass.LIVE_RESTRAINT, DeviceClass.CAGE, DeviceClass.FOOTHOLD})
"""Devices in which an animal waits alive; a look every day, in the morning, is common practice, no source."""

_LOOK_BACK = timedelta(days=3)
"""How far before a limit lawful hours are looked for; no curfew of one night reaches so far."""


def strictest(case: Case, answer: DueAnswer, limits: Limits, *, doubts: tuple[str, ...] = ()) -> DueAnswer:
    """Fill in the answer from the earliest limit; one broken for sure comes before one only feared.

    Parameters
    ----------
    case, limits
        The set, and what binds it.
    answer
        What is known so far; its `confirm` holds what would make the profile hold, and the doubts.
    doubts
        What keeps even a sure limit from being the whole answer: a ban that may hold.
    """
    untimed = [bound for bound in limits.bounds if bound.at is None]
    timed = [(bound.at, bound) for bound in limits.bounds if bound.at is not None]
    timed.sort(key=lambda pair: (pair[0], pair[1].rule.id))
    said = (*answer.said, *limits.said, *(line for bound in untimed for line in bound.said))
    answer = replace(answer, said=said)
    if not timed:
        return _without_limit(case, answer, limits)
    broken = [(at, b) for at, b in timed if b.sure and b.term.status.may_bind and at < case.now]
    at, first = broken[0] if broken else timed[0]
    open_ends = _open_ends(case, first, untimed)
    confirm = tuple(dict.fromkeys((*answer.confirm, *open_ends)))
    act_by, hours = _last_lawful(case, at, first.since)
    return replace(
        answer,
        verdict=Verdict.OVERDUE if broken else Verdict.NOT_VERIFIED if open_ends or doubts else Verdict.DUE,
        verified=not confirm,
        due_at=at,
        act_by=act_by,
        since=first.since,
        rule=first.rule.id,
        form=first.term.value.key if first.term.value is not None else "",
        words=first.words,
        citations=first.term.cites,
        said=(*answer.said, *first.said, *_rivals(first, timed), *hours),
        confirm=confirm,
        advisories=(*answer.advisories, *_long_wait(case, at - first.since)),
        others=tuple(
            OtherLimit(b.rule.id, b.words, when, b.term.cites[0]) for when, b in timed if b is not first
        ),
        go_now=at < case.now,
    )


def advice(case: Case, since: datetime | None) -> tuple[str, ...]:
    """Give what the profile advises without binding, each with its source."""
    found: list[str] = []
    for rule in case.profile.checks:
        term = rule.history.on(case.day)
        if (
            rule.severity is not Severity.ADVICE
            or case.fit(rule) is Fit.NO
            or term is None
            or term.value is None
        ):
            continue
        words = term.value.words
        if isinstance(term.value, Clock) and since is not None:
            limit = term.value.limit(since, case.where)
            words += f", so by {case.told(limit.at)}" if limit.at is not None else ""
        found.append(f"advice, no duty: {words} ({term.cites[0]})")
    return tuple(found)


def _without_limit(case: Case, answer: DueAnswer, limits: Limits) -> DueAnswer:
    binding = [(rule, term) for rule, term in limits.no_interval if term.status.may_bind]
    if binding and not limits.bounds:
        rule, term = binding[0]
        return replace(
            answer,
            verdict=Verdict.NO_CLOCK,
            verified=not answer.confirm,
            rule=rule.id,
            form=term.value.key if term.value is not None else "",
            words=term.value.words if term.value is not None else "",
            citations=term.cites,
            said=(*answer.said, "no limit in law: an animal held alive waits all the same"),
        )
    what = case.watched.device_class.value
    find_out = f"not verified: find out how often a {what} must be looked at here"
    said = f"{case.profile.id} gives no limit for a {what} at {case.watched.name} on {case.day}"
    confirm = (*answer.confirm, *(case.open_questions() or (find_out,)))
    return replace(answer, said=(*answer.said, said), confirm=confirm)


def _open_ends(case: Case, first: Bound, untimed: list[Bound]) -> tuple[str, ...]:
    """Say what keeps the limit from being sure, apart from the confirmation of the profile."""
    found: list[str] = []
    if not first.sure:
        found += [
            f"not verified: {question}; until then the strictest is used"
            for question in case.open_questions()
        ]
    if not first.term.status.may_bind:
        known = first.term.status.value
        found.append(f"not verified: find out whether '{first.rule.id}' holds; how it is known: {known}")
    found += [f"not verified: the limit of '{bound.rule.id}' cannot be told" for bound in untimed]
    return tuple(found)


def _rivals(first: Bound, timed: list[tuple[datetime, Bound]]) -> tuple[str, ...]:
    """Say where two sources word the same duty differently, and that the stricter is used."""
    rivals = [b for _, b in timed if first.rule.id == b.rule.rival or first.rule.rival == b.rule.id]
    here = f"'{first.words}' ({first.term.cites[0]})"
    return tuple(
        f"two sources differ: {here} and '{other.words}' ({other.term.cites[0]}); the stricter is used"
        for other in rivals
    )


def _last_lawful(case: Case, due_at: datetime, since: datetime) -> tuple[datetime | None, tuple[str, ...]]:
    """Give the last lawful second that is in time, and what to say where it is not the limit itself."""
    start = max(since, due_at - _LOOK_BACK)
    spans = case.lawful(Span(start, due_at)) if start <= due_at else ()
    if not spans:
        return None, ("no lawful hour lies before this limit",)
    last = spans[-1].end
    if last == due_at:
        return last, ()
    words = f"the limit falls in hours when no set may be tended: the last lawful moment is {case.told(last)}"
    if last < case.now <= due_at:
        words += ", which is past"
    return last, (words,)


def _long_wait(case: Case, gap: timedelta) -> tuple[str, ...]:
    if gap <= DAY or case.watched.device_class not in HOLDS_ALIVE:
        return ()
    hours = int(gap.total_seconds() // 3600)
    return (
        f"lawful for {hours} h, and long for a held animal: every day, in the morning, is common practice",
    )
