"""Owns the limits that bind one set: each duty's last second in time, as the law changes, and remote clocks.

Does not own which of them the answer rests on: that is `rules.strictest`.
"""

from dataclasses import dataclass, replace
from datetime import datetime

from tendline.core.when import day_start
from tendline.rules.case import Case
from tendline.rules.dated import Term
from tendline.rules.forms import SECOND, Clock, Form, NoInterval, NotKnown, RemoteSystem
from tendline.rules.shape import CheckRule


@dataclass(frozen=True)
class Bound:
    """One duty's limit for the next look.

    Parameters
    ----------
    rule, term
        Which rule, and which of its dated terms.
    at
        The last second in time; None when it cannot be told.
    since
        What its clock runs from.
    sure
        The rule surely looks at the set; False when that hangs on an open question.
    said
        What must be told with it.
    """

    rule: CheckRule
    term: Term[Form]
    at: datetime | None
    since: datetime
    sure: bool
    said: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The rule in a few words."""
        return self.term.value.words if self.term.value is not None else ""


@dataclass(frozen=True)
class Limits:
    """All limits of one set, the terms that say there is none, and what else was met."""

    bounds: tuple[Bound, ...]
    no_interval: tuple[tuple[CheckRule, Term[Form]], ...]
    said: tuple[str, ...]


def limits_of(case: Case, since: datetime) -> Limits:
    """Work out every duty's limit for the look that follows the one at `since`."""
    bounds: list[Bound] = []
    silent: list[tuple[CheckRule, Term[Form]]] = []
    said: list[str] = []
    for rule, sure in case.duties():
        standing = rule.history.on(case.day)
        if standing is None:
            said.append(f"nothing is held of '{rule.id}' before {rule.history.terms[0].day}")
        elif isinstance(standing.value, NoInterval) and sure:
            silent.append((rule, standing))
        elif isinstance(standing.value, NotKnown):
            said.append(f"'{rule.id}': {standing.value.words} ({standing.cites[0]})")
        elif standing.value is not None:
            bound = _first_breach(case, rule, since, sure=sure)
            if bound is not None:
                bounds.append(bound)
    return _with_remote(case, since, Limits(tuple(bounds), tuple(silent), tuple(said)))


def _first_breach(case: Case, rule: CheckRule, since: datetime, *, sure: bool) -> Bound | None:
    """Find the first second after which the rule, term by term as it changes, would be broken.

    A term that begins when its own limit is already past is broken as it begins, hence the last second of the
    day before; one whose limit falls after its end never binds.
    """
    zone = case.where.zone
    for term, until in rule.history.stretches():
        if not isinstance(term.value, Clock):
            continue
        limit = term.value.limit(since, case.where)
        if limit.at is None:
            if rule.history.on(case.day) is term:
                return Bound(rule, term, None, since, sure, limit.said)
            continue
        at = max(limit.at, day_start(term.day, zone) - SECOND)
        if until is None or at + SECOND < day_start(until, zone):
            return Bound(rule, term, at, since, sure, limit.said)
    standing = rule.history.on(case.day)
    if standing is None or not isinstance(standing.value, Clock):
        return None
    return Bound(rule, standing, None, since, sure, (f"'{rule.id}' ends before its limit is reached",))


def _with_remote(case: Case, since: datetime, limits: Limits) -> Limits:
    """Let a monitoring system stand in for visits where a rule allows it, with its own two clocks."""
    state = case.watched.remote
    if state is None:
        return limits
    for rule, sure in case.duties():
        term = rule.history.on(case.day)
        system = term.value if term is not None else None
        if term is None or not isinstance(system, RemoteSystem) or not sure:
            continue
        contact = state.last_good_contact
        if contact is None or contact > case.now:
            said = "it is monitored, but no good contact is on record: visits count as if it were not"
            return replace(limits, said=(*limits.said, said))
        by_contact = contact + system.visit_after_contact.length
        said_contact = f"the monitoring system was last heard well at {case.told(contact)}"
        bounds = [
            Bound(rule, term, by_contact, contact, sure, (said_contact,))
            if bound.rule.id in system.in_place_of and bound.at is not None and bound.at < by_contact
            else bound
            for bound in limits.bounds
        ]
        alert = state.alert_at
        if alert is not None and since < alert <= case.now:
            told = f"the monitoring system told of a closure or an animal at {case.told(alert)}"
            by_alert = alert + system.visit_after_alert.length
            bounds.append(Bound(rule, term, by_alert, alert, sure, (f"{told}; nobody has been there since",)))
        return replace(limits, bounds=tuple(bounds))
    return limits
