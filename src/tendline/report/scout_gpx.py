"""Owns spots as GPX 1.1 waypoints, to be carried to them.

Does not own what stands in them (`scout_text`).
"""

from xml.sax.saxutils import escape, quoteattr

from tendline.report.say import plain
from tendline.report.scout_facts import A_REASON_TO_LOOK, ScoutTold
from tendline.report.scout_text import law_words, why_words


def scout_gpx(told: ScoutTold) -> str:
    """Write the spots as waypoints; their exact places stand in it, so keep the file to yourself."""
    units = told.settings.units
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<gpx version="1.1" creator="tendline" xmlns="http://www.topografix.com/GPX/1/1">',
    ]
    for one in told.spots:
        said = f"{why_words(one, units)}. {one.leave}; {'; '.join(law_words(one))}. {A_REASON_TO_LOOK}"
        lat, lon = (quoteattr(f"{degrees:.7f}") for degrees in (one.place.lat, one.place.lon))
        lines += [
            f"  <wpt lat={lat} lon={lon}>",
            f"    <name>{escape(one.name)}</name><desc>{escape(plain(said))}</desc>",
            "    <type>pinch point</type></wpt>",
        ]
    return "\n".join([*lines, "</gpx>", ""])
