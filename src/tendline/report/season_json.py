"""Owns a season as one JSON document.

Does not own the figures (`season`) or their wording (`season_text`).
"""

import math
from collections.abc import Sequence
from typing import Any

from tendline.core.when import Span, rfc3339
from tendline.report.season_nouns import Told
from tendline.season.compare import Versus
from tendline.season.effort import SAYS, Tally
from tendline.season.intervals import Compared, Estimate, rate_per_100
from tendline.season.misses import Missed
from tendline.season.ranking import Ranking, Worth
from tendline.season.removal_index import RemovalIndex
from tendline.season.review import Review
from tendline.season.waits import Wait


def season_document(told: Told, *, plots: Sequence[str] = ()) -> dict[str, Any]:
    """Give a season as JSON can hold it; shares from 0 to 1, hours `_h`, a range without end as null."""
    r = told.review
    zone = r.asked.zone
    return {
        "line": told.settings.name,
        "invented": told.settings.invented,
        "now": rfc3339(r.asked.now, zone),
        "season": r.asked.name,
        "window": _span(r.asked.window, told),
        "legal_season": None if r.asked.legal is None else _span(r.asked.legal, told),
        "legal_said": told.legal_said,
        "convention": {"name": r.asked.convention.value, "says": SAYS[r.asked.convention]},
        "has_effort": r.has_effort,
        "faults": [{"code": f.code.id, "what": f.what, "where": f.where, "do": f.do} for f in r.faults],
        "total": _tally(r.tally),
        "not_counted_yet_nights": round(sum(one.nights for one in r.walked.still_open), 3),
        "failed_looks": r.walked.failed,
        "rate_target_per_100": estimate(r.rate),
        "rate_all_per_100": estimate(r.rate_all),
        "rate_by_species_per_100": {name: estimate(e) for name, e in r.species.items()},
        "by": {by: {name: _tally(t) for name, t in groups.items()} for by, groups in r.groups.items()},
        "shares": [
            {
                "name": s.name,
                "of": s.of,
                "part": s.part,
                "whole": s.whole,
                **estimate(s.estimate),
                "standard": s.standard,
                "met": s.met,
            }
            for s in r.shares
        ],
        "earning": _ranking(r.ranking),
        "misses": [_missed(m) for m in r.missed],
        "waits": {
            "all": None if r.waits.all is None else _wait(r.waits.all, told),
            "by_property": [_wait(w, told) for w in r.waits.by_property],
            "by_weekday": [_wait(w, told) for w in r.waits.by_weekday],
            "limits_doubt": told.limits_doubt,
        },
        "compared": [_versus(v) for v in r.compared],
        "last_season": _last(r),
        "money": _money(r),
        "study": _study(r, told),
        "removal": None if told.removal is None else _removal(told.removal),
        "plots": list(plots),
    }


def estimate(one: Estimate, digits: int = 6) -> dict[str, Any]:
    """Give an estimate: value, low, high, method, level."""
    return {
        "value": None if one.value is None else round(one.value, digits),
        "low": round(one.low, digits),
        "high": _finite(one.high, digits),
        "method": one.method,
        "level": one.level,
    }


def _finite(value: float | None, digits: int = 6) -> float | None:
    return None if value is None or not math.isfinite(value) else round(value, digits)


def _span(span: Span, told: Told) -> dict[str, str]:
    zone = told.review.asked.zone
    return {"start": rfc3339(span.start, zone), "end": rfc3339(span.end, zone)}


def _tally(t: Tally) -> dict[str, Any]:
    return {
        "sets": len(t.sets),
        "looks": t.looks,
        "nights_out": round(t.nights, 3),
        "device_nights": round(t.effort, 3),
        "nights_outside": round(t.outside, 3),
        "target": t.target,
        "other": t.other,
        "species": dict(t.species),
        "escaped": dict(t.escaped),
        "refused": t.refused,
        "knocked_down": t.knocked_down,
        "near": t.near,
        "lost": t.lost,
        "rate_target_per_100": estimate(rate_per_100(t.target, t.effort)),
    }


def _ranking(ranking: Ranking) -> dict[str, Any]:
    return {
        "ranked": ranking.ranked,
        "why_not": ranking.why,
        "more_nights": _finite(ranking.more_nights, 1),
        "near_speaks": _finite(ranking.near_speaks, 3),
        "unit": "target catches per 100 hours of tending; range holds 9 of 10",
        "sets": [_worth(w) for w in ranking.sets],
        "properties": [_worth(w) for w in ranking.properties],
    }


