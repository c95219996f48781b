"""Owns putting together what is at stake at each set before the weather: heights, snow, law, animal, anchor.

Does not own what the weather does to it (`plan.spoil`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import timedelta

from tendline.almanac.datum import Base, Snow
from tendline.almanac.geodesy import Projector
from tendline.almanac.loop_tables import hull, recommended
from tendline.core.feature import Feature
from tendline.core.forecast import Between, Forecast
from tendline.core.line import LineState, SetStanding, SetState, SnowSeen
from tendline.core.words import AnchorKind, Exposure, PlaceKind, Surface
from tendline.jobs.heights import bounds_round, heights_within
from tendline.jobs.law_heights import heights_of
from tendline.jobs.lawful_facts import LawCase, lawful_cases
from tendline.jobs.workspace import Workspace
from tendline.logbook.events import Event
from tendline.plan.spoil_nouns import AtStake, Band, Point
from tendline.rules.facts import Datum, Measure
from tendline.rules.heights import height_rules
from tendline.rules.nouns import Subject
from tendline.rules.shape import Profile

NEAR_IN_TIME = timedelta(hours=12)
"""Air noted this near to when a set was made tells whether its anchor went into frost (common practice)."""

_NOT_IN_GROUND = (AnchorKind.WOODY_STEM, AnchorKind.ROCK, AnchorKind.FENCE)


def sets_at_stake(
    space: Workspace,
    line: LineState,
    forecast: Forecast,
    *,
    profiles: Mapping[str, Profile],
    features: Sequence[Feature],
    events: Sequence[Event],
) -> tuple[AtStake, ...]:
    """Give every set in the field as the weather finds it.

    Parameters
    ----------
    space, line
        The opened line and how it stands.
    forecast
        For the height of its place.
    profiles, features
        The law in use, and what is drawn on the ground.
    events
        The record: air noted when a set was made.
    """
    cases = {
        case.name: case
        for case in lawful_cases(line, features, settings=space.settings)
        if case.subject is Subject.SET
    }
    up = _up_m(space, line.in_field, forecast)
    return tuple(
        replace(
            _at_stake(one, line.snow, events),
            laws=_laws(space, cases[one.name], profiles),
            up_m=up.get(one.name, 0.0),
        )
        for one in line.in_field
    )


def _at_stake(one: SetState, snow: Sequence[SnowSeen], events: Sequence[Event]) -> AtStake:
    heights = heights_of(one, snow)
    exposure = one.told.get("exposure")
    animal, animal_said = _animal(one)
    return AtStake(
        name=one.name,
        parcel=one.parcel,
        landmark=one.landmark,
        working=one.standing is SetStanding.WORKING,
        heights={
            point: held
            for point, held in (
                (Point.BOTTOM, _by_base(heights.bottom)),
                (Point.TOP, _by_base(heights.top)),
            )
            if held
        },
        snow=_snow_now(one, snow),
        animal=animal,
        animal_said=animal_said,
        sheltered=None if exposure is None else exposure == Exposure.SHELTERED,
        landmark_m=one.told.get("landmark_height_m"),
        anchor_in_frost=_in_frost(one, events),
    )


def _by_base(found: Mapping[Datum, Measure]) -> dict[Base, Between]:
    return {Base(datum.value): Between(m.least, m.most) for datum, m in found.items()}


def _snow_now(one: SetState, snow: Sequence[SnowSeen]) -> Snow:
    """Give the newest word on the snow at a set, or of its parcel or the line."""
    here = [s for s in snow if s.set_name == one.name or (not s.set_name and s.parcel in ("", one.parcel))]
    words = [(s.at, s.depth_m, s.new_m, s.surface) for s in here]
    words += [(h.at, h.snow_m, None, h.surface) for h in (one.bottom, one.top) if h is not None]
    words.sort(key=lambda word: word[0], reverse=True)
    for _, depth, new, surface in words:
        if depth is not None:
            return Snow(depth, surface, new)
        if surface is Surface.GROUND:
            return Snow(0.0, surface)
    return Snow(None, words[0][3]) if words else Snow()


def _laws(space: Workspace, case: LawCase, profiles: Mapping[str, Profile]) -> tuple[Band, ...]:
    profile = profiles.get(case.profile)
    if profile is None:
        return ()
    settings = space.settings
    rules = height_rules(
        profile,
        case.facts,
        now=space.now,
        confirmation=settings.word_on(profile.id),
        sure=settings.law.sure,
    )
    return tuple(
        Band(
            Point(rule.point),
            Base(rule.above.value),
            rule.least_m,
            rule.most_m,
            who=f"{profile.id} {rule.rule}",
            words=f"{rule.words} {rule.citation}",
            verified=rule.verified,
        )
        for rule in rules
    )


def _animal(one: SetState) -> tuple[Band | None, str]:
    """Give the band in which a loop hangs for its animal, and why there is none where there is none.

    Over a log the tables count from its top, and a loop there is measured from the ground or not at all: no
    band is held.
    """
    target = one.target.strip().lower()
    place = PlaceKind(one.told.get("place_kind", PlaceKind.TRAIL))
    if not target:
        return None, ""
    if place is PlaceKind.LOG_CROSSING:
        return None, "it hangs over a log, which snow does not raise as it does a trail: look for yourself"
    rows = recommended(target, place)
    if not rows:
        return None, f"no table gives a height for a {target}, {place.value.replace('-', ' ')}"
    bottom = hull(tuple(row.bottom for row in rows))
    who = one.target if place is PlaceKind.TRAIL else f"{one.target}, {place.value.replace('-', ' ')}"
    return Band(Point.BOTTOM, Base.SNOW_SURFACE, bottom.low_m, bottom.high_m, who, rows[0].source), ""


def _in_frost(one: SetState, events: Sequence[Event]) -> bool | None:
    """Say whether an anchor went into frozen ground: as noted, else by the air noted about then."""
    if one.told.get("anchor_kind") in [kind.value for kind in _NOT_IN_GROUND]:
        return False
    told = one.told.get("driven_in_frost")
    if told is not None or one.made_at is None:
        return told if isinstance(told, bool) else None
    near = [
        (abs(event.happened_at - one.made_at), event.body["air_c"])
        for event in events
        if event.kind == "weather-seen"
        and "air_c" in event.body
        and event.body.get("parcel", "") in ("", one.parcel)
        and abs(event.happened_at - one.made_at) <= NEAR_IN_TIME
    ]
    return bool(min(near)[1] < 0.0) if near else None


def _up_m(space: Workspace, sets: Sequence[SetState], forecast: Forecast) -> dict[str, float]:
    """Give how much higher each set stands than the place of the forecast, where that can be told."""
    with space.store() as store:
        sources = store.sources()
    if forecast.elevation_m is None or not sets:
        return {}
    heights = heights_within(space, sources, bounds_round((one.fix.place for one in sets), 0.0))
    if heights is None:
        return {}
    grid = heights.grid
    turn = Projector(grid.crs)
    found = {}
    for one in sets:
        cell = grid.cell_of(*turn.to_xy(one.fix.place))
        if cell is not None and grid.z[cell] == grid.z[cell]:
            found[one.name] = float(grid.z[cell]) - forecast.elevation_m
    return found
