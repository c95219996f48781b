"""Owns the JSON Schema of needs and forms: which keys each takes, and of what kind.

Does not own the schema of a profile as a whole (`rules.schema`). A test compares these keys with those that
the loader asks for.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from tendline.rules.facts_ask import DIMENSIONS, LOOPS, QUALITIES, WORDS
from tendline.rules.forms import WEEKDAYS
from tendline.rules.load_catch import HELD
from tendline.rules.nouns import ACTS, EDGES, FEATURES, TAG_WORDS, WAIVERS, Across, Datum, Part, Point

Schema = dict[str, Any]

TEXT: Schema = {"type": "string", "minLength": 1}
FLAG: Schema = {"type": "boolean"}
DATE: Schema = {"type": "string", "format": "date"}
QUANTITY: Schema = {"$ref": "#/$defs/quantity"}
DURATION: Schema = {"type": "string", "pattern": "^[1-9][0-9]{0,3} (h|min)$"}
CLOCK: Schema = {"type": "string", "pattern": "^([01][0-9]|2[0-3]):[0-5][0-9]$"}
HOUR: Schema = {"type": "string", "pattern": "^(([01][0-9]|2[0-3]):[0-5][0-9]|sunrise|sunset)$"}
MONTH_DAY: Schema = {"type": "string", "pattern": "^(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"}
NEED_LIST: Schema = {"type": "array", "minItems": 1, "items": {"$ref": "#/$defs/need"}}
CHOICE_LIST: Schema = {"type": "array", "minItems": 1, "items": {"$ref": "#/$defs/choice"}}


def one_of(words: Iterable[str]) -> Schema:
    """Give the schema of one word of a list."""
    return {"enum": list(words)}


def some_of(words: Iterable[str]) -> Schema:
    """Give the schema of a list of words of a list."""
    return {"type": "array", "minItems": 1, "items": one_of(words)}


def whole(least: int, most: int) -> Schema:
    """Give the schema of a whole number."""
    return {"type": "integer", "minimum": least, "maximum": most}


TEXTS: Schema = {"type": "array", "minItems": 1, "items": {"type": "string"}}
_BOUNDS = dict.fromkeys(("at_least", "at_most", "more_than", "less_than"), QUANTITY)
_SIZES = [name for name in DIMENSIONS if name not in LOOPS]

Keys = Mapping[str, Schema]

NEEDS: tuple[tuple[str, Keys, Keys], ...] = (
    ("measure", {"measure": one_of(LOOPS), "across": one_of(Across)}, _BOUNDS),
    ("measure", {"measure": one_of(_SIZES)}, _BOUNDS),
    (
        "height",
        {"height": one_of(("bottom", "top")), "above": one_of(Datum)},
        {"above_on_snow": one_of(Datum), **_BOUNDS},
    ),
    ("length", {"length": some_of(Point)}, {"excluding": some_of((Part.EXTENSION,)), **_BOUNDS}),
    (
        "part",
        {"part": one_of(Part)},
        {
            "count_at_least": whole(0, 20),
            "count_at_most": whole(0, 20),
            "one_at": some_of(Point),
            "each_at_most": QUANTITY,
            "free": FLAG,
        },
    ),
    ("quality", {"quality": one_of(QUALITIES), "is": FLAG}, {}),
    ("word", {"word": one_of(WORDS)}, {"one_of": TEXTS, "none_of": TEXTS}),
    ("answer", {"answer": TEXT}, {"one_of": TEXTS, "none_of": TEXTS}),
    (
        "distance",
        {"distance": some_of(FEATURES)},
        {"edge": one_of(EDGES), "waived_by": some_of(WAIVERS), "from_reach": FLAG, **_BOUNDS},
    ),
    ("clear_circle", {"clear_circle": {"const": True}}, {"margin": QUANTITY, "up_to": QUANTITY}),
    ("paper", {"paper": TEXT}, {"carried": FLAG}),
    (
        "permission",
        {"permission": one_of(("written", "any"))},
        {
            "names_method": TEXT,
            "names_species": FLAG,
            "issued_within_years": whole(1, 50),
            "signed": FLAG,
            "carried": FLAG,
            "filed_first": FLAG,
        },
    ),
    ("neighbours", {"neighbours": one_of(("told", "consent")), "within": QUANTITY}, {}),
    (
        "tag",
        {"tag": {"type": "array", "minItems": 1, "items": some_of(TAG_WORDS)}},
        {"material": TEXTS, "ferrous": FLAG, "durable": FLAG},
    ),
    ("produce", {"produce": TEXT}, {}),
    ("season", {"season": TEXT, "open": FLAG}, {}),
    ("all_of", {"all_of": NEED_LIST}, {}),
    ("any_of", {"any_of": CHOICE_LIST}, {}),
)
"""Every need: the key that names it, the keys it must have, and those it may have."""

_EDGES = {"opens": HOUR, "closes": HOUR, "inside": TEXTS, "closed_while": TEXTS}
_OPEN = {
    "type": "array",
    "minItems": 1,
    "items": {
        "type": "object",
        "properties": {"from": DATE, "to": DATE},
        "required": ["from", "to"],
        "additionalProperties": False,
    },
}

SEASONS: Mapping[str, tuple[Keys, Keys]] = {
    "window": ({"from": MONTH_DAY}, {"to": MONTH_DAY, "to_season": TEXT, **_EDGES}),
    "dates": ({"open": _OPEN}, _EDGES),
    "all-year": ({}, _EDGES),
    "closed-window": ({"from": MONTH_DAY, "to": MONTH_DAY}, _EDGES),
    "quota": ({"season": TEXT, "count": whole(1, 10**6), "days_after": whole(0, 365)}, {}),
}
"""Every form of season: the keys it must have and those it may have."""

CATCHES: Mapping[str, tuple[Keys, Keys]] = {
    "targets": ({"species": TEXTS}, {}),
    "keep-if": ({"which": one_of(("incidental", "all"))}, {"seasons": TEXTS, "papers": TEXTS}),
    "at-once": ({"act": one_of(ACTS)}, {}),
    "order": ({"acts": some_of(ACTS)}, {}),
    "one-of": ({"acts": some_of(ACTS)}, {}),
    "may-not": ({"acts": some_of(ACTS)}, {}),
    "possession-end": (
        {"held": some_of(HELD)},
        {"until": MONTH_DAY, "season": TEXT, "days": whole(0, 366)},
    ),
}
"""Every form of rule on a catch."""

_REPORT = {"act": one_of(ACTS), "to": TEXT}
_FROM = {"from": one_of(("found", "harvest", "season-close"))}

REPORTS: Mapping[str, tuple[Keys, Keys]] = {
    "within": ({**_REPORT, **_FROM, "limit": DURATION}, {"in_writing": FLAG}),
    "days": ({**_REPORT, **_FROM, "days": whole(1, 366)}, {"in_writing": FLAG, "season": TEXT}),
    "business-days": ({**_REPORT, **_FROM, "days": whole(1, 366)}, {"in_writing": FLAG, "season": TEXT}),
    "as-soon-as": ({**_REPORT, "says": TEXT}, {"in_writing": FLAG}),
}
"""Every form of report."""

_AT: Schema = {
    "type": "object",
    "properties": {"name": TEXT, "lon": {"type": "number"}, "lat": {"type": "number"}},
    "required": ["name", "lon", "lat"],
    "additionalProperties": False,
}

CHECKS: Mapping[str, tuple[Keys, Keys]] = {
    "elapsed-hours": ({"limit": DURATION}, {}),
    "calendar-day": ({}, {}),
    "daily": ({}, {}),
    "full-calendar-days": ({"days": whole(1, 31)}, {}),
    "calendar-days": ({"days": whole(2, 31)}, {"look_day_counts": FLAG}),
    "calendar-week": ({"begins": one_of(WEEKDAYS)}, {}),
    "sun-window": ({"before_sunrise": DURATION, "after_sunset": DURATION}, {"at": _AT}),
    "curfew": ({"from": CLOCK, "to": CLOCK}, {}),
    "remote": (
        {
            "report_every": DURATION,
            "alert_within": DURATION,
            "visit_after_alert": DURATION,
            "visit_after_contact": DURATION,
            "in_place_of": TEXTS,
        },
        {},
    ),
    "advice": ({"says": TEXT}, {}),
    "no-interval": ({}, {}),
    "not-known": ({}, {}),
}
"""Every form of check rule."""
