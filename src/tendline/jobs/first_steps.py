"""Owns the list of what a new line still needs before a round can be walked by it, in the order of doing.

Does not own doing any of it: each step is a job of its own.
"""

from typing import Any

from tendline.core.line import LineState
from tendline.core.when import local_day
from tendline.jobs.answer import Answer
from tendline.jobs.heights import ELEVATION
from tendline.jobs.workspace import Workspace
from tendline.report.say import count


def first_steps(space: Workspace) -> Answer:
    """Say what is there and what is not: ground, leave, parking, home, sets, heights, the person's own word.

    Returns
    -------
    Answer
        One entry for each step, with whether it is done and what is on record.
    """
    line = space.line()
    steps = [
        _step("parcel", bool(line.parcels), count(len(line.parcels), "parcel")),
        _leave(line),
        _step("parking", bool(line.parkings), count(len(line.parkings), "parking")),
        _step("home", space.settings.home is not None, ""),
        _step(
            "set-made",
            bool(line.in_field),
            count(len(line.in_field), "set in the field", "sets in the field"),
        ),
        _heights(space),
        _word(space),
    ]
    lines = [f"[{'x' if one['done'] else ' '}] {one['step']} {one['said']}".rstrip() for one in steps]
    return Answer("\n".join(lines), {"steps": steps, "done": all(one["done"] for one in steps)})


def _step(name: str, done: bool, said: str) -> dict[str, Any]:  # noqa: FBT001 - read as a row
    return {"step": name, "done": done, "said": said}


def _leave(line: LineState) -> dict[str, Any]:
    without = [parcel.name for parcel in line.parcels.values() if not parcel.permissions]
    said = f"no leave on record: {', '.join(without)}" if without else ""
    return _step("permission", bool(line.parcels) and not without, said)


def _heights(space: Workspace) -> dict[str, Any]:
    with space.store() as store:
        models = [source.file_name for source in store.sources() if source.format == ELEVATION]
    return _step("heights", bool(models), ", ".join(models))


def _word(space: Workspace) -> dict[str, Any]:
    """Say whether every profile in use has the person's word for today."""
    day = local_day(space.now, space.settings.zone)
    named = space.settings.profiles
    words = {name: space.settings.word_on(name) for name in named}
    open_ = [name for name, word in words.items() if word is None or not word.confirmed <= day <= word.until]
    said = f"not confirmed: {', '.join(open_)}" if open_ else "" if named else "no rule profile is chosen"
    return _step("confirm", bool(named) and not open_, said)
