"""Owns the parts of a season that are about hours, money, a study and removal, in words.

Does not own the figures (`season`), the rest of the season's words (`season_parts`) or where lines break.
"""

from tendline.core.units import METRES_PER_MILE, Units
from tendline.report.say import count
from tendline.report.season_nouns import Part, Said, Told, percent, sentence
from tendline.report.season_tables import removal_table


def money_part(told: Told) -> Part:
    """Write the part on hours and money."""
    m, tended = told.review.money, told.review.tended
    visit = f", {60 * tended.usual:.0f} min a set as the middle" if tended.usual is not None else ""
    words = f"{count(tended.outings, 'outing')}, {tended.hours:.1f} h from first look to last{visit}."
    if m.hours_entered:
        words += f" Entered besides: {m.hours_entered:.1f} h."
    if m.miles:
        km = told.settings.units is Units.METRIC
        words += f" {m.miles * METRES_PER_MILE / 1000:.0f} km." if km else f" {m.miles:.0f} miles."
    lines: list[Said] = [words]
    if not m.told:
        lines.append("No money is on record: tendline note money fur --amount 36; nothing is assumed.")
        return Part("hours and money", lines)
    entered = ", ".join(f"{what} {amount:,.2f}" for what, amount in m.entered.items())
    lines.append(f"Entered: {entered or 'nothing'}. Cost {m.cost:,.2f}, income {m.income:,.2f}.")
    parts = []
    if m.per_visit is not None:
        parts.append(f"{m.per_visit:,.2f} a look")
    if m.per_catch.value is not None:
        high = "no end" if m.per_catch.high == float("inf") else f"{m.per_catch.high:,.2f}"
        parts.append(f"{m.per_catch.value:,.2f} a target catch ({m.per_catch.low:,.2f} to {high})")
    if m.breaks_even_at is not None:
        parts.append(f"it breaks even at {m.breaks_even_at:.1f} catches, with income per catch as so far")
    if parts:
        lines.append(f"Cost: {'; '.join(parts)}.")
    lines += [sentence(said) for said in m.said]
    return Part("hours and money", lines)


def study_part(told: Told) -> Part:
    """Write the part on a study."""
    r = told.review
    scored = r.scored
    lines: list[Said] = []
    if scored.scores and scored.mean is not None:
        worst = f"{scored.worst:g}" if scored.worst is not None else "-"
        lines.append(
            f"Injury points ({scored.protocol.name}; {scored.protocol.source}): "
            f"{count(len(scored.scores), 'animal')} examined, mean {scored.mean:.1f}, worst {worst}."
        )
        words = {True: "shown", False: "shown to be missed", None: "not enough animals to judge"}
        for standard, under, estimate, met in scored.standards:
            lines.append(
                f"{standard.words}: {under} of {len(scored.scores)}, {percent(estimate.value)} "
                f"({percent(estimate.low)} to {percent(estimate.high)}): {words[met]}."
            )
    else:
        lines.append("Injuries: no animal is on record as examined (note catch --injuries; 'none' counts).")
    if scored.not_examined and scored.scores:
        lines.append(
            f"{count(scored.not_examined, 'target animal')} without a word of injuries: in no figure."
        )
    if scored.unknown:
        lines.append(f"Not on the list of points, those animals left out: {', '.join(scored.unknown)}.")
    if r.nights_ahead > 0 and r.still_to_come.value is not None and r.asked.until is not None:
        end = f"{r.asked.until.astimezone(r.asked.zone):%d %b %Y}"
        lines.append(
            f"Still to come by {end}, if all that is set stays out ({r.nights_ahead:.0f} device-nights): "
            f"{r.still_to_come.value:.1f} target catches, 95 % range {r.still_to_come.low:.0f} to "
            f"{r.still_to_come.high:.0f}; by then {r.tally.target + r.still_to_come.low:.0f} to "
            f"{r.tally.target + r.still_to_come.high:.0f} in all."
        )
    else:
        lines.append("Captures still to come: say until when with --until DAY.")
    return Part("for a study", lines)


def removal_part(told: Told) -> Part | None:
    """Write the part on the removal index."""
    index = told.removal
    if index is None:
        return None
    what = f" of {index.species}" if index.species else ""
    rounds = ", ".join(f"{n}: {c}" for n, c in zip(index.names, index.rounds, strict=True))
    lines: list[Said] = [f"Taken: {rounds}.", removal_table(index)]
    lines += [sentence(said) for said in index.said]
    lines.append(f"Takes for granted that {'; '.join(index.assumes)}.")
    unit = "nights" if index.species else "rounds"
    if index.within:
        chances = ", ".join(f"{n} {unit} {percent(chance)}" for n, chance in index.within)
        lines.append(f"Chance of taking one that still uses the place (Carle & Strub): {chances}.")
    if index.stop is not None:
        lines.append(
            f"Stop rule, stated beforehand: after {index.stop.nights} {unit} in a row without a catch or "
            f"fresh sign, stop; {percent(index.stop.sure)} of those still there would have been taken."
        )
    return Part(f"removal index{what}", lines)
