"""Owns the loop of an animal in words and as one JSON document.

Does not own the advice (`gear.loop`) or the picture (`report.loop_picture`).
"""

import math
from fractions import Fraction
from typing import Any

from tendline.almanac.animals import DEER_CHEST
from tendline.almanac.loops import Oval, Reach
from tendline.core.units import METRES_PER_INCH, Units, format_small
from tendline.gear.loop import LoopAdvice, LoopLaw
from tendline.gear.own import Own
from tendline.report.loop_picture import LoopPicture
from tendline.report.table import fold

CAUTION = (
    "Not legal advice, and no promise. What is not verified is not allowed. A loop at a coyote's height is "
    "at the height of a deer's chest, and a deer's legs pass it at any height: stop and breakaway matter."
)


def span(reach: Reach, units: Units) -> str:
    """Write a range: ``10 to 12 in``; an end that is open or upside down is said in words."""
    low = format_small(reach.low_m, units)
    if math.isinf(reach.high_m):
        return f"{low} or more"
    if reach.low_m > reach.high_m + 1e-9:
        return "no height at all"
    high = format_small(reach.high_m, units)
    return low if low == high else f"{low.rsplit(' ', 1)[0]} to {high}"


def loop_words(
    found: LoopAdvice, law: LoopLaw | None, own: Own | None, units: Units, *, width: int = 100
) -> str:
    """Write the advice for a terminal."""
    name = law.profile if law is not None else "the law"
    zero = found.pack.zero
    small, large = (_oval(oval, units) for oval in found.ovals)
    suits = span(found.animal_across, units)
    lines = [
        f"LOOP for {found.animal}, {found.where.value.replace('-', ' ')}",
        f"  across     {span(found.across, units)} as a circle; suits the animal {suits}",
        f"  round      {span(found.around, units)} of cable round the loop",
        f"  hung       as an oval {small}, to {large}",
        f"  lock       {found.lock}",
    ]
    if found.cable is not None:
        low, high = found.cable.low_m, found.cable.high_m
        inches = f"{_sixteenths(low)} to {_sixteenths(high)} in, "
        lines.append(f"  cable      {inches}{low * 1000:.1f} to {high * 1000:.1f} mm thick")
    if law is not None and law.stop_least_m is not None:
        least = Reach(law.stop_least_m, law.stop_least_m)
        around = Reach(math.pi * law.stop_least_m, math.pi * law.stop_least_m)
        lines.append(
            f"  stop       closes to no less than {span(least, units)} across, {span(around, units)} round"
        )
    lines += ["", "HEIGHT OF THE LOWEST POINT OF THE LOOP"]
    lines.append(f"  suits the animal  {span(found.animal_bottom, units)} above the {zero}")
    if found.law_bottom is not None:
        told = span(found.law_bottom, units)
        lines.append(f"  {name} for sure  {told} above the {zero}, with the largest loop hung as an oval")
    lines.append(f"  hang it           {span(found.bottom, units)} above the {zero}")
    lines.append(
        f"                    {span(found.above_walked(), units)} above the surface the animal walks on"
    )
    for limit in law.heights if law is not None else ():
        surface = limit.base.value.replace("-", " ")
        lines.append(
            f"                    {span(found.above(limit.base), units)} above the {surface} ({name})"
        )
    lines.append(f"  top then          {span(found.top, units)} above the {zero}")
    lines += own_words(own, law, units, width)
    lines += ["", "SAID"]
    for row in found.rows:
        told = f"{span(row.across, units)} across, bottom {span(row.bottom, units)} up"
        lines += _item(f"{told}: {row.source}", width)
    for limit in law.heights if law is not None else ():
        lines += _item(f"{name}: {limit.words}", width)
    for said in found.said:
        lines += _item(said, width)
    if found.top.high_m >= DEER_CHEST.low_m:
        lines += _item(f"a deer's chest is {span(DEER_CHEST, units)} above what it stands on", width)
    return "\n".join([*lines, "", *fold(CAUTION, width)])


