"""Owns whether a season is open at a moment: fixed, yearly, tied to another, by quota; and its instants.

Does not own what follows for a set (`rules.judge_season`) or for a catch (`rules.catches`).
"""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta

from tendline.almanac.sun import NoEvent, sunrise_and_sunset
from tendline.core.when import Span, day_end, day_start
from tendline.rules.case import season_of
from tendline.rules.outcome import Met
from tendline.rules.rule import (
    AllYear,
    ClosedWindow,
    DatesSeason,
    Edges,
    Hour,
    MonthDay,
    Quota,
    Rule,
    Topic,
    Use,
    WindowSeason,
)
from tendline.rules.scene import Scene
from tendline.rules.shape import Fit

_SECOND = timedelta(seconds=1)


@dataclass(frozen=True)
class Days:
    """The days of a season, both included; None at an end that is not known or not there."""

    first: date | None
    last: date | None


@dataclass(frozen=True)
class Opened:
    """Whether a season is open: yes, no or unknown; its days and its instants; and what to say."""

    met: Met
    days: Days | None = None
    span: Span | None = None
    said: tuple[str, ...] = ()


def season_at(name: str, at: datetime, scene: Scene) -> Opened:
    """Say whether a season of the profile is open at an instant, where the set stands."""
    rule = scene.rule(name)
    if rule is None:
        return Opened(Met.UNKNOWN, said=(f"the season '{name}' is not held",))
    fit = scene.fit(replace(rule, classes=frozenset()))
    if fit is Fit.NO:
        return Opened(Met.NO, said=(f"'{name}' is not held here",))
    found = open_at(rule, at, scene)
    if fit is Fit.UNANSWERED and found.met is Met.YES:
        return Opened(Met.UNKNOWN, found.days, found.span, (*found.said, *scene.questions_of(rule)))
    return found


def own_season(species: str, at: datetime, scene: Scene) -> Opened:
    """Say whether any season for taking a species is open at an instant."""
    bases = {
        term.value.season
        for r in scene.profile.rules
        if (term := r.history.on(scene.day_of(at))) is not None and isinstance(term.value, Quota)
    }  # a season that a quota closes is asked by way of the quota
    rules = [
        r
        for r in scene.profile.rules
        if r.id not in bases
        and r.topic is Topic.SEASON
        and r.use is Use.TAKE
        and species in r.species
        and scene.fit(r) is not Fit.NO
    ]
    found = [season_at(rule.id, at, scene) for rule in rules]
    if not found:
        return Opened(Met.UNKNOWN, said=(f"no season for {species} is held",))
    for met in (Met.YES, Met.UNKNOWN):
        for opened in found:
            if opened.met is met:
                return opened
    return found[0]


def open_at(rule: Rule, at: datetime, scene: Scene) -> Opened:
    """Say whether the season of one rule is open at an instant, whatever set is meant."""
    day = scene.day_of(at)
    term = rule.history.on(day)
    if term is None or not term.status.may_bind:
        return Opened(Met.UNKNOWN, said=(f"'{rule.id}' is not known for {day}",))
    form = term.value
    if form is None:
        return Opened(Met.NO, said=(f"'{rule.id}' ended on {term.day}",))
    if isinstance(form, Quota):
        return _by_quota(rule, form, at, scene)
    if not isinstance(form, WindowSeason | DatesSeason | AllYear | ClosedWindow):
        return Opened(Met.UNKNOWN, said=(f"'{rule.id}' was looked for and not found",))
    if isinstance(form, WindowSeason):
        found = _window(rule, form, day, scene)
    elif isinstance(form, DatesSeason):
        found = _dates(rule, form, day)
    elif isinstance(form, ClosedWindow):
        found = _closed(rule, form, day)
    else:
        found = Opened(Met.YES, said=(f"'{rule.id}' is open all year",))
    return _with_others(form.edges, _with_hours(rule, form.edges, found, at, scene), at, scene)


