"""Owns the deadline of a report or another act on a catch, and whether it was kept.

Does not own which reports a catch calls for (`rules.judge`). Words without a number are a duty that is never
late.
"""

from datetime import datetime, timedelta

from tendline.core.when import day_end
from tendline.rules.business import business_days_after, days_after
from tendline.rules.facts import CatchFacts
from tendline.rules.outcome import Met, Outcome, no, unknown, yes
from tendline.rules.rule import From, Report
from tendline.rules.scene import Scene
from tendline.rules.seasons import noon, own_season, season_at

_SECOND = timedelta(seconds=1)


def meet_report(need: Report, catch: CatchFacts, scene: Scene) -> Outcome:
    """Say whether the act was done in time, is due, overdue, or has no number to be late by."""
    what = f"{need.act} to {need.to}{', in writing' if need.in_writing else ''}"
    done = [act for act in catch.done or () if act.act == need.act]
    if need.soon:
        if done:
            return yes(f"{what}: done")
        said = f"{what}: {need.soon}; the text gives no number, so it is never marked late by guess"
        return Outcome(Met.DUE, (said,))
    by, said_by, ask = _deadline(need, catch, scene)
    if by is None:
        return Outcome(Met.UNKNOWN, (what, *said_by), ask)
    told = f"{what}: by {scene.told(by)}"
    if done:
        at = min((act.at for act in done if act.at is not None), default=None)
        if at is None:
            return unknown(f"record when it was done: {what}", f"{told}; it was done, nobody recorded when")
        kept = f"{told}; done {scene.told(at)}"
        return yes(kept, *said_by) if at <= by else no(f"{kept}, which is late", *said_by)
    blank = () if catch.done is not None else ("nothing about it is on record",)
    met = Met.DUE if scene.now <= by else Met.OVERDUE
    return Outcome(met, (told, *said_by, *blank), due_at=by)


Deadline = tuple[datetime | None, tuple[str, ...], tuple[str, ...]]


def _deadline(need: Report, catch: CatchFacts, scene: Scene) -> Deadline:
    start, said, ask = _start(need, catch, scene)
    if start is None:
        return None, said, ask
    if need.within is not None:
        return start + need.within.length, said, ask
    day = scene.day_of(start)
    if need.days is not None:
        last = days_after(day, need.days)
    else:
        assert need.business_days is not None
        holidays = scene.facts.holidays
        last = business_days_after(day, need.business_days, holidays=holidays or frozenset())
        if holidays is None:
            said = (*said, "public holidays are not known and were counted as business days")
    return day_end(last, scene.zone) - _SECOND, said, ask


def _start(need: Report, catch: CatchFacts, scene: Scene) -> Deadline:
    if need.start is not From.SEASON_CLOSE:
        at = catch.harvested_at if need.start is From.HARVEST else None
        at = at or catch.found_at
        return (
            at,
            () if at else ("when it was found is not recorded",),
            () if at else ("record when it was found",),
        )
    when = catch.found_at or scene.now
    found = (
        own_season(catch.species, when, scene)
        if need.season == "own"
        else season_at(need.season, when, scene)
    )
    if found.met is Met.YES and found.days is not None and found.days.last is not None:
        return noon(found.days.last, scene), found.said, ()
    said = (*found.said, "the day on which that season closes cannot be told")
    return None, said, (f"find out when '{need.season}' closes",)
