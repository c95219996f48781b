"""Owns a build in words and as JSON: where its stops sit, what it weighs, which laws it breaks, its chain.

Does not own the build (`gear.build`), the chain (`gear.chain`) or the findings (`rules.judge`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tendline.almanac.breakaways import Batch
from tendline.core.units import NEWTONS_PER_POUND, Units, format_small
from tendline.gear.build import Build, Laid, Sum
from tendline.gear.chain import Chain, Judged, LegalMost
from tendline.report.table import Column, draw_table, fold
from tendline.rules.finding import OPEN, WRONG, Finding, Holds

NO_PROMISE = (
    "No promise: figures are of new parts and of soil as described. Cable that held an animal, is kinked, "
    "frayed or bird-caged is out until it is rebuilt. Not legal advice; what is not verified is not allowed."
)


@dataclass(frozen=True)
class Standing:
    """How a build stands under one profile.

    Parameters
    ----------
    profile
        Its id.
    in_use
        The line goes by it.
    wrong, open
        Findings that are wrong, and that cannot be told.
    passed
        How many rules it keeps.
    verified
        Nothing is wrong or open, and the person has confirmed the profile.
    """

    profile: str
    in_use: bool
    wrong: tuple[Finding, ...]
    open: tuple[Finding, ...]
    passed: int
    verified: bool

    @property
    def word(self) -> str:
        """``not lawful``, ``cannot be told``, or what it keeps."""
        if self.wrong:
            return "not lawful"
        if self.open:
            return "cannot be told"
        if not self.passed:
            return "not verified: no rule on the device is held"
        return "lawful as confirmed" if self.verified else "keeps every rule held; profile not confirmed"


def standing_of(profile: str, findings: Sequence[Finding], *, in_use: bool) -> Standing:
    """Sum up the findings on a build under one profile."""
    wrong = tuple(f for f in findings if f.holds in WRONG)
    unsure = tuple(f for f in findings if f.holds in OPEN)
    passed = [f for f in findings if f.holds is Holds.PASS]
    verified = not wrong and not unsure and bool(passed) and all(f.verified for f in passed)
    return Standing(profile, in_use, wrong, unsure, len(passed), verified)


def build_words(
    build: Build, laid: Laid, standings: Sequence[Standing], units: Units, *, width: int = 100
) -> str:
    """Write a build laid out, and the laws, for a terminal."""

    def small(metres: float) -> str:
        return format_small(metres, units)

    circle = laid.circle
    stop = f"its stop {small(laid.largest_stop_m)} from the tip of the cable"
    lines = [
        build.name,
        f"  largest loop    {small(build.largest_m)} round, {small(laid.largest_across_m)} across; {stop}",
    ]
    if build.smallest_m is None or laid.smallest_stop_m is None or laid.smallest_across_m is None:
        lines.append("  smallest loop   no stop: it closes all the way")
    else:
        lines.append(
            f"  smallest loop   {small(build.smallest_m)} round, {small(laid.smallest_across_m)} across; "
            f"its stop {small(laid.smallest_stop_m)} from the tip of the cable"
        )
    low, high = small(circle.low_m), small(circle.high_m)
    reach = low if low == high else f"{low} to {high}"
    lines += [
        f"  to the lock     {small(laid.to_lock_m)} closed to its stop, {small(laid.to_lock_open_m)} open",
        f"  an animal held  reaches {reach} from the anchor; more down a slope",
        *(f"                  taken for granted: {said}" for said in circle.said),
        f"  weight          {_sum(laid.mass, 1000.0, 'g')}",
        f"  cost            {_sum(laid.cost, 1.0, '')}",
        "  Stops are placed where the lock comes to rest: on the tip's side of the larger, on the anchor's",
        "  side of the smaller, the lock's own length counted. Crimp one, measure the loop, do the batch.",
        "",
        "LAWS",
    ]
    for standing in sorted(standings, key=lambda s: (not s.in_use, not s.wrong, s.profile)):
        mark = " (in use)" if standing.in_use else ""
        lines.append(f"  {standing.profile}{mark}: {standing.word}")
        for finding in standing.wrong:
            lines += _item(f"{finding.holds.value}: {_told(finding)} [{finding.rule}]", width)
        if standing.open:
            rules = ", ".join(finding.rule for finding in standing.open)
            lines += _item(f"cannot be told: {rules}", width)
    return "\n".join([*lines, "", *fold(NO_PROMISE, width)])


def _told(finding: Finding) -> str:
    return "; ".join((finding.words.rstrip("."), *finding.said[:2]))


def _item(text: str, width: int) -> list[str]:
    first, *rest = fold(f"- {text}", width - 6)
    return [f"    {first}", *(f"      {line}" for line in rest)]


def _sum(total: Sum, factor: float, unit: str) -> str:
    told = f"{total.total * factor:.2f} {unit}".rstrip()
    if total.missing:
        told += f" without {', '.join(total.missing)}, which nobody gave"
    return told


def chain_words(chain: Chain, legal: Sequence[LegalMost], units: Units, *, width: int = 100) -> str:
    """Write the chain of strengths for a terminal, with the most that the laws in use let it open at."""
    lines = ["CHAIN, from the lock to the ground"]
    if chain.breakaway is not None:
        low, high = chain.breakaway.low_n, chain.breakaway.high_n
        how = "by your own pulls" if chain.breakaway.batch is not None else "by its label"
        lines.append(f"  breakaway opens at {_load(low, high, units)} {how}")
        lines += _batch_words(chain.breakaway.batch, units)
    lines += [line for limit in legal for line in _item(_legal_words(limit, chain, units), width)]
    if not legal:
        lines += _item("no law in use holds a most for the breakaway: not verified, not 'allowed'", width)
    rows = [
        (
            each.link.name,
            _load(each.link.low_n, each.link.high_n, units),
            "" if each.ratio is None else f"{each.ratio:.2f}",
            each.stands.value,
        )
        for each in chain.links
    ]
    columns = (
        Column("link", wrap=True),
        Column("gives way at"),
        Column("times", right=True),
        Column("stands"),
    )
    lines.append(draw_table(columns, rows, width=width))
    if chain.weakest is not None:
        lines.append(f"Weakest of those known: {chain.weakest.name}.")
    for each in chain.links:
        lines += _item(f"{each.link.name}: {each.link.said} ({each.link.status.value})", width)
    for warning in chain.warnings:
        lines += _item(f"WARNING {warning}", width)
    return "\n".join(lines)


def _batch_words(batch: Batch | None, units: Units) -> list[str]:
    if batch is None:
        return []
    told = f"{batch.count} pulled: mean {force_words(batch.mean_n, units)}"
    spread = f"spread {force_words(batch.spread_n, units)} (one standard deviation)"
    return [f"    {told}, {spread}; the next lies within with chance {batch.chance_within:.0%}"]


def _legal_words(limit: LegalMost, chain: Chain, units: Units) -> str:
    doubt = "" if limit.verified else ", not verified"
    most, stands = force_words(limit.most_n, units), limit.stands(chain.breakaway)
    most += " where it is what the law is kept by" if limit.only_if_used else ""
    return f"{limit.profile}: at most {most}: {stands}{doubt} ({limit.words.rstrip('.')})"


def _load(low_n: float | None, high_n: float | None, units: Units) -> str:
    if low_n is None:
        return "not known"
    low = force_words(low_n, units)
    if high_n is None:
        return f"{low} or more"
    high = force_words(high_n, units)
    return low if low == high else f"{low.split(' ')[0]} to {high}"


def force_words(newtons: float, units: Units) -> str:
    """Write a load: whole pounds, or whole newtons."""
    if units is Units.US:
        return f"{newtons / NEWTONS_PER_POUND:.0f} lb"
    return f"{newtons:.0f} N"


def build_document(build: Build, laid: Laid, standings: Sequence[Standing]) -> dict[str, Any]:
    """Write a build as one JSON document; lengths in metres from the tip of the cable."""
    return {
        "build": build.name,
        "cable_length_m": build.cable.length_m,
        "largest": {
            "around_m": build.largest_m,
            "across_m": laid.largest_across_m,
            "stop_m": laid.largest_stop_m,
        },
        "smallest": None
        if build.smallest_m is None
        else {
            "around_m": build.smallest_m,
            "across_m": laid.smallest_across_m,
            "stop_m": laid.smallest_stop_m,
        },
        "to_lock_m": laid.to_lock_m,
        "to_lock_open_m": laid.to_lock_open_m,
        "reach": {"low_m": laid.circle.low_m, "high_m": laid.circle.high_m},
        "mass": {"kg": laid.mass.total, "without": list(laid.mass.missing)},
        "cost": {"total": laid.cost.total, "without": list(laid.cost.missing)},
        "laws": [
            {
                "profile": standing.profile,
                "in_use": standing.in_use,
                "standing": standing.word,
                "verified": standing.verified,
                "wrong": [_finding(f) for f in standing.wrong],
                "cannot_be_told": [_finding(f) for f in standing.open],
                "kept": standing.passed,
            }
            for standing in standings
        ],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "holds": finding.holds.value,
        "words": finding.words,
        "said": list(finding.said),
        "source": str(finding.citation) if finding.citation is not None else None,
    }


def chain_document(chain: Chain, legal: Sequence[LegalMost] = ()) -> dict[str, Any]:
    """Write a chain as JSON; loads in newtons."""
    opens = chain.breakaway
    return {
        "breakaway": None
        if opens is None
        else {
            "low_n": opens.low_n,
            "high_n": opens.high_n,
            "label_n": opens.label_n,
            "pulls": opens.batch.count if opens.batch is not None else 0,
            "mean_n": opens.batch.mean_n if opens.batch is not None else None,
            "spread_n": opens.batch.spread_n if opens.batch is not None else None,
            "next_within": opens.batch.chance_within if opens.batch is not None else None,
        },
        "legal": [
            {
                "profile": limit.profile,
                "most_n": limit.most_n,
                "stands": limit.stands(opens),
                "verified": limit.verified,
                "only_if_used": limit.only_if_used,
                "rule": limit.words,
            }
            for limit in legal
        ],
        "links": [_link(each) for each in chain.links],
        "weakest": chain.weakest.name if chain.weakest is not None else None,
        "warnings": list(chain.warnings),
    }


def _link(each: Judged) -> dict[str, Any]:
    return {
        "name": each.link.name,
        "low_n": each.link.low_n,
        "high_n": each.link.high_n,
        "status": each.link.status.value,
        "said": each.link.said,
        "ratio": each.ratio,
        "stands": each.stands.value,
    }
