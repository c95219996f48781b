"""Owns a loop as it hangs at a set or is drawn: its measures out of the record, and the facts for the law.

Does not own the law (`rules`), the arithmetic of heights (`almanac.datum`, `law_heights`) or the drawing.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from tendline.almanac.datum import Base
from tendline.almanac.loops import Reach, top_range
from tendline.core.feature import Feature
from tendline.core.line import LineState, SetState, SnowSeen
from tendline.core.settings import Settings
from tendline.core.when import clock_text
from tendline.core.words import DeviceClass, PlaceKind, Surface
from tendline.gear.snowpack import Pack
from tendline.jobs.law_heights import heights_of, is_here
from tendline.jobs.lawful_facts import spot_cases
from tendline.rules.facts import Across, Datum, DeviceFacts, Facts, LoopSize, Measure, SetFacts, Subject


@dataclass(frozen=True)
class Hung:
    """A loop with the snow under it; lengths [m], heights above the ground, None where not known.

    Parameters
    ----------
    animal, where, profile
        What it is for, what it hangs over, the law that holds there.
    base_m, new_m
        Snow that bears weight, and loose snow on it.
    loop_m, bottom, top
        Width as a circle; lowest and highest point.
    told
        What the law looks at, as on record or as drawn; None for a free drawing.
    snow
        The newest word on the snow there.
    said
        What of it is not known, in words.
    """

    animal: str = ""
    where: str = PlaceKind.TRAIL.value
    profile: str = ""
    base_m: float = 0.0
    new_m: float = 0.0
    loop_m: float | None = None
    bottom: Reach | None = None
    top: Reach | None = None
    told: Facts | None = None
    snow: SnowSeen | None = None
    said: tuple[str, ...] = ()


def hung_on_record(
    one: SetState, line: LineState, features: Sequence[Feature], *, settings: Settings
) -> Hung:
    """Give a set as on record: its measures, the newest snow seen, and the facts that the law looks at."""
    case = spot_cases(line, features, one, settings=settings)[0]
    heights = heights_of(one, line.snow)
    here = [seen for seen in line.snow if is_here(seen, one)]
    snow = max(here, key=lambda seen: seen.at, default=None)
    base, new, said = _layers(snow)
    return Hung(
        animal=one.target.strip().lower(),
        where=str(one.told.get("place_kind", PlaceKind.TRAIL.value)),
        profile=case.profile,
        base_m=base,
        new_m=new,
        loop_m=one.loop_m,
        bottom=_reach(heights.bottom.get(Datum.GROUND)),
        top=_reach(heights.top.get(Datum.GROUND)),
        told=replace(case.facts, about=frozenset({Subject.SET, Subject.DEVICE})),
        snow=snow,
        said=(*said, *(text for text in heights.missing if "the ground:" in text or "has not been" in text)),
    )


def _layers(snow: SnowSeen | None) -> tuple[float, float, tuple[str, ...]]:
    """Give old and new snow; what is not known of it is taken as new, and said."""
    if snow is None or snow.depth_m is None:
        return 0.0, 0.0, ("nobody noted the depth of the snow here: drawn without snow",)
    if snow.new_m is not None:
        new = min(snow.new_m, snow.depth_m)
        return snow.depth_m - new, new, ()
    if snow.surface in (Surface.PACKED_SNOW, Surface.CRUST, Surface.ICE):
        return snow.depth_m, 0.0, ()
    if snow.depth_m == 0.0:
        return 0.0, 0.0, ()
    return 0.0, snow.depth_m, ("nobody noted how much of the snow is new: all of it is drawn as new",)


def _reach(measure: Measure | None) -> Reach | None:
    return None if measure is None else Reach(measure.least, measure.most)


def as_drawn(
    hung: Hung, *, animal: str, pack: Pack, loop_m: float, bottom: Reach, moved: bool, settings: Settings
) -> Hung:
    """Give a loop with what the law looks at, as drawn.

    Parameters
    ----------
    hung
        As on record, or empty for a free drawing, which stands at home with the person's own answers.
    animal, pack, loop_m, bottom
        What it is for, snow, width as a circle [m] and lowest point [m] as drawn.
    moved
        The loop or its lowest point is not as on record.
    settings
        The person's own.
    """
    told = hung.told or Facts(settings.zone, at=settings.home, answers=settings.answers)
    device = told.device or DeviceFacts("as drawn", device_class=DeviceClass.LIVE_RESTRAINT)
    held = told.set or SetFacts("as drawn", in_field=True, working=True)
    top = hung.top if hung.top is not None and not moved else top_of(bottom, loop_m)
    size = LoopSize(Measure(loop_m, how="as drawn"), Across.DIAMETER)
    opened = size if moved or hung.told is None else device.loop_open
    held = replace(
        held,
        species=animal,
        bottom=_above_all(bottom, pack),
        top=_above_all(top, pack),
        snow_at_set=pack.snow_m > 0.0,
    )
    device = replace(device, loop_now=size, loop_open=opened)
    about = frozenset({Subject.SET, Subject.DEVICE})
    return replace(hung, top=top, told=replace(told, set=held, device=device, about=about))


def top_of(bottom: Reach, loop_m: float) -> Reach:
    """Give where the top of a loop can be by its lowest point and its width as a circle [m]."""
    return Reach(top_range(bottom.low_m, loop_m).low_m, top_range(bottom.high_m, loop_m).high_m)


def _above_all(height: Reach, pack: Pack) -> dict[Datum, Measure]:
    """Give a height above every surface that a law may measure from; over a log, those that can be told."""
    untold = (Base.GROUND, Base.FOOTPRINT) if pack.raised_m is None else ()
    found = {}
    for base in Base:
        if base not in untold:
            surface = pack.surface(base)
            low, high = height.low_m - surface.high_m, height.high_m - surface.low_m
            found[Datum(base.value)] = Measure((low + high) / 2.0, low, high, how="as drawn")
    return found


def hung_words(hung: Hung, zone: ZoneInfo) -> list[str]:
    """Say in words what the record knows of a loop and the snow under it."""
    snow = hung.snow
    seen = [] if snow is None else [f"snow as noted {clock_text(snow.at, zone)}"]
    return [*seen, *hung.said]