def spanning(start: MonthDay, end: MonthDay, day: date) -> Days | None:
    """Give the run from one day of the year to another that holds `day`, or None; it may cross New Year."""
    for year in (day.year - 1, day.year):
        first = on_year(start, year)
        last = on_year(end, year if (end.month, end.day) >= (start.month, start.day) else year + 1)
        if first <= day <= last:
            return Days(first, last)
    return None


def on_year(wanted: MonthDay, year: int) -> date:
    """Give a day of the year in one year; 29 February gives 28 February where there is none."""
    try:
        return date(year, wanted.month, wanted.day)
    except ValueError:
        return date(year, wanted.month, wanted.day - 1)


def _window(rule: Rule, form: WindowSeason, day: date, scene: Scene) -> Opened:
    if form.end is not None:
        days = spanning(form.start, form.end, day)
        said = f"'{rule.id}' runs from {form.start.text} to {form.end.text}"
        return Opened(Met.NO, said=(said,)) if days is None else Opened(Met.YES, days, said=(said,))
    said = f"'{rule.id}' runs from {form.start.text} to the end of '{form.end_of}'"
    first = max(d for year in (day.year - 1, day.year) if (d := on_year(form.start, year)) <= day)
    other = scene.rule(form.end_of)
    if other is None:
        return Opened(Met.UNKNOWN, said=(said,))
    today = _run_of(other, day, day, scene)
    begun = today.days.first if today.days is not None else None
    if today.met is Met.NO or (today.met is Met.YES and begun is not None and begun > first):
        return Opened(Met.NO, said=(said, *today.said))  # the run that `first` began in has ended
    lasts = _run_of(other, first, day, scene)
    if lasts.met is not Met.YES or lasts.days is None:
        return Opened(lasts.met, said=(said, *lasts.said))
    last = lasts.days.last
    if last is None:
        return Opened(Met.YES, Days(first, None), said=(said,))
    said = f"{said}, {last}"
    return Opened(Met.YES, Days(first, last), said=(said,)) if day <= last else Opened(Met.NO, said=(said,))


def _run_of(other: Rule, asked: date, day: date, scene: Scene) -> Opened:
    """Give the run of another season in which a day falls, as the law stands on `day`."""
    term = other.history.on(day)
    form = term.value if term is not None and term.status.may_bind else None
    if isinstance(form, DatesSeason):
        return _dates(other, form, asked)
    if isinstance(form, WindowSeason):
        return _window(other, form, asked, scene)
    if isinstance(form, AllYear):
        return Opened(Met.YES, Days(None, None))
    return Opened(Met.UNKNOWN, said=(f"the days of '{other.id}' are not known",))


def _dates(rule: Rule, form: DatesSeason, day: date) -> Opened:
    for first, last in form.spans:
        if first <= day <= last:
            return Opened(Met.YES, Days(first, last), said=(f"'{rule.id}' runs from {first} to {last}",))
    year = season_of(day)
    same_year = [pair for pair in form.spans if year in (season_of(pair[0]), season_of(pair[1]))]
    if not same_year:
        return Opened(Met.UNKNOWN, said=(f"the dates of '{rule.id}' for {year} are not held",))
    runs = ", ".join(f"{first} to {last}" for first, last in same_year)
    return Opened(Met.NO, said=(f"'{rule.id}' runs from {runs}",))


def _closed(rule: Rule, form: ClosedWindow, day: date) -> Opened:
    shut = spanning(form.start, form.end, day)
    said = f"'{rule.id}': closed from {form.start.text} to {form.end.text}"
    if shut is not None:
        return Opened(Met.NO, said=(said,))
    ahead = min(d for year in (day.year, day.year + 1) if (d := on_year(form.start, year)) > day)
    return Opened(Met.YES, Days(None, ahead - timedelta(days=1)), said=(said,))


