"""Owns the keys that `line.toml` may hold, table by table, and what each may be.

Does not own reading the file or its faults (`settings_file`).
"""

import math
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from tendline.almanac.walk_models import MODELS
from tendline.core.words import FeatureClass

Check = Callable[[Any], bool]


def number(low: float, high: float) -> Check:
    """Make a check for a number from `low` to `high`."""
    return lambda v: (
        isinstance(v, int | float) and not isinstance(v, bool) and math.isfinite(v) and low <= v <= high
    )


def text(value: Any) -> bool:
    """Say whether it is text."""
    return isinstance(value, str)


def clock(value: Any) -> bool:
    """Say whether it is a clock time or empty."""
    hours, _, minutes = value.partition(":") if isinstance(value, str) else ("", "", "")
    return value == "" or (hours.isdigit() and minutes.isdigit() and int(hours) < 24 and int(minutes) < 60)


def pair(value: Any) -> bool:
    """Say whether it is two numbers that can be degrees."""
    return isinstance(value, list) and len(value) == 2 and all(number(-180, 180)(v) for v in value)


def texts(value: Any) -> bool:
    """Say whether it is a list of text."""
    return isinstance(value, list) and all(map(text, value))


def day(value: Any) -> bool:
    """Say whether it is a date."""
    return type(value) is date


def flag(value: Any) -> bool:
    """Say whether it is true or false."""
    return isinstance(value, bool)


def days(value: Any) -> bool:
    """Say whether it is a list of dates."""
    return isinstance(value, list) and all(map(day, value))


def feature_words(value: Any) -> bool:
    """Say whether it is a list of classes of feature."""
    return texts(value) and set(value) <= {word.value for word in FeatureClass}


def tables(value: Any) -> bool:
    """Say whether it is a list of tables."""
    return isinstance(value, list) and all(isinstance(one, dict) for one in value)


PATHS = ("drawn", "all", "none")
"""Which lines are paths; see `core.settings.WalkCosts`."""

_YES_NO = (flag, "true or false")
_DATE = (day, "a date such as 2026-10-01, without quotes")

NOT_YET = "not yet"


def quotas(value: Any) -> bool:
    """Say whether a value is a table of quotas: each a date, or "not yet"."""
    return isinstance(value, dict) and all(day(one) or one == NOT_YET for one in value.values())


KEYS: Mapping[str, Mapping[str, tuple[Check, str]]] = {
    "": {
        "name": (text, "text"),
        "zone": (text, 'a time zone such as "America/New_York"'),
        "units": (lambda v: v in ("us", "metric"), '"us" or "metric"'),
        "handler": (text, "text"),
        "home": (pair, "[longitude, latitude]"),
        "profiles": (texts, 'a list of rule profiles such as ["us-pa"]'),
        "invented": (lambda v: isinstance(v, bool), "true or false"),
    },
    "personal": {
        "hours": (number(0.5, 8760), "hours, 0.5 to 8760"),
        "before": (clock, 'a clock time such as "10:00", or ""'),
    },
    "time": {
        "park_min": (number(0, 240), "minutes, 0 to 240"),
        "look_min": (number(0, 240), "minutes, 0 to 240"),
        "fix_min": (number(0, 240), "minutes, 0 to 240"),
        "fix_share": (number(0, 1), "a share, 0 to 1"),
        "catch_min": (number(0, 480), "minutes, 0 to 480"),
        "catches_per_100_nights": (number(0, 100), "a number, 0 to 100"),
    },
    "walk": {
        "off_path": (number(0.05, 1), "a share, 0.05 to 1"),
        "snow": (number(1, 20), "a factor, 1 to 20"),
        "detour": (number(1, 10), "a factor, 1 to 10"),
        "steepest_deg": (number(5, 60), "degrees, 5 to 60"),
        "model": (lambda v: v in MODELS, f"one of: {', '.join(MODELS)}"),
        "own": (number(0.2, 10), "a factor, 0.2 to 10"),
        "path_snow": (number(1, 20), "a factor, 1 to 20"),
        "sink_cm": (number(0, 100), "centimetres, 0 to 100"),
        "sink_in": (number(0, 40), "inches, 0 to 40"),
        "load_kg": (number(0, 150), "kilograms, 0 to 150"),
        "load_lb": (number(0, 330), "pounds, 0 to 330"),
        "body_kg": (number(30, 250), "kilograms, 30 to 250"),
        "body_lb": (number(66, 550), "pounds, 66 to 550"),
        "dark": (number(1, 5), "a factor, 1 to 5"),
        "paths": (lambda v: v in PATHS, f"one of: {', '.join(PATHS)}"),
    },
    "drive": {
        "speed_kmh": (number(1, 150), "km/h, 1 to 150"),
        "speed_mph": (number(1, 95), "mph, 1 to 95"),
        "detour": (number(1, 10), "a factor, 1 to 10"),
    },
    "confirmed": {
        "profile": (text, "text"),
        "on": (day, "a date such as 2026-10-01, without quotes"),
        "until": (day, "a date such as 2027-02-22, without quotes"),
        "note": (text, "text"),
    },
    "papers": {
        "kind": (text, 'the word of the rule profile, such as "cable-restraint-course"'),
        "name": (text, "text"),
        "number": (text, "text, in quotes"),
        "first": _DATE,
        "last": _DATE,
        "carried": _YES_NO,
    },
    "people": {
        "name": (lambda v: text(v) and v.strip() != "", "a name"),
        "phone": (text, "text, in quotes"),
        "leave": _YES_NO,
        "leave_until": _DATE,
        "vehicle": _YES_NO,
        "landowner": _YES_NO,
        "papers": (tables, 'a list such as [{ kind = "trapping-licence", last = 2027-06-30 }]'),
        "lacks": (texts, "a list of kinds of paper"),
    },
    "weeks": {
        "keep": (texts, 'a list such as ["sat=N1,N2,N3", "2027-01-16@05:00-08:00=R1"]'),
        "storm_mornings": (number(0, 1), "a share of mornings, 0 to 1"),
        "storm_factor": (number(1, 10), "a factor, 1 to 10"),
    },
    "person": {
        **dict.fromkeys(("landowner", "occupant", "family_of_owner", "agent_of_owner", "resident"), _YES_NO),
        "lacks": (texts, "a list of kinds of paper"),
    },
    "law": {
        "sure": (number(0.6, 0.9999), "a chance, 0.6 to 0.9999"),
        "drawn": (feature_words, f"a list of some of: {', '.join(word.value for word in FeatureClass)}"),
        "holidays": (days, "a list of dates, without quotes"),
        "quotas": (quotas, 'a table such as { otter-quota = "not yet" }, or with the date it was reached'),
    },
}
"""Every key of each table, with its check and what is wanted."""

ONE_OF: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "walk": (("snow", "sink_cm", "sink_in"), ("load_kg", "load_lb"), ("body_kg", "body_lb")),
    "drive": (("speed_kmh", "speed_mph"),),
}
"""Keys of which no more than one may be told, table by table: they say the same thing."""

NEEDED: Mapping[str, tuple[str, ...]] = {
    "confirmed": ("profile", "on", "until"),
    "papers": ("kind",),
    "people": ("name",),
}
"""Keys that every entry of a list must have."""
