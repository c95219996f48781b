"""Owns the whole review of a season: one noun that holds every figure, and the making of it.

Does not own any single figure, its words (`report.season_text`) or where the record is kept (`jobs`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tendline.core.errors import Fault
from tendline.core.line import LineState
from tendline.core.when import Span, clock_text
from tendline.core.words import Sure
from tendline.logbook.corrected import Effective
from tendline.season.compare import Versus, between_groups, between_seasons
from tendline.season.earning import Worked
from tendline.season.effort import Convention, Tally, by_group, every_group, total
from tendline.season.faults import NO_EFFORT
from tendline.season.groups import grouping
from tendline.season.intervals import Estimate, rate_per_100
from tendline.season.misses import Missed, misses
from tendline.season.money import Money, Prices, money
from tendline.season.ranking import Ranking, rank
from tendline.season.shares import Share, shares
from tendline.season.stretches import Stretch
from tendline.season.study import Protocol, Scored, expected_more, scored
from tendline.season.tending import Tended, tended
from tendline.season.waits import Limit, Waits, waits
from tendline.season.walk import Walked, walked

FRESH = timedelta(days=3)
"""Sign this new stands above any average (common practice, no source)."""


@dataclass(frozen=True)
class Question:
    """What is asked of a season.

    Parameters
    ----------
    name
        How the season is called: ``2026-27``.
    window
        The stretch asked about.
    legal
        The season of the law for devices, within which nights count; None when it is not known.
    before
        The stretch a year earlier, and its name.
    convention, exact, score
        How nights are counted; Clopper-Pearson for shares; score method for ratios.
    zone, now
        The local zone; the present.
    lengths
        Words a length.
    law, own, has_own
        Limits for waits.
    usual_look_h
        Hours a visit where the record shows none.
    prices
        Of an hour and a mile.
    protocol
        Injury points.
    until
        The end to which captures are expected; None when it is not known.
    """

    name: str
    window: Span
    legal: Span | None
    before: tuple[str, Span]
    convention: Convention
    exact: bool
    score: bool
    zone: ZoneInfo
    now: datetime
    lengths: Callable[[float], str]
    law: Limit
    own: Limit
    has_own: bool
    usual_look_h: float
    prices: Prices
    protocol: Protocol
    until: datetime | None


@dataclass(frozen=True)
class Review:
    """Every figure of a season; see the module of each."""

    asked: Question
    walked: Walked
    tally: Tally
    raw_nights: float
    groups: Mapping[str, Mapping[str, Tally]]
    rate: Estimate
    rate_all: Estimate
    species: Mapping[str, Estimate]
    shares: tuple[Share, ...]
    compared: tuple[Versus, ...]
    last_season: tuple[Versus, Estimate, Estimate] | None
    ranking: Ranking
    missed: tuple[Missed, ...]
    waits: Waits
    tended: Tended
    money: Money
    scored: Scored
    still_to_come: Estimate
    nights_ahead: float
    faults: tuple[Fault, ...]

    @property
    def has_effort(self) -> bool:
        """Whether there are nights to divide by."""
        return self.tally.effort > 0


def review(entries: Sequence[Effective], line: LineState, asked: Question) -> Review:
    """Work out a season.

    Parameters
    ----------
    entries
        The record once corrected, in order of time.
    line
        The line as it stands at `asked.now`.
    asked
        What is asked.
    """
    window = asked.window if asked.legal is None else (asked.window.meet(asked.legal) or asked.window)
    found = _walk(entries, line, asked, window)
    inside = [one for one in found.stretches if asked.window.holds(one.end)]
    tally = total(inside, asked.convention)
    groups = every_group(inside, asked.convention)
    time = tended(inside)
    ahead = _nights_ahead(found, asked)
    return Review(
        asked=asked,
        walked=replace(found, stretches=tuple(inside)),
        tally=tally,
        raw_nights=tally.nights,
        groups=groups,
        rate=rate_per_100(tally.target, tally.effort),
        rate_all=rate_per_100(tally.held, tally.effort),
        species={name: rate_per_100(n, tally.effort) for name, n in tally.species.most_common()},
        shares=shares(tally, inside, targets=_targets(line, tally), exact=asked.exact),
        compared=between_groups(groups, score=asked.score),
        last_season=_before(entries, line, asked, tally),
        ranking=_ranking(inside, line, entries, asked, time),
        missed=misses(inside, asked.lengths, asked.convention),
        waits=waits(inside, law=asked.law, own=asked.own, has_own=asked.has_own),
        tended=time,
        money=money(entries, tally, window=_so_far(asked), hours_on_line=time.hours, prices=asked.prices),
        scored=scored(found.catches, _injuries(entries), asked.protocol),
        still_to_come=expected_more(tally.target, tally.effort, ahead),
        nights_ahead=ahead,
        faults=(*found.faults, *_without_effort(tally)),
    )


def _without_effort(tally: Tally) -> tuple[Fault, ...]:
    if tally.effort > 0:
        return ()
    do = "Note when each set was made, and each look: tendline note check --fine SET."
    return (Fault(NO_EFFORT, "no night with a working device is on record; no rate is told.", "", do),)


def _so_far(asked: Question) -> Span:
    return Span(asked.window.start, max(asked.window.start, min(asked.window.end, asked.now)))


def _walk(entries: Sequence[Effective], line: LineState, asked: Question, window: Span) -> Walked:
    said = grouping(line, entries, asked.lengths)
    return walked(entries, line, window=window, zone=asked.zone, grouping=said, now=asked.now)


def _before(
    entries: Sequence[Effective], line: LineState, asked: Question, tally: Tally
) -> tuple[Versus, Estimate, Estimate] | None:
    """Compare with the season before, where the record reaches back that far."""
    name, span = asked.before
    if not any(e.event.kind == "check" and span.holds(e.happened_at) for e in entries):
        return None
    earlier = _walk(entries, line, asked, span)
    sums = total([one for one in earlier.stretches if span.holds(one.end)], asked.convention)
    return between_seasons((asked.name, tally), (name, sums), score=asked.score)


def _targets(line: LineState, tally: Tally) -> frozenset[str]:
    named = {one.target for one in line.sets.values() if one.target}
    return frozenset(named | set(tally.target_species))


def _ranking(
    inside: Sequence[Stretch],
    line: LineState,
    entries: Sequence[Effective],
    asked: Question,
    time: Tended,
) -> Ranking:
    by_set = by_group(inside, asked.convention, "set")
    last = {one.set_name: one for one in inside}
    sets = [
        Worked(
            name,
            last[name].groups["location type"],
            last[name].groups["property"],
            tally.target,
            tally.near,
            tally.effort,
        )
        for name, tally in by_set.items()
    ]
    return rank(
        sets,
        hours=time.per_visit,
        usual_hours=time.usual or asked.usual_look_h,
        visits={name: tally.looks for name, tally in by_set.items()},
        fresh=_fresh(entries, line, asked),
    )


def _fresh(entries: Sequence[Effective], line: LineState, asked: Question) -> dict[str, str]:
    """Find fresh sign of a target at sets that are out."""
    targets = {one.target for one in line.sets.values() if one.target}
    out: dict[str, str] = {}
    for entry in entries:
        body = entry.body
        sign = entry.event.kind == "sign-seen" or body.get("what_happened") in ("passed-by", "refused")
        new = timedelta(0) <= asked.now - entry.happened_at <= FRESH
        if not sign or not new or body.get("species") not in targets:
            continue
        doubt = "" if body.get("how_sure") in (Sure.SEEN, Sure.TRACK_SURE) else ", not sure"
        words = f"{body['species']} {clock_text(entry.happened_at, asked.zone)[:3]}{doubt}"
        for one in line.in_field:
            if one.name == body.get("set") or (not body.get("set") and one.parcel == body.get("parcel")):
                out[one.name] = words
    return out


def _injuries(entries: Sequence[Effective]) -> dict[str, Sequence[str]]:
    return {
        e.event.id: e.body["injuries"] for e in entries if e.event.kind == "catch" and "injuries" in e.body
    }


def _nights_ahead(found: Walked, asked: Question) -> float:
    """Give the device-nights still to come if what is out and set stays out until the end."""
    if asked.until is None or asked.until <= asked.now:
        return 0.0
    days = (asked.until - asked.now).total_seconds() / 86400.0
    return sum(one.works for one in found.still_open) * days
