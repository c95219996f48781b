"""Owns the plots of a season: rates, effort by week, what earns its check, waits; with their numbers as CSV.

Does not own the figures (`season`). Every plot is black on white: shape and hatching carry
the meaning, no colour.
"""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from tendline.report.say import INVENTED
from tendline.report.season_nouns import Told, number
from tendline.season.intervals import rate_per_100
from tendline.season.stretches import NOT_TOLD

MOST_ROWS = 40
"""So many sets fit on one plot; the CSV holds all."""


@dataclass(frozen=True)
class Plot:
    """One plot: its name, every file of it, the CSV included, and its numbers under their header."""

    name: str
    files: dict[str, bytes] = field(default_factory=dict)
    rows: list[list[Any]] = field(default_factory=list)


RATES_BY = ("property", "location type", "loop")
"""What rates are drawn by, unless the person says."""


def season_plots(told: Told, formats: Sequence[str], *, by: Sequence[str] = RATES_BY) -> list[Plot]:
    """Draw every plot that has something to show.

    Parameters
    ----------
    told
        What is told.
    formats
        ``svg``, ``png``, ``pdf``.
    by
        Groups of the review that rates are drawn by.
    """
    if not told.review.has_effort:
        return []
    made = [_rates(told, group) for group in by if _tells(told, group)]
    made += [_weeks(told), _waits(told)]
    made += [_misses(told)] if any(one.events for one in told.review.missed) else []
    made += [_earning(told)] if told.review.ranking.ranked else []
    return [_saved(name, figure, rows, formats) for name, figure, rows in made]


_Made = tuple[str, Any, list[list[Any]]]


def _tells(told: Told, by: str) -> bool:
    return any(name != NOT_TOLD for name in told.review.groups[by])


def _figure(told: Told, title: str, height: float) -> tuple[Any, Any]:
    import matplotlib as mpl  # noqa: PLC0415 - slow to load
    from matplotlib.figure import Figure  # noqa: PLC0415

    mpl.rcParams.update({"font.size": 10, "svg.fonttype": "path", "svg.hashsalt": "season"})
    figure = Figure(figsize=(7.2, height), layout="constrained")
    axes = figure.add_subplot()
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    r = told.review
    day = f"{r.asked.now.astimezone(r.asked.zone):%d %b %Y}"
    figure.suptitle(f"{told.settings.name}, season {r.asked.name}: {title}", fontsize=11, x=0.01, ha="left")
    mark = f"{INVENTED} " if told.settings.invented else ""
    made = f"{mark}Made {day} from the logbook. Nights: {r.asked.convention.value}."
    figure.supxlabel(made, fontsize=7, x=0.01, ha="left")
    return figure, axes


def _rates(told: Told, by: str) -> _Made:
    groups = told.review.groups[by]
    header = [by, "device_nights", "target", "per_100", "low", "high", "method"]
    rows: list[list[Any]] = [header]
    figure, axes = _figure(told, f"target catches by {by}", 1.9 + 0.34 * len(groups))
    labels = []
    for place, (name, tally) in enumerate(groups.items()):
        rate = rate_per_100(tally.target, tally.effort)
        shown = told.title(name) if by == "property" else name
        labels.append(f"{shown}\n{tally.target} in {tally.effort:.0f} nights")
        rows.append(
            [name, round(tally.effort, 3), tally.target, rate.value, rate.low, rate.high, rate.method]
        )
        if rate.value is None:
            continue
        axes.plot([rate.low, rate.high], [place, place], color="black", linewidth=1.4)
        axes.plot([rate.value], [place], marker="o" if tally.target else "x", color="black", clip_on=False)
    whole = told.review.rate.value
    if whole is not None:
        axes.axvline(whole, color="black", linestyle=":", linewidth=1)
        axes.annotate(f"all {number(whole)}", (whole, -0.6), fontsize=8, ha="left", annotation_clip=False)
    axes.set_yticks(range(len(labels)), labels, fontsize=8)
    axes.set_ylim(len(labels) - 0.5, -0.75)
    axes.set_xlim(left=0)
    axes.set_xlabel("per 100 device-nights; line: 95 % range, exact; cross: none caught")
    return f"rates-by-{by.replace(' ', '-')}", figure, rows


