"""Owns how each value of a file brought in is read, by the name of its column or property.

Does not own the names (`field_names`) or the layout of a file: a reader hands in texts by name, and where.
"""

import math
import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from tendline.core.errors import FaultList, Refused
from tendline.core.units import METRES_PER, parse_length
from tendline.core.when import parse_instant
from tendline.core.words import FeatureClass
from tendline.ground.brought import BroughtKind, Fact
from tendline.ground.checks import checked_date
from tendline.ground.faults import FEATURE_MISSING, MEASURE, TAG_MISSING, TWO_UNITS, UNIT, WORD
from tendline.ground.field_names import (
    FACTS_OF,
    FLAGS,
    MEASURES,
    MOST_PER_100_NIGHTS,
    MOST_SECONDS,
    RATES,
    SECONDS,
    TIME_OF,
    TIMES,
    UNITS,
    WORDS,
    Measure,
    fact_named,
    measure_named,
)
from tendline.ground.wording import close_match, short

Where = Callable[[str], str]
"""Turns the name of a column or property into its place in the file: ``line.csv, row 4, column loop_in``."""


_PLAIN = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")
_YES_NO = {
    "yes": True,
    "y": True,
    "true": True,
    "1": True,
    "no": False,
    "n": False,
    "false": False,
    "0": False,
}


def check_names(names: Iterable[str], *, where: str, faults: FaultList) -> None:
    """Note measures without a unit (GND-016), and facts that more than one name speaks of (GND-017)."""
    by_fact: dict[str, list[str]] = defaultdict(list)
    for name in names:
        if fact := fact_named(name):
            by_fact[fact].append(name)
        elif name in MEASURES:
            do = f"{name}: say the unit: {name}_in or {name}_cm; known units are {', '.join(UNITS)}."
            faults.add(UNIT, f"'{name}' does not say its unit.", where, do)
    for several in by_fact.values():
        if len(several) > 1:
            both = " and ".join(several)
            faults.add(TWO_UNITS, f"{both} tell the same thing.", where, "Keep one of them.")


def read_facts(
    kind: BroughtKind, texts: Mapping[str, str], *, where: Where, faults: FaultList, warnings: list[str]
) -> dict[str, Fact]:
    """Read every fact that `texts` holds about one thing.

    Parameters
    ----------
    kind
        What the thing is; facts that mean nothing for it are left out with a warning.
    texts
        By known name (`FACT_NAMES`); empty texts are skipped.
    where
        Place of a name in the file.
    faults
        Takes GND-015, GND-018, GND-021 and GND-022.

    Returns
    -------
    dict
        Facts in SI, as `BroughtThing` lists them.
    """
    facts: dict[str, Fact] = {}
    for name, text in texts.items():
        fact = fact_named(name)
        if fact is None or not text:
            continue
        if fact not in FACTS_OF[kind] | {"note"}:
            warnings.append(f"{where(name)}: '{short(text)}' means nothing for a {kind}; it was left out.")
            continue
        value = _read_one(name, text, where=where(name), faults=faults)
        if value is not None:
            facts[fact] = value
    if kind is BroughtKind.DEVICE and "tag" not in facts:
        do = "Give the number on its tag: the ledger knows a device by that alone."
        faults.add(TAG_MISSING, "the device has no tag.", where("tag"), do)
    if kind is BroughtKind.FEATURE and not texts.get("feature"):
        do = f"Say so in 'feature', one of: {', '.join(each.value for each in FeatureClass)}."
        faults.add(FEATURE_MISSING, "the feature does not say what it is.", where("feature"), do)
    return facts


