"""Owns a scouting in words: the list of spots with why, how sure, how to get there, whose ground, what law.

Does not own the scouting (`terrain.scouting`), its JSON and map layer (`scout_json`) or drawing tables.
"""

from collections.abc import Sequence

from tendline.core.units import Units, format_distance, format_minutes
from tendline.core.when import clock_text
from tendline.report.say import INVENTED, count, plain
from tendline.report.scout_facts import A_REASON_TO_LOOK, Compared, ScoutTold, Shared, SpotTold
from tendline.report.table import Column, draw_table, fold
from tendline.season.predicted import Calibration
from tendline.terrain.pinch import Against, Reason
from tendline.terrain.scouting import Stability

_SPOTS = (
    Column("spot"),
    Column("travel", right=True),
    Column("why", wrap=True),
    Column("again", wrap=True),
    Column("on foot", wrap=True),
    Column("whose, law", wrap=True),
)
_BANDS = (
    Column("predicted travel"),
    Column("by chance", right=True),
    Column("seen", right=True),
    Column("share", right=True),
    Column("range"),
)


def scouts_text(told: Sequence[ScoutTold], shared: Sequence[Shared], *, width: int = 100) -> str:
    """Write several scoutings for a terminal, each under what it is of, and what they have in common."""
    if len(told) == 1:
        return scout_text(told[0], width=width)
    parts = []
    for one in told:
        head = f"{plain(one.line)}: {one.animal}, weights: {plain(one.weights)}"
        parts += [*fold(head, width), "-" * min(len(head), width), scout_text(one, width=width), ""]
    if shared:
        parts += ["In common:", *_points([shared_words(one) for one in shared], width)]
    return "\n".join(parts).rstrip()


def shared_words(one: Shared) -> str:
    """Say how far two scoutings of one line agree."""
    first, second = (f"{animal} by {plain(weights)}" for animal, weights in (one.one, one.other))
    return f"{plain(one.line)}: {one.spots} of {count(one.of, 'spot')} of {first} lie at one of {second}"


def scout_text(told: ScoutTold, *, width: int = 100) -> str:
    """Write a scouting for a terminal."""
    units = told.settings.units
    head = [INVENTED, ""] if told.settings.invented else []
    spots = count(len(told.spots), "spot")
    parts = [
        *head,
        *fold(f"Where the land pinches the travel of a {told.animal}: {spots}, the worthiest first.", width),
        *fold(A_REASON_TO_LOOK, width),
        "",
    ]
    if told.spots:
        parts.append(draw_table(_SPOTS, [_row(one, units) for one in told.spots], width=width))
        parts += ["", *fold(_legend(told.spots), width)]
    else:
        parts += fold("Nowhere is travel a tenth denser than if the ground were even: it is open.", width)
    for way in told.corridors:
        said = (
            f"From {plain(way.start)} to {plain(way.end)}: the least hard way is "
            f"{format_distance(way.length_m, units)} long, {way.hardness:.1f} times as hard as level ground."
        )
        parts += ["", *fold(said, width)]
    parts += ["", "Not known, or to be known:", *_points(_notes(told), width)]
    if told.written:
        parts += ["", "Written:", *_points(told.written, width)]
    return "\n".join(parts)


def _row(one: SpotTold, units: Units) -> list[str]:
    return [
        one.name,
        f"{one.spot.density:.1f}",
        why_words(one, units),
        again_words(one.stability),
        access_words(one, units),
        "; ".join([one.leave, *law_words(one)]),
    ]


def why_words(one: SpotTold, units: Units) -> str:
    """Say why travel is pinched at a spot, and what speaks against it."""
    reasons = [reason_words(reason, units) for reason in one.spot.reasons]
    told = ", ".join(reasons) if reasons else "travel gathers here; the ground shows no form for it"
    against = [against_words(each, units) for each in one.spot.against]
    return told + (f"; lower for {', '.join(against)}" if against else "")


