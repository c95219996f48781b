"""Owns the tables of a season, drawn or not: effort and rates, shares, waits, what earns its check.

Does not own the figures (`season`) or the order in which they are told (`season_parts`).
"""

from collections.abc import Sequence

from tendline.core.when import clock_text
from tendline.report.season_nouns import Cells, Told, between, number, percent
from tendline.report.table import Column
from tendline.season.compare import Versus
from tendline.season.effort import Tally
from tendline.season.intervals import rate_per_100
from tendline.season.ranking import Worth
from tendline.season.removal_index import RemovalIndex
from tendline.season.stretches import NOT_TOLD
from tendline.season.waits import Wait

BAR = 30
"""Cells of a bar that shows a range."""

_GROUP = ("nights out", "counted", "target", "other", "per 100", "95 % range")


def effort_table(told: Told, by: str, groups: dict[str, Tally]) -> Cells:
    """Draw effort and rates by one group."""
    columns = [Column(by, wrap=True), *(Column(name, right=True) for name in _GROUP)]
    rows = []
    for name, tally in groups.items():
        rate = rate_per_100(tally.target, tally.effort)
        shown = told.title(name) if by == "property" and name != NOT_TOLD else name
        rows.append(
            (
                shown,
                f"{tally.nights:.0f}" if tally.nights == int(tally.nights) else f"{tally.nights:.1f}",
                f"{tally.effort:.1f}",
                str(tally.target),
                str(tally.other),
                "no effort" if rate.value is None else number(rate.value),
                "" if rate.value is None else between(rate),
            )
        )
    return Cells(columns, rows)


def shares_table(told: Told) -> Cells:
    """Draw the shares with their ranges, and what may be said against a standard."""
    columns = [
        Column("share"),
        Column("count", right=True),
        Column("is", right=True),
        Column("95 % range", right=True),
        Column("of what", wrap=True),
    ]
    rows = []
    for one in told.review.shares:
        low, high = percent(one.estimate.low), percent(one.estimate.high)
        verdict = ""
        if one.standard is not None and one.whole:
            words = {
                True: "shown to reach",
                False: "shown to miss",
                None: "not enough animals to judge against",
            }
            verdict = f"; {words[one.met]} {percent(one.standard)}"
        known = one.estimate.value is not None
        rows.append(
            (
                one.name,
                f"{one.part}/{one.whole}",
                percent(one.estimate.value),
                f"{low} to {high}" if known else "",
                f"{one.of}{verdict}",
            )
        )
    return Cells(columns, rows)


def waits_table(title: str, waits: Sequence[Wait], told: Told) -> Cells:
    """Draw how long an animal could have waited."""
    columns = [
        Column(title, wrap=True),
        Column("looks", right=True),
        Column("median", right=True),
        Column("worst", right=True),
        Column("worst at", wrap=True),
        Column("over law", right=True),
        Column("over own", right=True),
    ]
    zone = told.settings.zone
    rows = [
        (
            told.title(one.name) if title == "property" else one.name,
            str(one.looks),
            f"{one.median_h:.1f} h",
            f"{one.worst_h:.1f} h",
            f"{one.worst_set}, {clock_text(one.worst_at, zone)}",
            "not told" if one.over_law is None else str(one.over_law),
            "none set" if one.over_own is None else str(one.over_own),
        )
        for one in waits
    ]
    return Cells(columns, rows)


def worth_table(title: str, worths: Sequence[Worth], told: Told, *, bars: bool) -> Cells:
    """Draw expected catches per 100 hours of tending, each range as a bar or, for paper, in figures."""
    most = max((w.high for w in worths), default=1.0) or 1.0
    columns = [
        Column(title, wrap=True),
        Column("caught", right=True),
        Column("near", right=True),
        Column("nights", right=True),
        Column("per 100 h", right=True),
        Column(f"0 {'range, 9 of 10':^{BAR - 8}} {number(most):>5}" if bars else "range, 9 of 10"),
        Column("", wrap=True),
    ]
    rows = [
        (
            told.title(w.name) if title == "property" else w.name,
            str(w.caught),
            str(w.near),
            f"{w.nights:.0f}",
            number(w.value),
            bar(w.low, w.value, w.high, most) if bars else f"{number(w.low)} to {number(w.high)}",
            f"fresh sign: {w.fresh}" if w.fresh else w.word,
        )
        for w in worths
    ]
    return Cells(columns, rows)


def bar(low: float, value: float, high: float, most: float) -> str:
    """Draw a range as text: dots up to it, dashes over it, an o at the value.

    Parameters
    ----------
    low, value, high
        0 <= low <= value <= high.
    most
        What the full width stands for, over 0.
    """
    a, v, b = (min(BAR - 1, max(0, int(x / most * BAR))) for x in (low, value, high))
    cells = ["-" if a <= i <= b else "." for i in range(BAR)]
    cells[v] = "o"
    return "".join(cells)


def versus_table(some: Sequence[Versus], told: Told) -> Cells:
    """Draw groups side by side."""
    columns = [
        Column("by"),
        Column("this", wrap=True),
        Column("against", wrap=True),
        Column("times", right=True),
        Column("95 % range", right=True),
        Column("so", wrap=True),
    ]
    rows = []
    for one in some:
        names = [told.title(n) if one.by == "property" else n for n in (one.one, one.other)]
        ratio = one.compared.ratio
        told_of = [
            f"{name} ({count} in {effort:.0f})"
            for name, (count, effort) in zip(names, (one.first, one.second), strict=True)
        ]
        rows.append(
            (
                one.by,
                *told_of,
                "-" if ratio is None else number(ratio),
                f"{number(one.compared.low)} to {number(one.compared.high)}",
                one.said,
            )
        )
    return Cells(columns, rows)


def removal_table(index: RemovalIndex) -> Cells:
    """Draw the estimates of a removal index."""
    columns = [
        Column("method", wrap=True),
        Column("at the start", right=True),
        Column("std. error", right=True),
        Column("taken a round", right=True),
    ]
    rows = [
        (
            one.method,
            "no finite answer" if one.number is None else f"{one.number:.1f}",
            "" if one.se is None else f"{one.se:.1f}",
            "" if one.p is None else percent(one.p),
        )
        for one in index.removed
    ]
    rows += [
        (
            fall.method,
            "no finite answer" if fall.number is None else f"{fall.number:.1f}",
            "" if fall.se is None else f"{fall.se:.1f}",
            "" if fall.q is None else f"{fall.q:.2g} a device-night",
        )
        for fall in index.fallen
    ]
    return Cells(columns, rows)