def _weeks(told: Told) -> _Made:
    weeks = told.review.groups["week"]
    rows: list[list[Any]] = [["week_of", "nights_out", "device_nights", "target", "other"]]
    figure, axes = _figure(told, "nights and catches by week", 3.6)
    for place, (name, t) in enumerate(weeks.items()):
        rows.append([name, round(t.nights, 3), round(t.effort, 3), t.target, t.other])
        axes.bar(place, t.nights, width=0.7, facecolor="white", edgecolor="black", hatch="///")
        axes.bar(place, t.effort, width=0.7, facecolor="0.75", edgecolor="black")
        caught = "●" * min(t.target, 12) + "○" * min(t.other, 12)
        axes.annotate(caught, (place, t.nights), ha="center", va="bottom", fontsize=9)
    axes.set_xticks(
        range(len(weeks)),
        [f"{date.fromisoformat(name):%d %b}" for name in weeks],
        rotation=90 if len(weeks) > 12 else 0,
    )
    axes.set_ylabel("device-nights")
    axes.set_xlabel("week from; gray: counted, hatched: out but taken off; ● target, ○ other held")
    axes.margins(y=0.15)
    return "nights-by-week", figure, rows


def _waits(told: Told) -> _Made:
    hours = sorted(told.review.waits.hours)
    rows: list[list[Any]] = [["rank", "hours"], *([i, round(h, 4)] for i, h in enumerate(hours, start=1))]
    figure, axes = _figure(told, "how long an animal could have waited", 3.4)
    shares = [i / len(hours) for i in range(1, len(hours) + 1)]
    axes.step(hours, shares, where="post", color="black")
    own = told.settings.personal.hours
    if own is not None:
        axes.axvline(own, color="black", linestyle="--", linewidth=1)
        axes.annotate(f"own limit {own:g} h ", (own, 0.96), fontsize=8, ha="right")
    axes.set_ylim(0, 1.02)
    axes.set_xlim(left=0)
    axes.set_xlabel("hours from look to look at a set device")
    axes.set_ylabel("share of looks")
    return "waits", figure, rows


def _misses(told: Told) -> _Made:
    missed = sorted((one for one in told.review.missed if one.events), key=lambda one: -one.events)
    rows: list[list[Any]] = [["cause", "events", "said"]]
    rows += [[one.cause, one.events, one.said] for one in missed]
    figure, axes = _figure(told, "misses by cause", 1.5 + 0.32 * len(missed))
    for place, one in enumerate(missed):
        axes.barh(place, one.events, height=0.6, facecolor="0.75", edgecolor="black")
        axes.annotate(f" {one.events}", (one.events, place), va="center", fontsize=9)
    axes.set_yticks(range(len(missed)), [one.cause for one in missed], fontsize=8)
    axes.set_ylim(len(missed) - 0.5, -0.5)
    axes.margins(x=0.08)
    axes.set_xlabel("looks that found it so")
    return "misses", figure, rows


def _earning(told: Told) -> _Made:
    worths = told.review.ranking.sets
    rows: list[list[Any]] = [
        ["set", "caught", "near", "device_nights", "per_100_h", "low", "high", "said", "fresh"]
    ]
    rows += [
        [w.name, w.caught, w.near, round(w.nights, 3), w.value, w.low, w.high, w.word, w.fresh]
        for w in worths
    ]
    shown = worths[:MOST_ROWS]
    figure, axes = _figure(told, "what earns its check", 1.6 + 0.2 * len(shown))
    for place, w in enumerate(shown):
        axes.plot([w.low, w.high], [place, place], color="black", linewidth=1.2)
        axes.plot([w.value], [place], marker="^" if w.fresh else "o", color="black", markersize=5)
    axes.set_yticks(range(len(shown)), [w.name for w in shown], fontsize=8)
    axes.set_ylim(len(shown) - 0.5, -0.5)
    axes.set_xlim(left=0)
    axes.set_xlabel(
        "target catches expected per 100 hours of tending; line: nine of ten; triangle: fresh sign"
    )
    return "earning", figure, rows


def _saved(name: str, figure: Any, rows: list[list[Any]], formats: Sequence[str]) -> Plot:
    files: dict[str, bytes] = {}
    for form in formats:
        out = io.BytesIO()
        stamp = {"svg": {"Date": None}, "pdf": {"CreationDate": None}}.get(form, {})
        figure.savefig(out, format=form, dpi=150, metadata=stamp)
        files[f"{name}.{form}"] = out.getvalue()
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    files[f"{name}.csv"] = text.getvalue().encode()
    return Plot(name, files, rows)
