"""Owns the parts of a season that are about hours, money, a study and removal, in words.

Does not own the figures (`season`) or the rest of the season's words (`season_text`).
"""

from tendline.core.units import METRES_PER_MILE, Units
from tendline.report.say import count
from tendline.report.season_nouns import Told, heading, percent, sentence
from tendline.report.season_tables import removal_table
from tendline.report.table import fold


def money_lines(told: Told, width: int) -> list[str]:
    """Write the part on hours and money."""
    m, tended = told.review.money, told.review.tended
    lines = heading("hours and money")
    visit = f", {60 * tended.usual:.0f} min a set as the middle" if tended.usual is not None else ""
    words = f"{count(tended.outings, 'outing')}, {tended.hours:.1f} h from first look to last{visit}."
    if m.hours_entered:
        words += f" Entered besides: {m.hours_entered:.1f} h."
    if m.miles:
        km = told.settings.units is Units.METRIC
        words += f" {m.miles * METRES_PER_MILE / 1000:.0f} km." if km else f" {m.miles:.0f} miles."
    lines += fold(words, width)
    if not m.told:
        return [
            *lines,
            *fold("No money is on record: tendline note money fur --amount 36; nothing is assumed.", width),
        ]
    entered = ", ".join(f"{what} {amount:,.2f}" for what, amount in m.entered.items())
    lines += fold(f"Entered: {entered or 'nothing'}. Cost {m.cost:,.2f}, income {m.income:,.2f}.", width)
    parts = []
    if m.per_visit is not None:
        parts.append(f"{m.per_visit:,.2f} a look")
    if m.per_catch.value is not None:
        high = "no end" if m.per_catch.high == float("inf") else f"{m.per_catch.high:,.2f}"
        parts.append(f"{m.per_catch.value:,.2f} a target catch ({m.per_catch.low:,.2f} to {high})")
    if m.breaks_even_at is not None:
        parts.append(f"it breaks even at {m.breaks_even_at:.1f} catches, with income per catch as so far")
    if parts:
        lines += fold(f"Cost: {'; '.join(parts)}.", width)
    for said in m.said:
        lines += fold(sentence(said), width)
    return lines


def study_lines(told: Told, width: int) -> list[str]:
    """Write the part on a study."""
    r = told.review
    scored, lines = r.scored, heading("for a study")
    if scored.scores and scored.mean is not None:
        worst = f"{scored.worst:g}" if scored.worst is not None else "-"
        lines += fold(
            f"Injury points ({scored.protocol.name}; {scored.protocol.source}): "
            f"{count(len(scored.scores), 'animal')} examined, mean {scored.mean:.1f}, worst {worst}.",
            width,
        )
        words = {True: "shown", False: "shown to be missed", None: "not enough animals to judge"}
        for standard, under, estimate, met in scored.standards:
            lines += fold(
                f"  {standard.words}: {under} of {len(scored.scores)}, {percent(estimate.value)} "
                f"({percent(estimate.low)} to {percent(estimate.high)}): {words[met]}.",
                width,
            )
    else:
        lines += fold(
            "Injuries: no animal is on record as examined (note catch --injuries; 'none' counts).", width
        )
    if scored.not_examined and scored.scores:
        lines.append(
            f"{count(scored.not_examined, 'target animal')} without a word of injuries: in no figure."
        )
    if scored.unknown:
        lines += fold(
            f"Not on the list of points, those animals left out: {', '.join(scored.unknown)}.", width
        )
    if r.nights_ahead > 0 and r.still_to_come.value is not None and r.asked.until is not None:
        end = f"{r.asked.until.astimezone(r.asked.zone):%d %b %Y}"
        lines += fold(
            f"Still to come by {end}, if all that is set stays out ({r.nights_ahead:.0f} device-nights): "
            f"{r.still_to_come.value:.1f} target catches, 95 % range {r.still_to_come.low:.0f} to "
            f"{r.still_to_come.high:.0f}; by then {r.tally.target + r.still_to_come.low:.0f} to "
            f"{r.tally.target + r.still_to_come.high:.0f} in all.",
            width,
        )
    else:
        lines.append("Captures still to come: say until when with --until DAY.")
    return lines


def removal_lines(told: Told, width: int) -> list[str]:
    """Write the part on the removal index."""
    index = told.removal
    if index is None:
        return []
    what = f" of {index.species}" if index.species else ""
    lines = heading(f"removal index{what}")
    rounds = ", ".join(f"{n}: {c}" for n, c in zip(index.names, index.rounds, strict=True))
    lines += fold(f"Taken: {rounds}.", width)
    lines.append(removal_table(index, width))
    for said in index.said:
        lines += fold(sentence(said), width)
    lines += fold(f"Takes for granted that {'; '.join(index.assumes)}.", width)
    unit = "nights" if index.species else "rounds"
    if index.within:
        chances = ", ".join(f"{n} {unit} {percent(chance)}" for n, chance in index.within)
        lines += fold(f"Chance of taking one that still uses the place (Carle & Strub): {chances}.", width)
    if index.stop is not None:
        lines += fold(
            f"Stop rule, stated beforehand: after {index.stop.nights} {unit} in a row without a catch or "
            f"fresh sign, stop; {percent(index.stop.sure)} of those still there would have been taken.",
            width,
        )
    return lines