def read_time(
    kind: BroughtKind,
    texts: Mapping[str, str],
    *,
    zone: ZoneInfo,
    now: datetime,
    where: Where,
    faults: FaultList,
    warnings: list[str],
) -> datetime | None:
    """Read when a set was made or a device built.

    A date alone counts from its first instant, which is the careful reading for a deadline, and warns so. A
    clock time alone is not taken: in a file it would mean another day each time the file is read.

    Returns
    -------
    datetime or None
        Aware UTC; None when not told, or when a fault was noted (GND-014, GND-015, CORE-201, -203, -204).
    """
    for name in TIMES:
        text = texts.get(name, "")
        if not text:
            continue
        if TIME_OF.get(kind) != name:
            warnings.append(f"{where(name)}: '{short(text)}' means nothing for a {kind}; it was left out.")
            continue
        if re.fullmatch(r"\d{1,2}:\d{2}(:\d{2})?", text):
            do = "Write the day as well: 2026-11-20 05:40."
            faults.add(MEASURE, f"'{text}' has no date.", where(name), do)
            return None
        try:
            instant = parse_instant(text, zone=zone, now=now, where=where(name))
        except Refused as refused:
            faults.extend(refused.faults)
            return None
        checked = checked_date(instant, now=now, where=where(name), faults=faults)
        if checked is not None and len(text) == 10:
            warnings.append(
                f"{where(name)}: {text} has no clock time; taken as 00:00, the start of that day."
            )
        return checked
    return None


def _read_one(name: str, text: str, *, where: str, faults: FaultList) -> Fact | None:
    if name in WORDS:
        return _read_word(WORDS[name], text, noun=name.replace("_", " "), where=where, faults=faults)
    if name in FLAGS:
        return _read_flag(text, where=where, faults=faults)
    if name in SECONDS:
        return _read_seconds(text, where=where, faults=faults)
    if name in RATES:
        return _read_rate(text, where=where, faults=faults)
    if name == "parcels":
        return ";".join(
            part.strip() for part in (text.split(";") if ";" in text else text.split()) if part.strip()
        )
    found = measure_named(name)
    return _read_measure(found[0], found[1], text, where=where, faults=faults) if found else text


def _read_word(words: type[StrEnum], text: str, *, noun: str, where: str, faults: FaultList) -> str | None:
    word = re.sub(r"[\s_]+", "-", text.lower())
    known = [str(each.value) for each in words]
    if word in known:
        return word
    do = f"Use one of: {', '.join(known)}.{close_match(word, known)}"
    faults.add(WORD, f"'{short(text)}' is not a {noun}.", where, do)
    return None


def _read_flag(text: str, *, where: str, faults: FaultList) -> bool | None:
    if text.lower() not in _YES_NO:
        faults.add(
            WORD, f"'{short(text)}' is neither yes nor no.", where, "Write yes or no, or leave it empty."
        )
    return _YES_NO.get(text.lower())


def _read_seconds(text: str, *, where: str, faults: FaultList) -> float | None:
    value = float(text) if _PLAIN.fullmatch(text) else math.nan
    if 0.0 <= value <= MOST_SECONDS:
        return value
    do = f"Give the seconds it takes to get over, 0 to {MOST_SECONDS:g}; nothing if nobody can cross."
    faults.add(MEASURE, f"'{short(text)}' is not a number of seconds to cross.", where, do)
    return None


def _read_rate(text: str, *, where: str, faults: FaultList) -> float | None:
    value = float(text) if _PLAIN.fullmatch(text) else math.nan
    if 0.0 < value <= MOST_PER_100_NIGHTS:
        return value
    do = f"Give the catches expected in 100 nights, above 0, at most {MOST_PER_100_NIGHTS:g}; one is common."
    faults.add(MEASURE, f"'{short(text)}' is not a number of catches in 100 nights.", where, do)
    return None


def _read_measure(measure: Measure, unit: str, text: str, *, where: str, faults: FaultList) -> float | None:
    value = _metres(text, unit) * measure.times
    fine = measure.least <= value <= measure.most and (value > measure.least or measure.least_is_good)
    if fine:
        return value
    # Said in the unit of the column, so that the person compares like with like.
    scale = METRES_PER[unit] * measure.times
    start, end = ("from", "to") if measure.least_is_good else ("above", "and at most")
    limits = f"{start} {measure.least / scale:.4g} {end} {measure.most / scale:.4g}"
    do = f"Give {measure.noun} in {UNITS[unit]}, {limits}."
    faults.add(MEASURE, f"'{short(text)}' cannot be {measure.noun}.", where, do)
    return None


def _metres(text: str, unit: str) -> float:
    """Read a bare number, fraction or mixed number in `unit`; not a number when it cannot be read."""
    if _PLAIN.fullmatch(text):
        return float(text) * METRES_PER[unit]
    try:
        return parse_length(f"{text} {unit}")
    except Refused:
        return math.nan
