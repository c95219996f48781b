"""Owns the season in words: what it came to first, then by what, each figure with its range.

Does not own the figures (`season`), the tables (`season_tables`) or the JSON (`season_json`).
"""

from collections.abc import Sequence

from tendline.core.when import clock_text
from tendline.report.say import INVENTED, count
from tendline.report.season_accounts import money_lines, removal_lines, study_lines
from tendline.report.season_nouns import Told, between, heading, number, sentence
from tendline.report.season_tables import (
    effort_table,
    shares_table,
    versus_table,
    waits_table,
    worth_table,
)
from tendline.report.table import fold
from tendline.season.effort import SAYS
from tendline.season.misses import LEAST_EVENTS
from tendline.season.stretches import NOT_TOLD

SHOWN = 8
"""So many sets are told before the rest is only counted."""


def season_text(told: Told, *, width: int = 100, everything: bool = False, plots: Sequence[str] = ()) -> str:
    """Write a season for a terminal.

    Parameters
    ----------
    told
        What is told.
    width
        Of the terminal [characters].
    everything
        Every table and every set; else those that say something.
    plots
        Files that were written.
    """
    lines = [INVENTED, ""] if told.settings.invented else []
    for line in _summary(told):
        lines += fold(line, width)
    lines += _faults(told, width)
    if told.review.has_effort:
        lines += _effort(told, width, everything=everything)
        lines += _shares(told, width)
        lines += _worth(told, width, everything=everything)
        lines += _misses(told, width)
        lines += _waits(told, width)
        lines += _compared(told, width, everything=everything)
    lines += money_lines(told, width)
    lines += study_lines(told, width)
    lines += removal_lines(told, width)
    if plots:
        lines += ["", "Plots, each with its numbers beside it as CSV:", *(f"  {name}" for name in plots)]
    return "\n".join(lines)


def _summary(told: Told) -> list[str]:
    r = told.review
    name = (
        f"{told.settings.name}, season {r.asked.name}, as it stands {clock_text(r.asked.now, r.asked.zone)}:"
    )
    if not r.has_effort:
        return [f"{name} there is no effort on record, so there is no rate to tell."]
    species = ", ".join(f"{n} {kind}" for kind, n in r.tally.species.most_common()) or "no animal held"
    sums = (
        f"{count(len(r.tally.sets), 'set')}, {count(r.tally.looks, 'look')}, "
        f"{r.raw_nights:,.0f} device-nights out, {r.tally.effort:,.1f} counted."
    )
    rate = f"{number(r.rate.value or 0.0)} per 100 device-nights (95 % range {between(r.rate)})"
    out = [
        f"{name} {sums}",
        f"Held: {species}. Target: {r.tally.target}, {rate}.",
        f"Nights are counted by the {SAYS[r.asked.convention]}. A night is told by its local midnight.",
        f"Legal season: {told.legal_said}.",
    ]
    still = sum(one.nights for one in r.walked.still_open)
    if still:
        out.append(f"Not counted yet: {still:.0f} nights since the last look at sets that are out.")
    if r.tally.outside:
        out.append(f"Outside the season: {r.tally.outside:g} device-nights, in no rate.")
    if r.walked.failed:
        out.append(
            f"{count(r.walked.failed, 'look')} did not see the set: those nights count once it is found."
        )
    return out


def _faults(told: Told, width: int) -> list[str]:
    faults = told.review.faults
    if not faults:
        return []
    lines = heading(f"wrong on record: {count(len(faults), 'thing')}")
    for fault in faults[:SHOWN]:
        lines += fold(f"{fault}", width)
    if len(faults) > SHOWN:
        lines.append(f"and {len(faults) - SHOWN} more; --json lists them all.")
    return lines


def _effort(told: Told, width: int, *, everything: bool) -> list[str]:
    lines = heading("effort and target catches per 100 device-nights")
    dull: list[str] = []
    for by, groups in told.review.groups.items():
        if not everything and len(groups) < 2:
            dull += [by] if NOT_TOLD in groups else []
            continue
        lines += [effort_table(told, by, dict(groups), width), ""]
    if dull:
        lines += fold(f"Not on record, so not told: {', '.join(dull)}.", width)
    return lines[:-1] if lines[-1] == "" else lines


def _shares(told: Told, width: int) -> list[str]:
    how = "Clopper-Pearson, exact" if told.review.asked.exact else "Wilson's score method"
    return [*heading("shares"), shares_table(told, width), f"Ranges: {how}."]


