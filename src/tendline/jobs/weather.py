"""Owns the job `tendline weather`: which loops, anchors and crossings the coming weather spoils.

Does not own the forecast (`ground.forecast`), the outlook (`plan.spoil`) or wording (`report.weather_text`).
Nothing is recorded: a forecast is not a measurement.
"""

from collections.abc import Sequence
from pathlib import Path

from tendline.core.errors import FaultList, refuse
from tendline.core.feature import Feature
from tendline.core.forecast import Forecast
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.core.words import FeatureClass
from tendline.ground.forecast import forecast_in_words, read_forecast
from tendline.ground.read_any import read_bytes
from tendline.jobs.answer import Answer
from tendline.jobs.faults import WORD
from tendline.jobs.lawful_facts import read_features
from tendline.jobs.layers import read_barriers
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.weather_sets import sets_at_stake
from tendline.jobs.workspace import Workspace
from tendline.plan.spoil import Asked, outlook
from tendline.plan.spoil_nouns import Act
from tendline.report.weather_json import weather_document
from tendline.report.weather_text import Told, weather_text

SEED = 20260115
"""Seed of the members: the same forecast gives the same answer. Any other would do."""


def weather(
    space: Workspace,
    path: Path | None,
    *,
    words: str | None = None,
    days: int = 3,
    members: int = 500,
    seed: int = SEED,
    sets: Sequence[str] = (),
    everything: bool = False,
    width: int = 100,
) -> Answer:
    """Say what a forecast spoils.

    Parameters
    ----------
    space
        The opened line.
    path, words
        A file, or a forecast typed in; exactly one of them.
    days
        How many local days, today the first.
    members, seed
        Of the ensemble.
    sets
        Only these; every set in the field when empty.
    everything
        Every set on every day.
    width
        Of the terminal [characters].

    Returns
    -------
    Answer
        Bad news when something has to be done tonight.

    Raises
    ------
    Refused
        JOB-301; GND-001, GND-003, GND-7xx and the others of the reader; PLAN-120; RULE-1xx.
    """
    line = space.line()
    wanted = _wanted(line, sets)
    forecast = given_forecast(space, line, path, words)
    features = read_features(space)
    at_stake = sets_at_stake(
        space,
        line,
        forecast,
        profiles=profiles_in_use(space, line),
        features=features,
        events=space.events(),
    )
    settings = space.settings
    asked = Asked(space.now, settings.zone, days, members, seed, settings.time.fix_s)
    found = outlook([one for one in at_stake if one.name in wanted], forecast, asked)
    told = Told(forecast, found, _waters(space, features), settings, space.now)
    return Answer(
        weather_text(told, width=width, everything=everything),
        weather_document(told),
        bad_news=any(one.advice.tonight and one.advice.act is not Act.LEAVE for one in found.sets),
        warnings=line.warnings,
    )


def _wanted(line: LineState, sets: Sequence[str]) -> set[str]:
    known = {one.name.lower(): one.name for one in line.in_field}
    faults = FaultList()
    for name in sets:
        if name.lower() not in known:
            do = "tendline due lists the sets in the field."
            faults.add(WORD, f"there is no set '{name}' in the field.", "--set", do)
    faults.refuse()
    return {known[name.lower()] for name in sets} or set(known.values())


def given_forecast(space: Workspace, line: LineState, path: Path | str | None, words: str | None) -> Forecast:
    """Read the forecast a person hands in: a file, or words; exactly one of them.

    Raises
    ------
    Refused
        JOB-301; GND-001, GND-003, GND-7xx and the others of the reader.
    """
    if (path is None) == (words is None):
        what = "give a file or words, one of the two."
        raise refuse(WORD, what, "weather", "tendline weather FILE, or --words '6 in tonight, 20 to 34 F'.")
    zone = space.settings.zone
    if path is None:
        return forecast_in_words(words or "", zone=zone, now=space.now)
    data = read_bytes(Path(path))
    return read_forecast(data, file_name=Path(path).name, zone=zone, now=space.now, near=_middle(space, line))


def _middle(space: Workspace, line: LineState) -> LonLat | None:
    """Give the middle of the sets in the field, else home."""
    places = [one.fix.place for one in line.in_field]
    if not places:
        return space.settings.home
    return LonLat(sum(p.lon for p in places) / len(places), sum(p.lat for p in places) / len(places))


def _waters(space: Workspace, features: Sequence[Feature]) -> tuple[str, ...]:
    """Name what may carry ice: water drawn on the ground, and barriers that have a crossing."""
    with space.store() as store:
        barriers = read_barriers(space, store.sources())
    names = [f.name for f in features if f.feature_class in (FeatureClass.WATER, FeatureClass.RIVER)]
    names += [barrier.name for barrier in barriers if barrier.crossings]
    return tuple(sorted({name for name in names if name}))