def own_words(own: Own | None, law: LoopLaw | None, units: Units, width: int) -> list[str]:
    """Write what the person measured, beside the tables; no lines where nothing was."""
    if own is None:
        return []
    told = [
        (own.chests, own.chest, "lowest part of the chest, above what it stands on"),
        (own.necks, own.neck, "round the neck, behind the ears"),
        (own.loops, own.loop, "across, of the loops that hang for it now"),
    ]
    said = [f"{count} measured: {span(reach, units)} {words}" for count, reach, words in told if reach]
    stop = own.stop_said(law.stop_least_m if law is not None else None)
    return ["", "YOUR OWN", *(line for text in (*said, stop) if text for line in _item(text, width))]


def _sixteenths(metres: float) -> str:
    """Write the thickness of a cable as it is sold by the inch: ``3/32``."""
    return str(Fraction(round(metres / METRES_PER_INCH * 64), 64))


def _oval(oval: Oval, units: Units) -> str:
    return f"{format_small(oval.height_m, units)} high by {format_small(oval.width_m, units)} wide"


def _item(text: str, width: int) -> list[str]:
    first, *rest = fold(f"- {text}", width - 4)
    return [f"  {first}", *(f"    {line}" for line in rest)]


def reach_data(reach: Reach | None) -> dict[str, float | None] | None:
    """Write a range for JSON [m]; an open end is null."""
    if reach is None:
        return None
    return {"low_m": reach.low_m, "high_m": None if math.isinf(reach.high_m) else reach.high_m}


def _own_data(own: Own | None, law: LoopLaw | None) -> dict[str, Any] | None:
    if own is None:
        return None
    return {
        "necks": own.necks,
        "neck": reach_data(own.neck),
        "chests": own.chests,
        "chest": reach_data(own.chest),
        "loops": own.loops,
        "loop": reach_data(own.loop),
        "stop": own.stop_said(law.stop_least_m if law is not None else None),
    }


def loop_document(
    found: LoopAdvice, law: LoopLaw | None, own: Own | None, picture: LoopPicture
) -> dict[str, Any]:
    """Write the advice as one JSON document; lengths in metres, heights above the ground."""
    return {
        "animal": found.animal,
        "where": found.where.value,
        "profile": law.profile if law is not None else None,
        "verified": law.verified if law is not None else False,
        "agree": found.agree,
        "snow": {
            "base_m": found.pack.base_m,
            "new_m": found.pack.new_m,
            "sinking_m": found.pack.sink_m,
            "log_m": found.pack.raised_m,
            "above": found.pack.zero,
        },
        "across": reach_data(found.across),
        "around": reach_data(found.around),
        "suits_across": reach_data(found.animal_across),
        "ovals": [{"height_m": o.height_m, "width_m": o.width_m} for o in found.ovals],
        "walked_on": reach_data(found.walked_on),
        "suits_bottom": reach_data(found.animal_bottom),
        "law_bottom": reach_data(found.law_bottom),
        "bottom": reach_data(found.bottom),
        "bottom_above_walked_on": reach_data(found.above_walked()),
        "bottom_by_law": [
            {
                "part": limit.part,
                "above": limit.base.value,
                "rule": limit.words,
                **(reach_data(found.above(limit.base)) or {}),
            }
            for limit in (law.heights if law is not None else ())
        ],
        "top": reach_data(found.top),
        "stop_least_m": law.stop_least_m if law is not None else None,
        "cable": reach_data(found.cable),
        "lock": found.lock,
        "chest": reach_data(picture.chest),
        "head": reach_data(picture.head),
        "deer_chest": reach_data(picture.deer),
        "own": _own_data(own, law),
        "sources": [
            {
                "across": reach_data(row.across),
                "bottom": reach_data(row.bottom),
                "source": row.source,
                "status": row.status.value,
            }
            for row in found.rows
        ],
        "said": list(found.said),
    }