def _worth(told: Told, width: int, *, everything: bool) -> list[str]:
    ranking = told.review.ranking
    lines = heading("what earns its check")
    fresh = [w for w in ranking.sets if w.fresh]
    if not ranking.ranked:
        lines += fold(f"No ranking: {ranking.why}", width)
        lines += fold(_settle(told), width)
        if fresh:
            names = ", ".join(f"{w.name} ({w.fresh})" for w in fresh)
            lines += fold(f"Fresh sign stands above any average: {names}.", width)
        return lines
    sets = ranking.sets if everything else ranking.sets[:SHOWN]
    lines += [
        "Target catches expected per 100 hours of tending (way there and work), fresh sign first:",
        worth_table("set", sets, told, width),
    ]
    if len(sets) < len(ranking.sets):
        lines.append(f"and {len(ranking.sets) - len(sets)} more sets: --all shows them.")
    places = ranking.properties if everything else ranking.properties[:SHOWN]
    lines += ["", worth_table("property", places, told, width)]
    if len(places) < len(ranking.properties):
        lines.append(f"and {len(ranking.properties) - len(places)} more properties: --all shows them.")
    lines += fold(
        f"Pooled by kind of place and by property; near-misses count as traffic. {_settle(told)}", width
    )
    lines.append(
        "An animal's wait goes before hours saved: a set that is not looked at in time is closed or taken up."
    )
    return lines


def _settle(told: Told) -> str:
    nights = told.review.ranking.more_nights
    if nights is None:
        return "Without a single target catch it cannot be said how many nights would settle it."
    if nights == 0:
        return "The nights so far would show a set twice as good as another, four times of five."
    return (
        f"To tell a set twice as good as another, four times of five, each needs about {nights:,.0f} more "
        "device-nights; kinds of place and properties, taken together, settle sooner."
    )


def _misses(told: Told, width: int) -> list[str]:
    lines = heading("what the misses say")
    if not told.review.missed:
        return [*lines, "No miss is on record."]
    few = [f"{m.cause} {m.events}" for m in told.review.missed if m.events < LEAST_EVENTS]
    if few:
        lines += fold(f"Fewer than {LEAST_EVENTS} of a kind show nothing: {', '.join(few)}.", width)
    for missed in (m for m in told.review.missed if m.events >= LEAST_EVENTS):
        lines += fold(f"{missed.cause}: {missed.events}. {sentence(missed.said)}".rstrip(), width)
        for one in missed.findings:
            c = one.compared
            ratio = (
                "only there" if c.ratio in (None, float("inf")) else f"{number(c.ratio or 0)} times as often"
            )
            words = (
                f"  {one.more}: {one.counts[0]}, {one.less}: {one.counts[1]}; {ratio} per night "
                f"({number(c.low)} to {number(c.high)}). Smallest change to try: {one.try_}."
            )
            lines += fold(words, width)
    return lines


def _waits(told: Told, width: int) -> list[str]:
    waits = told.review.waits
    if waits.all is None:
        return []
    whole = waits.all
    lines = heading("how long an animal could have waited")
    lines += fold(
        f"From look to look at a set device: median {whole.median_h:.1f} h, worst {whole.worst_h:.1f} h. "
        + (
            f"Animals held: median at most {whole.held_median_h:.1f} h, worst {whole.held_worst_h:.1f} h."
            if whole.held_median_h is not None and whole.held_worst_h is not None
            else "No animal was held."
        ),
        width,
    )
    lines.append(waits_table("property", waits.by_property, told, width))
    lines += ["", waits_table("day of look", waits.by_weekday, told, width)]
    if whole.law_untold:
        lines.append(f"For {count(whole.law_untold, 'look')} no legal limit can be told.")
    if told.limits_doubt:
        lines += fold(sentence(told.limits_doubt), width)
    return lines


def _compared(told: Told, width: int, *, everything: bool) -> list[str]:
    r = told.review
    lines: list[str] = []
    if r.last_season is not None:
        versus, efficiency, selectivity = r.last_season
        lines += [*heading("against the season before"), versus_table([versus], told, width)]
        for name, one in (("Efficiency", efficiency), ("Selectivity", selectivity)):
            if one.value is not None:
                said = "" if not one.low <= 0 <= one.high else ": no difference shown"
                scaled = [f"{100 * v:+.0f}" for v in (one.value, one.low, one.high)]
                lines.append(f"{name}: {scaled[0]} points ({scaled[1]} to {scaled[2]}){said}.")
    shown = [v for v in r.compared if everything or v.shown]
    if shown:
        lines += [*heading("side by side"), versus_table(shown, told, width)]
    elif r.compared:
        by = ", ".join(dict.fromkeys(v.by for v in r.compared))
        lines += [*heading("side by side"), *fold(f"No difference shown by {by}; --all shows each.", width)]
    return lines
