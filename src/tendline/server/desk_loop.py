"""Owns what the desk page asks for its set drawing: what can be chosen, the drawing, keeping a change.

Does not own the answers (`jobs.gear_drawing`).
"""

from tendline.jobs.answer import Answer
from tendline.jobs.gear_drawing import AskedDrawing, drawing_choices, gear_drawing, note_drawing
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import TEXT, UNITS, number

_DEPTH = number(0.0, 10.0)
_TAKES = {
    **dict.fromkeys(("set_name", "animal", "where", "profile"), TEXT),
    **dict.fromkeys(("base_m", "new_m", "sink_m", "log_m"), _DEPTH),
    "loop_m": number(0.02, 1.0),
    "bottom_m": number(0.0, 3.0),
}


def _choices(here: Here, _body: Body) -> Answer:
    return drawing_choices(here.desk.space())


def _drawing(here: Here, body: Body) -> Answer:
    asked = AskedDrawing(**{key: value for key, value in body.items() if key != "units"})
    return gear_drawing(here.desk.space().with_units(body.get("units", "")), asked, keep=here.kept)


def _note(here: Here, body: Body) -> Answer:
    return note_drawing(here.desk.space(), AskedDrawing(**body))


LOOP = (
    Ask("loop-choices", "Give the sets, animals and profiles that can be drawn.", _choices),
    Ask(
        "loop-drawing",
        "Draw a loop as it hangs or might, with what the law says of it.",
        _drawing,
        {**_TAKES, "units": UNITS},
        gives="gear-drawing",
    ),
    Ask(
        "loop-note",
        "Put on record that a set hangs as drawn.",
        _note,
        _TAKES,
        ("set_name",),
        gives="note",
    ),
)
