"""Owns effort and rates by county in words and as one JSON document.

Does not own the counting (`season.columns`).
"""

from collections.abc import Sequence
from typing import Any

from tendline.core.settings import Settings
from tendline.report.say import INVENTED
from tendline.report.season_json import estimate
from tendline.report.season_nouns import between, number
from tendline.report.table import Column, draw_table, fold
from tendline.season.columns import CountyRow
from tendline.season.effort import SAYS, Convention

_NUMBERS = ("lines", "sets", "looks", "nights out", "counted", "target", "other", "per 100", "95 % range")


def counties_text(
    rows: Sequence[CountyRow], convention: Convention, *, settings: Settings, width: int = 100
) -> str:
    """Write effort and rates by county for a terminal."""
    lines = [INVENTED, ""] if settings.invented else []
    if not rows:
        return "\n".join(
            [*lines, "No night with a working device is on record, so there is no rate to tell."]
        )
    columns = [Column("county", wrap=True), Column("season"), *(Column(n, right=True) for n in _NUMBERS)]
    cells = [
        (
            row.county,
            row.season,
            str(row.lines),
            str(row.sets),
            str(row.looks),
            f"{row.nights:.0f}",
            f"{row.effort:.1f}",
            str(row.target),
            str(row.other),
            "no effort" if row.rate.value is None else number(row.rate.value),
            "" if row.rate.value is None else between(row.rate),
        )
        for row in rows
    ]
    lines += ["Effort, and target catches per 100 device-nights, by county and season (July to June):"]
    lines.append(draw_table(columns, cells, width=width))
    lines += fold(f"Nights are counted by the {SAYS[convention]}. {_SAID}", width)
    return "\n".join(lines)


_SAID = (
    "A night belongs to the season of the look that ended it, and is cut at that season's legal ends where "
    "they are known; a device on record in two places at once is not looked for here: see tendline season "
    "for each line."
)


def counties_document(
    rows: Sequence[CountyRow], convention: Convention, *, settings: Settings
) -> dict[str, Any]:
    """Give effort and rates by county as JSON can hold it."""
    return {
        "line": settings.name,
        "invented": settings.invented,
        "convention": {"name": convention.value, "says": SAYS[convention]},
        "said": _SAID,
        "counties": [
            {
                "county": row.county,
                "season": row.season,
                "lines": row.lines,
                "sets": row.sets,
                "looks": row.looks,
                "nights_out": round(row.nights, 3),
                "device_nights": round(row.effort, 3),
                "target": row.target,
                "other": row.other,
                "rate_target_per_100": estimate(row.rate),
            }
            for row in rows
        ],
    }
