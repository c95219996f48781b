"""Owns the set drawing: a loop as it hangs or might, drawn to scale, beside what the law says of it.

Does not own the advice (`gear.loop`), the judging (`rules.judge`), the drawing (`report.loop_picture`) or the
facts (`gear_drawn`).
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from tendline.almanac.animals import ANIMALS
from tendline.almanac.datum import Base
from tendline.almanac.loop_tables import recommended
from tendline.almanac.loops import Reach, hung_oval, round_of
from tendline.core.errors import refuse
from tendline.core.when import local_day
from tendline.core.words import PlaceKind
from tendline.gear.loop import LoopAdvice, advise
from tendline.gear.snowpack import Pack
from tendline.jobs.answer import Answer
from tendline.jobs.faults import WORD
from tendline.jobs.gear_drawn import Hung, as_drawn, hung_on_record, hung_words, top_of
from tendline.jobs.gear_law import rules_on_hanging
from tendline.jobs.gear_loop import law_of_loop, loop_figures, picture_of
from tendline.jobs.lawful import doubted
from tendline.jobs.lawful_facts import read_features
from tendline.jobs.note import note
from tendline.jobs.profiles import profile_named
from tendline.jobs.workspace import Workspace
from tendline.report.gear_text import loop_document, reach_data
from tendline.report.lawful_text import Judged, lawful_document
from tendline.report.loop_picture import key_of, loop_svg, span_words
from tendline.rules.finding import OPEN, WRONG, Holds, worst_first
from tendline.rules.judge import judge
from tendline.rules.load import shipped_profiles

Keep = Callable[[str, Callable[[], Any]], Any]
"""Gives what was worked out under a name before, or works it out."""


_OF_ADVICE = (
    "animal",
    "where",
    "profile",
    "snow",
    "suits_across",
    "suits_bottom",
    "law_bottom",
    "sources",
    "said",
)
"""What is told as by `gear loop`."""


@dataclass(frozen=True)
class AskedDrawing:
    """What is to be drawn; None and empty: as on record at the set, else as suits the animal. Lengths [m].

    Parameters
    ----------
    set_name
        A set on record; empty for a free drawing.
    animal, where, profile
        As of `gear_loop`.
    base_m, new_m, sink_m, log_m
        As of `Pack`.
    loop_m
        Width of the loop as a circle.
    bottom_m
        Its lowest point above the ground; above the top of a log whose height nobody gave.
    """

    set_name: str = ""
    animal: str = ""
    where: str = ""
    profile: str = ""
    base_m: float | None = None
    new_m: float | None = None
    sink_m: float | None = None
    log_m: float | None = None
    loop_m: float | None = None
    bottom_m: float | None = None

    @property
    def changes(self) -> bool:
        """Whether it is another loop, height or snow than on record."""
        told = (self.base_m, self.new_m, self.sink_m, self.log_m, self.loop_m, self.bottom_m)
        return bool(self.animal or self.where) or any(value is not None for value in told)


def gear_drawing(space: Workspace, asked: AskedDrawing, *, keep: Keep = lambda _, make: make()) -> Answer:
    """Draw a loop as it hangs at a set, or as it might, and hold it against a profile.

    Parameters
    ----------
    space
        The opened line.
    asked
        What is to be drawn.
    keep
        Keeps what costs time and changes only with the record.

    Returns
    -------
    Answer
        The drawing as SVG, every height in it, and each rule on loop and height; bad news when one is broken.

    Raises
    ------
    Refused
        GEAR-103, GEAR-104, JOB-301, RULE-1xx, GND-xxx.
    """
    held = _on_record(space, asked, keep)
    hung = held if held is not None else Hung(profile=next(iter(space.settings.profiles), ""))
    animal, where = asked.animal or hung.animal or "coyote", asked.where or hung.where
    place, rows, own = keep(f"loop {animal} {where}", lambda: loop_figures(space, animal, where))
    pack = _pack(asked, hung, place)
    profile = asked.profile or hung.profile
    law = law_of_loop(space, profile or None, snow_lies=pack.snow_m > 0.0)
    advice = advise(animal, place, rows=rows, pack=pack, law=law)
    loop_m, bottom = _hangs(asked, hung, advice)
    oval = hung_oval(round_of(loop_m))
    middle = (bottom.low_m + bottom.high_m) / 2.0
    picture = replace(picture_of(advice, advice.law, own), loop=oval, bottom_m=max(0.0, middle))
    drawn = hung
    if held is None or asked.changes or hung.loop_m is None or hung.bottom is None:
        moved = asked.loop_m is not None or asked.bottom_m is not None
        drawn = as_drawn(
            hung, animal=animal, pack=pack, loop_m=loop_m, bottom=bottom, moved=moved, settings=space.settings
        )
    top = drawn.top or top_of(bottom, loop_m)
    judged = _judged(space, profile, drawn) if profile else []
    units, told = space.settings.units, loop_document(advice, advice.law, own, picture)
    data = {
        "set": asked.set_name or None,
        "as_on_record": held is not None and not asked.changes,
        "noted": None if held is None else hung_words(held, space.settings.zone),
        "loop_m": loop_m,
        "bottom_m": middle,
        "bottom": reach_data(bottom),
        "top": reach_data(top),
        "heights": [
            {"name": name, "words": words, "told": span_words(reach, units), **(reach_data(reach) or {})}
            for name, words, reach in key_of(picture)
        ],
        "above": _above(bottom, top, pack),
        "suits": {
            "loop": _within(loop_m, advice.animal_across),
            "bottom": _within(bottom.low_m, advice.animal_bottom)
            and _within(bottom.high_m, advice.animal_bottom),
        },
        "verdict": _verdict(judged),
        "findings": lawful_document(judged, settings=space.settings, now=space.now)["findings"],
        **{key: told[key] for key in _OF_ADVICE},
        "svg": loop_svg(picture, units),
    }
    return Answer("", data, bad_news=data["verdict"] == "fail")


def drawing_choices(space: Workspace) -> Answer:
    """Give what may be chosen for a drawing: sets in the field, animals with their places, profiles."""
    line, in_use = space.line(), space.settings.profiles
    places = {name: [p.value for p in PlaceKind if recommended(name, p)] for name in ANIMALS}
    profiles = [*in_use, *(name for name in shipped_profiles() if name not in in_use)]
    return Answer(
        "",
        {
            "sets": [{"set": one.name, "target": one.target, "parcel": one.parcel} for one in line.in_field],
            "animals": [{"animal": name, "places": found} for name, found in places.items() if found],
            "profiles": profiles,
            "in_use": list(in_use),
        },
    )


def note_drawing(space: Workspace, asked: AskedDrawing) -> Answer:
    """Put on record that a set hangs as drawn: loop, height and depth of snow, as far as they were changed.

    Raises
    ------
    Refused
        JOB-301 when it is no set, nothing was changed, or it hangs over a log; as of `note`.
    """
    held = _on_record(space, asked, lambda _, make: make())
    told = (asked.loop_m, asked.bottom_m, asked.base_m, asked.new_m)
    if held is None or all(value is None for value in told):
        raise refuse(
            WORD, "there is nothing to note.", asked.set_name, "Choose a set and change its measures."
        )
    if (asked.where or held.where) == PlaceKind.LOG_CROSSING.value:
        what = "over a log the record does not say what a height was measured from."
        raise refuse(WORD, what, asked.set_name, "Note it by hand, with what you measured from.")
    return note(space, "adjusted", subjects=[asked.set_name], given=_given(asked, held))


def _given(asked: AskedDrawing, held: Hung) -> dict[str, str]:
    """Word what was changed; a height is told from the top of the snow, as a person measures it."""
    pack = _pack(asked, held, PlaceKind(held.where))
    given = {} if asked.loop_m is None else {"loop_m": f"{asked.loop_m:.4f} m"}
    if asked.base_m is not None or asked.new_m is not None or asked.bottom_m is not None:
        given["snow_m"] = f"{pack.snow_m:.4f} m"
    bottom = asked.bottom_m
    if bottom is None and held.bottom is not None and "snow_m" in given:
        bottom = (held.bottom.low_m + held.bottom.high_m) / 2.0
    if bottom is not None:
        over = bottom - pack.snow_m
        top = "loose-snow" if pack.new_m > 0.0 else "packed-snow"
        from_snow = pack.snow_m > 0.0 and over >= 0.0
        given |= {"surface": top if from_snow else "ground"}
        given |= {"bottom_m": f"{over if from_snow else bottom:.4f} m"}
    return given


def _on_record(space: Workspace, asked: AskedDrawing, keep: Keep) -> Hung | None:
    if not asked.set_name:
        return None
    line = space.line()
    one = line.sets.get(asked.set_name)
    if one is None:
        raise refuse(WORD, f"there is no set '{asked.set_name}'.", "", "tendline due lists the sets.")
    return hung_on_record(one, line, keep("features", lambda: read_features(space)), settings=space.settings)


def _pack(asked: AskedDrawing, hung: Hung, place: PlaceKind) -> Pack:
    base = hung.base_m if asked.base_m is None else asked.base_m
    new = hung.new_m if asked.new_m is None else asked.new_m
    return Pack(base, new, asked.sink_m, asked.log_m if place is PlaceKind.LOG_CROSSING else 0.0)


def _hangs(asked: AskedDrawing, hung: Hung, advice: LoopAdvice) -> tuple[float, Reach]:
    """Give the width of the loop and where its lowest point is: as asked, as on record, else as suits."""
    loop = asked.loop_m or hung.loop_m or (advice.across.low_m + advice.across.high_m) / 2.0
    if asked.bottom_m is not None:
        return loop, Reach(asked.bottom_m, asked.bottom_m)
    if hung.bottom is not None:
        return loop, hung.bottom
    middle = max(0.0, (advice.bottom.low_m + min(advice.bottom.high_m, 3.0)) / 2.0)
    return loop, Reach(middle, middle)


def _judged(space: Workspace, name: str, drawn: Hung) -> list[Judged]:
    profile = profile_named(space, name)
    confirmation = space.settings.word_on(profile.id)
    facts = drawn.told
    assert facts is not None
    day = local_day(space.now, profile.legal_time.zone or space.settings.zone)
    subtype = facts.device.subtype if facts.device is not None else None
    wanted = rules_on_hanging(profile, day=day, subtype=subtype)
    found = judge(profile, facts, now=space.now, confirmation=confirmation, sure=space.settings.law.sure)
    told = [
        doubted(f, confirmation) for f in found if f.rule in wanted and f.holds is not Holds.NOT_APPLICABLE
    ]
    return [Judged(profile.id, finding) for finding in worst_first(told)]


def _verdict(judged: list[Judged]) -> str:
    """Say ``fail``, ``not verified`` or ``pass``; a pass only where every rule held is kept for sure."""
    found = [one.finding for one in judged if one.finding.holds is not Holds.ADVISORY]
    if any(one.holds in WRONG for one in found):
        return "fail"
    if not found or any(one.holds in OPEN or not one.verified for one in found):
        return "not verified"
    return "pass"


def _above(bottom: Reach, top: Reach, pack: Pack) -> list[dict[str, Any]]:
    surfaces = [("walked-on", pack.walked_on())]
    untold = (Base.GROUND, Base.FOOTPRINT) if pack.raised_m is None else ()
    surfaces += [(base.value, pack.surface(base)) for base in Base if base not in untold]
    return [
        {
            "surface": name,
            "bottom": {"low_m": bottom.low_m - s.high_m, "high_m": bottom.high_m - s.low_m},
            "top": {"low_m": top.low_m - s.high_m, "high_m": top.high_m - s.low_m},
        }
        for name, s in surfaces
    ]


def _within(value: float, reach: Reach) -> bool:
    return reach.low_m - 1e-6 <= value <= reach.high_m + 1e-6