def _by_quota(rule: Rule, form: Quota, at: datetime, scene: Scene) -> Opened:
    base = season_at(form.season, at, scene)
    if base.met is Met.NO:
        return base
    if rule.id not in scene.facts.quota_reached:
        said = f"whether the {form.count} of '{rule.id}' are reached is not recorded: ask the agency today"
        return Opened(Met.UNKNOWN, base.days, base.span, (*base.said, said))
    reached = scene.facts.quota_reached[rule.id]
    if reached is None:
        said = f"the {form.count} of '{rule.id}' are not reached"
        return replace(base, said=(*base.said, said))
    last = reached + timedelta(days=form.days_after)
    said = f"the {form.count} of '{rule.id}' were reached on {reached}: the last day is {last}"
    if scene.day_of(at) > last:
        return Opened(Met.NO, said=(*base.said, said))
    days = Days(base.days.first if base.days is not None else None, last)
    return Opened(base.met, days, _as_span(days, scene), (*base.said, said))


def _as_span(days: Days | None, scene: Scene) -> Span | None:
    if days is None or (days.first is None and days.last is None):
        return None
    start = day_start(days.first, scene.zone) if days.first else datetime.min.replace(tzinfo=UTC)
    end = day_end(days.last, scene.zone) - _SECOND if days.last else datetime.max.replace(tzinfo=UTC)
    return Span(start, end)


def _with_hours(rule: Rule, edges: Edges, found: Opened, at: datetime, scene: Scene) -> Opened:
    span = _as_span(found.days, scene)
    if found.met is not Met.YES or span is None or found.days is None:
        return found
    start, end = span.start, span.end
    if edges.opens is not None and found.days.first is not None:
        opens = _instant(edges.opens, found.days.first, scene)
        if opens is None and scene.day_of(at) == found.days.first:
            return replace(found, met=Met.UNKNOWN, said=(*found.said, "the opening hour cannot be told"))
        start = opens or start
    if edges.closes is not None and found.days.last is not None:
        closes = _instant(edges.closes, found.days.last, scene)
        if closes is None and scene.day_of(at) == found.days.last:
            return replace(found, met=Met.UNKNOWN, said=(*found.said, "the closing hour cannot be told"))
        end = closes or end
    met = Met.YES if start <= at <= end else Met.NO
    said = found.said
    if met is Met.NO:
        when = f"opens {scene.told(start)}" if at < start else f"closed {scene.told(end)}"
        said = (*said, f"'{rule.id}' {when}")
    return Opened(met, found.days, Span(start, end), said)


def _instant(hour: Hour, day: date, scene: Scene) -> datetime | None:
    if hour.clock is not None:
        return datetime.combine(day, hour.clock, tzinfo=scene.zone).astimezone(UTC)
    if scene.facts.at is None:
        return None
    sunrise, sunset = sunrise_and_sunset(scene.facts.at, day, scene.zone)
    found = sunrise if hour.text == "sunrise" else sunset
    return None if isinstance(found, NoEvent) else found.replace(microsecond=0)


def _with_others(edges: Edges, found: Opened, at: datetime, scene: Scene) -> Opened:
    for name, wanted in (*((n, Met.YES) for n in edges.inside), *((n, Met.NO) for n in edges.closed_while)):
        if found.met is Met.NO:
            return found
        other = season_at(name, at, scene)
        told = "open" if wanted is Met.YES else "closed"
        if other.met is Met.UNKNOWN:
            said = (*found.said, f"it holds only while '{name}' is {told}", *other.said)
            found = replace(found, met=Met.UNKNOWN, said=said)
        elif other.met is not wanted:
            state = "closed" if wanted is Met.YES else "open"
            found = Opened(Met.NO, said=(*found.said, f"'{name}' is {state}", *other.said))
        elif wanted is Met.YES and other.span is not None:
            met = found.span.meet(other.span) if found.span is not None else other.span
            found = replace(found, span=met)
    return found


def noon(day: date, scene: Scene) -> datetime:
    """Give the noon of a day by the law's clock: an instant that is surely of that day."""
    return datetime.combine(day, time(12), tzinfo=scene.zone).astimezone(UTC)