def _worth(w: Worth) -> dict[str, Any]:
    return {
        "name": w.name,
        "caught": w.caught,
        "near": w.near,
        "device_nights": round(w.nights, 3),
        "value": round(w.value, 4),
        "low": round(w.low, 4),
        "high": round(w.high, 4),
        "above_middle": round(w.above, 4),
        "fresh_sign": w.fresh,
        "hours_known": w.hours_known,
        "said": w.word,
    }


def _missed(m: Missed) -> dict[str, Any]:
    return {
        "cause": m.cause,
        "events": m.events,
        "said": m.said,
        "findings": [
            {
                "factor": f.factor,
                "more": f.more,
                "less": f.less,
                "counts": list(f.counts),
                "ratio": _compared(f.compared),
                "p_corrected": round(f.p, 6),
                "try": f.try_,
            }
            for f in m.findings
        ],
    }


def _compared(c: Compared) -> dict[str, Any]:
    return {
        "value": _finite(c.ratio),
        "low": _finite(c.low),
        "high": _finite(c.high),
        "p": round(c.p, 6),
        "method": c.method,
    }


def _versus(v: Versus) -> dict[str, Any]:
    return {
        "by": v.by,
        "one": v.one,
        "other": v.other,
        "first": {"target": v.first[0], "device_nights": round(v.first[1], 3)},
        "second": {"target": v.second[0], "device_nights": round(v.second[1], 3)},
        "ratio": _compared(v.compared),
        "p_corrected": round(v.p, 6),
        "shown": v.shown,
        "said": v.said,
    }


def _last(r: Review) -> dict[str, Any] | None:
    if r.last_season is None:
        return None
    versus, efficiency, selectivity = r.last_season
    return {
        "rate": _versus(versus),
        "efficiency_difference": estimate(efficiency),
        "selectivity_difference": estimate(selectivity),
    }


def _wait(w: Wait, told: Told) -> dict[str, Any]:
    return {
        "name": w.name,
        "looks": w.looks,
        "median_h": round(w.median_h, 3),
        "worst_h": round(w.worst_h, 3),
        "worst_set": w.worst_set,
        "worst_at": rfc3339(w.worst_at, told.review.asked.zone),
        "over_law": w.over_law,
        "law_untold": w.law_untold,
        "over_own": w.over_own,
        "held": w.held,
        "held_median_h": _finite(w.held_median_h, 3),
        "held_worst_h": _finite(w.held_worst_h, 3),
    }


def _money(r: Review) -> dict[str, Any]:
    m = r.money
    return {
        "entered": dict(m.entered),
        "hours_on_line_h": round(m.hours_on_line, 3),
        "hours_entered_h": round(m.hours_entered, 3),
        "miles": round(m.miles, 2),
        "outings": r.tended.outings,
        "usual_visit_min": None if r.tended.usual is None else round(60 * r.tended.usual, 2),
        "cost": round(m.cost, 2),
        "income": round(m.income, 2),
        "cost_per_visit": _finite(m.per_visit, 4),
        "cost_per_catch": estimate(m.per_catch, 2),
        "breaks_even_at_catches": _finite(m.breaks_even_at, 3),
        "left_out": list(m.said),
    }


def _study(r: Review, told: Told) -> dict[str, Any]:
    s = r.scored
    until = r.asked.until
    return {
        "protocol": {"name": s.protocol.name, "source": s.protocol.source},
        "examined": len(s.scores),
        "not_examined": s.not_examined,
        "unknown_injuries": list(s.unknown),
        "points": dict(s.scores),
        "mean": _finite(s.mean, 3),
        "worst": s.worst,
        "standards": [
            {
                "words": standard.words,
                "animals_within": under,
                **estimate(e),
                "wanted": standard.share,
                "met": met,
            }
            for standard, under, e, met in s.standards
        ],
        "until": None if until is None else rfc3339(until, told.review.asked.zone),
        "device_nights_ahead": round(r.nights_ahead, 3),
        "captures_still_to_come": estimate(r.still_to_come),
    }


def _removal(index: RemovalIndex) -> dict[str, Any]:
    return {
        "species": index.species,
        "names": list(index.names),
        "rounds": list(index.rounds),
        "effort": list(index.effort),
        "by_rounds": [
            {"method": o.method, "number": _finite(o.number), "p": _finite(o.p), "se": _finite(o.se)}
            for o in index.removed
        ],
        "by_effort": [
            {
                "method": f.method,
                "number": _finite(f.number),
                "se": _finite(f.se),
                "q": _finite(f.q, 9),
                "low": _finite(f.low),
                "high": _finite(f.high),
                "r2": _finite(f.r2),
            }
            for f in index.fallen
        ],
        "p_night": _finite(index.p_night),
        "within": [{"nights": n, "chance": round(c, 4)} for n, c in index.within],
        "stop_after_nights": None if index.stop is None else index.stop.nights,
        "assumes": list(index.assumes),
        "said": list(index.said),
    }