def reason_words(reason: Reason, units: Units) -> str:
    """Write one reason: ``saddle, 12 yd deep``, ``narrow, 90 yd, between water and steep ground``."""
    if reason.metres is None:
        return reason.word
    metres = format_distance(reason.metres, units)
    if reason.between:
        return f"{reason.word}, {metres}, between {' and '.join(reason.between)}"
    if reason.word in ("saddle", "draw", "ridge", "bench"):
        return f"{reason.word} ({metres})"
    return (
        f"{reason.word} {metres} wide" if reason.word.startswith("narrow") else f"{reason.word} {metres} off"
    )


def against_words(against: Against, units: Units) -> str:
    """Write what speaks against a spot: ``trail 20 yd off``."""
    return f"{against.what} {format_distance(against.metres, units)} off"


def again_words(stability: Stability) -> str:
    """Say how a spot fares when the weights vary."""
    if stability.variations == 0:
        return "not tried"
    times = round(stability.kept * stability.variations)
    return f"{times} of {stability.variations}, rank {stability.low}-{stability.high}"


def access_words(one: SpotTold, units: Units) -> str:
    """Say how to get there."""
    if one.access is None:
        return one.no_access
    metres = format_distance(one.access.metres, units)
    return f"{format_minutes(one.access.seconds)} from {one.access.parking} ({metres})"


def law_words(one: SpotTold) -> list[str]:
    """Say what the law makes of it; never that it is allowed."""
    if not one.law.profile:
        return ["no rule profile in use: the law is not verified"]
    told = list(one.law.against)
    if one.law.open:
        told.append(f"{count(one.law.open, 'rule')} of place and leave not verified")
    return told or [f"nothing found against it in {one.law.profile}; measure there"]


def _legend(spots: Sequence[SpotTold]) -> str:
    varied = spots[0].stability.variations
    text = "travel: how much denser than if the ground were even."
    if varied:
        text += (
            f" again: found in so many of {varied} tries with other weights, and its rank in most of them."
        )
    return text + " Under 1.2 is hardly a pinch. on foot: one way."


def _notes(told: ScoutTold) -> list[str]:
    cell = format_distance(told.cell_m, told.settings.units)
    notes = [
        *told.said,
        f"weights are {told.weights}: most are common practice, no source",
        f"cells of {cell}, {told.cells:,} of them; {told.residual:.0e} of the current is not accounted for",
    ]
    if told.islands:
        notes.append(f"{told.islands:,} cells lie on islands that nothing can reach, and are left out")
    return notes


def _points(notes: Sequence[str], width: int) -> list[str]:
    lines = []
    for note in notes:
        first, *rest = fold(plain(note), width - 2)
        lines += [f"- {first}", *(f"  {line}" for line in rest)]
    return lines


def compared_text(compared: Sequence[Compared], told: ScoutTold, *, width: int = 100) -> str:
    """Write how predictions fared."""
    parts = [INVENTED, ""] if told.settings.invented else []
    for one in compared:
        made = clock_text(one.made_at, told.settings.zone, relative_to=told.now)
        parts += fold(f"{one.file}: travel of a {one.animal}, predicted {made}.", width)
        parts += _calibration("Sign seen since", one.sign, width)
        parts += _calibration("Catches since, by device-nights", one.catches, width)
        parts.append("")
    parts += fold(
        "Sign is seen where people walk, animals are caught where sets are: both lean on where you went. "
        "Places are drawn by chance from inside the area; sets by their nights.",
        width,
    )
    if told.written:
        parts += ["", "Written:", *_points(told.written, width)]
    return "\n".join(parts)


def _calibration(title: str, found: Calibration, width: int) -> list[str]:
    lines = ["", *fold(f"{title}: {found.verdict}.", width)]
    if found.better is not None and found.by_chance is not None:
        said = (
            f"What was seen lies where more travel was predicted than at a place drawn by chance in "
            f"{found.better:.0%} of pairs (50% is chance). "
            f"Chance alone does as well {found.by_chance:.1%} of the time."
        )
        lines += fold(said, width)
    if found.seen:
        rows = [
            [
                f"{band.low:.2f} to {band.high:.2f}",
                f"{band.expected:.0%}",
                str(band.seen),
                f"{band.share:.0%}",
                f"{band.share_low:.0%} to {band.share_high:.0%}",
            ]
            for band in found.bands
        ]
        lines.append(draw_table(_BANDS, rows, width=width))
    return lines
