"""Owns the season in words: what it came to first, then by what, each figure with its range.

Does not own the figures (`season`), the tables (`season_tables`), nor where it is read
(`season_text` for a terminal, `season_page` for paper).
"""

from tendline.core.when import clock_text
from tendline.report.say import count
from tendline.report.season_accounts import money_part, removal_part, study_part
from tendline.report.season_nouns import Part, Said, Told, between, number, sentence
from tendline.report.season_tables import (
    effort_table,
    shares_table,
    versus_table,
    waits_table,
    worth_table,
)
from tendline.season.effort import SAYS
from tendline.season.misses import LEAST_EVENTS
from tendline.season.stretches import NOT_TOLD

SHOWN = 8
"""So many sets are told before the rest is only counted."""


def season_parts(told: Told, *, everything: bool = False, bars: bool = True) -> list[Part]:
    """Give the parts of a season in the order in which they are told; the first has no title.

    Parameters
    ----------
    told
        What is told.
    everything
        Every table and every set; else those that say something.
    bars
        Draw ranges as bars of text; else write them as figures.
    """
    parts = [Part("", _summary(told)), *_faults(told)]
    if told.review.has_effort:
        parts += [
            _effort(told, everything=everything),
            _shares(told),
            _worth(told, everything=everything, bars=bars),
            _misses(told),
            *_waits(told),
            *_compared(told, everything=everything),
        ]
    removal = removal_part(told)
    return [*parts, money_part(told), study_part(told), *([removal] if removal is not None else [])]


def _summary(told: Told) -> list[Said]:
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
    out: list[Said] = [
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


def _faults(told: Told) -> list[Part]:
    faults = told.review.faults
    if not faults:
        return []
    lines: list[Said] = [f"{fault}" for fault in faults[:SHOWN]]
    if len(faults) > SHOWN:
        lines.append(f"and {len(faults) - SHOWN} more; --json lists them all.")
    return [Part(f"wrong on record: {count(len(faults), 'thing')}", lines)]


def _effort(told: Told, *, everything: bool) -> Part:
    lines: list[Said] = []
    dull: list[str] = []
    for by, groups in told.review.groups.items():
        if not everything and len(groups) < 2:
            dull += [by] if NOT_TOLD in groups else []
            continue
        lines += [effort_table(told, by, dict(groups)), ""]
    if dull:
        lines.append(f"Not on record, so not told: {', '.join(dull)}.")
    if lines and lines[-1] == "":
        lines.pop()
    return Part("effort and target catches per 100 device-nights", lines)


def _shares(told: Told) -> Part:
    how = "Clopper-Pearson, exact" if told.review.asked.exact else "Wilson's score method"
    return Part("shares", [shares_table(told), f"Ranges: {how}."])


def _worth(told: Told, *, everything: bool, bars: bool) -> Part:
    ranking = told.review.ranking
    title, lines = "what earns its check", list[Said]()
    fresh = [w for w in ranking.sets if w.fresh]
    if not ranking.ranked:
        lines.append(f"No ranking: {ranking.why}")
        lines.append(_settle(told))
        if fresh:
            names = ", ".join(f"{w.name} ({w.fresh})" for w in fresh)
            lines.append(f"Fresh sign stands above any average: {names}.")
        return Part(title, lines)
    sets = ranking.sets if everything else ranking.sets[:SHOWN]
    lines += [
        "Target catches expected per 100 hours of tending (way there and work), fresh sign first:",
        worth_table("set", sets, told, bars=bars),
    ]
    if len(sets) < len(ranking.sets):
        lines.append(f"and {len(ranking.sets) - len(sets)} more sets: tendline season --all shows them.")
    places = ranking.properties if everything else ranking.properties[:SHOWN]
    lines += ["", worth_table("property", places, told, bars=bars)]
    if len(places) < len(ranking.properties):
        lines.append(
            f"and {len(ranking.properties) - len(places)} more properties: tendline season --all shows them."
        )
    lines.append(f"Pooled by kind of place and by property; near-misses count as traffic. {_settle(told)}")
    lines.append(
        "An animal's wait goes before hours saved: a set that is not looked at in time is closed or taken up."
    )
    return Part(title, lines)


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


def _misses(told: Told) -> Part:
    title, lines = "what the misses say", list[Said]()
    if not told.review.missed:
        return Part(title, ["No miss is on record."])
    few = [f"{m.cause} {m.events}" for m in told.review.missed if m.events < LEAST_EVENTS]
    if few:
        lines.append(f"Fewer than {LEAST_EVENTS} of a kind show nothing: {', '.join(few)}.")
    for missed in (m for m in told.review.missed if m.events >= LEAST_EVENTS):
        lines += [f"{missed.cause}: {missed.events}. {sentence(missed.said)}".rstrip()]
        for one in missed.findings:
            c = one.compared
            ratio = (
                "only there" if c.ratio in (None, float("inf")) else f"{number(c.ratio or 0)} times as often"
            )
            words = (
                f"{one.more}: {one.counts[0]}, {one.less}: {one.counts[1]}; {ratio} per night "
                f"({number(c.low)} to {number(c.high)}). Smallest change to try: {one.try_}."
            )
            lines.append(words)
    return Part(title, lines)


def _waits(told: Told) -> list[Part]:
    waits = told.review.waits
    if waits.all is None:
        return []
    whole = waits.all
    lines: list[Said] = [
        f"From look to look at a set device: median {whole.median_h:.1f} h, worst {whole.worst_h:.1f} h. "
        + (
            f"Animals held: median at most {whole.held_median_h:.1f} h, worst {whole.held_worst_h:.1f} h."
            if whole.held_median_h is not None and whole.held_worst_h is not None
            else "No animal was held."
        )
    ]
    lines.append(waits_table("property", waits.by_property, told))
    lines += ["", waits_table("day of look", waits.by_weekday, told)]
    if whole.law_untold:
        lines.append(f"For {count(whole.law_untold, 'look')} no legal limit can be told.")
    if told.limits_doubt:
        lines.append(sentence(told.limits_doubt))
    return [Part("how long an animal could have waited", lines)]


def _compared(told: Told, *, everything: bool) -> list[Part]:
    r = told.review
    parts: list[Part] = []
    if r.last_season is not None:
        versus, efficiency, selectivity = r.last_season
        lines: list[Said] = [versus_table([versus], told)]
        for name, one in (("Efficiency", efficiency), ("Selectivity", selectivity)):
            if one.value is not None:
                said = "" if not one.low <= 0 <= one.high else ": no difference shown"
                scaled = [f"{100 * v:+.0f}" for v in (one.value, one.low, one.high)]
                lines.append(f"{name}: {scaled[0]} points ({scaled[1]} to {scaled[2]}){said}.")
        parts.append(Part("against the season before", lines))
    shown = [v for v in r.compared if everything or v.shown]
    if shown:
        parts.append(Part("side by side", [versus_table(shown, told)]))
    elif r.compared:
        by = ", ".join(dict.fromkeys(v.by for v in r.compared))
        parts.append(
            Part("side by side", [f"No difference shown by {by}; tendline season --all shows each."])
        )
    return parts
