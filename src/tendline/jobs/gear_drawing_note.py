"""Owns putting on record that a set hangs as it was drawn.

Does not own the drawing (`gear_drawing`) or what an event may say (`note`).
"""

from tendline.core.errors import refuse
from tendline.core.words import PlaceKind
from tendline.jobs.answer import Answer
from tendline.jobs.faults import WORD
from tendline.jobs.gear_drawing import AskedDrawing, on_record, pack_of
from tendline.jobs.gear_drawn import Hung
from tendline.jobs.note import note
from tendline.jobs.workspace import Workspace

SURE_M = 0.001
"""A height known within this is one height [m], and can be told again from another surface."""


def note_drawing(space: Workspace, asked: AskedDrawing) -> Answer:
    """Put on record that a set hangs as drawn: loop, height and depth of snow, as far as they were changed.

    Raises
    ------
    Refused
        JOB-301 when it is no set, nothing was changed, or it hangs over a log; as of `note`.
    """
    held = on_record(space, asked, lambda _, make: make())
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
    pack = pack_of(asked, held, PlaceKind(held.where))
    given = {} if asked.loop_m is None else {"loop_m": f"{asked.loop_m:.4f} m"}
    if asked.base_m is not None or asked.new_m is not None or asked.bottom_m is not None:
        given["snow_m"] = f"{pack.snow_m:.4f} m"
    bottom = asked.bottom_m
    sure = held.bottom is not None and held.bottom.high_m - held.bottom.low_m < SURE_M
    if bottom is None and held.bottom is not None and sure and "snow_m" in given:
        bottom = held.bottom.low_m
    if bottom is not None:
        over = bottom - pack.snow_m
        top = "loose-snow" if pack.new_m > 0.0 else "packed-snow"
        from_snow = pack.snow_m > 0.0 and over >= 0.0
        given |= {"surface": top if from_snow else "ground"}
        given |= {"bottom_m": f"{over if from_snow else bottom:.4f} m"}
    return given
