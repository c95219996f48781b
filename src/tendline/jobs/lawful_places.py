"""Owns what is told beside the law of where a set stands: on its parcel or not, what an animal can reach.

Does not own the chances (`almanac.position`) or the circle (`almanac.reach`).
"""

from collections.abc import Sequence

from tendline.almanac.entangle import stick_faults, woody_counts
from tendline.almanac.position import Side
from tendline.core.errors import refuse
from tendline.core.line import LineState, SetState
from tendline.core.units import METRES_PER_YARD, Units, format_distance
from tendline.core.when import local_day
from tendline.jobs.faults import CANNOT_WRITE
from tendline.jobs.files import write_whole
from tendline.jobs.law_near import OnParcel
from tendline.jobs.law_set import reach_picture
from tendline.jobs.lawful_facts import LawCase
from tendline.jobs.workspace import PAPERS, Workspace
from tendline.report.lawful_text import Judged
from tendline.report.reach_drawing import reach_svg, reach_text
from tendline.rules.finding import Finding, Holds, Shown
from tendline.rules.nouns import Subject

POSITION = "position"
"""What stands in the place of a profile, for an answer that comes from the map and not from a law."""

_HOLDS = {Side.RIGHT: Holds.PASS, Side.WRONG: Holds.FAIL, Side.TOO_CLOSE: Holds.CLOSE}


def stands_on(space: Workspace, case: LawCase) -> list[Judged]:
    """Say whether a set stands on the parcel it is noted on, with the error of its position."""
    where = case.on_parcel
    if where is None:
        return []
    day = local_day(space.now, space.settings.zone)
    found = Finding(
        rule="on-parcel",
        topic="place",
        kinds=(),
        subject=Subject.SET,
        name=case.name,
        holds=_HOLDS[where.side],
        verified=where.side is Side.RIGHT and not where.assumed,
        words="The set stands on the parcel it is noted on.",
        day=day,
        shown=_shown(where, space.settings.units),
        probability=where.chance,
        said=_said(where, space.settings.units),
        confirm=("measure the place again, or ask the owners",) if where.side is not Side.RIGHT else (),
    )
    return [Judged(POSITION, found)]


def _shown(where: OnParcel, units: Units) -> Shown:
    us = units is Units.US
    margin = where.inside_m / METRES_PER_YARD if us else where.inside_m
    side = "inside" if where.inside_m >= 0 else "outside"
    words = f"{format_distance(abs(where.inside_m), units)} {side} {where.parcel}"
    low, high = where.inside_m - where.accuracy_m, where.inside_m + where.accuracy_m
    return Shown(where.inside_m, low, high, "yd" if us else "m", words, "the edge", margin)


def _said(where: OnParcel, units: Units) -> tuple[str, ...]:
    accuracy = format_distance(where.accuracy_m, units)
    if where.assumed:
        return (f"nobody noted how well it was measured; {accuracy} is taken",)
    return (f"measured to {accuracy}",)


def _trade_words(one: SetState) -> list[str]:
    """Say what the trade holds of stems and sticks; the law may hold any object against it."""
    told, lines = one.told, []
    if "obstacle_thick_m" in told:
        counts = woody_counts(told["obstacle_thick_m"])
        word = "counts" if counts else "does not count"
        lines.append(f"By common practice that stem {word} as an entanglement; the law may count any object.")
    if told.get("stick"):
        faults = stick_faults(
            thick_m=told.get("stick_thick_m"), dead=told.get("stick_dead"), driven=told.get("stick_driven")
        )
        lines += [f"Stick at the loop, by common practice: {fault}." for fault in faults]
    return lines


def reach_words(space: Workspace, line: LineState, names: Sequence[str], *, draw: bool) -> list[str]:
    """Tell how far a held animal reaches at the sets named; with `draw`, write a drawing for each.

    Raises
    ------
    Refused
        JOB-104 when a drawing cannot be written.
    """
    lines: list[str] = []
    for name in names:
        one = next((s for s in line.in_field if s.name.lower() == name.lower()), None)
        if one is None:
            continue
        picture = reach_picture(one, line.devices.get(one.tag or ""))
        if picture is None:
            lines.append(
                f"Set {one.name}: how far a held animal reaches is not known: note the cable's length."
            )
            continue
        lines += [reach_text(picture, space.settings.units), *_trade_words(one)]
        if draw:
            path = space.folder / PAPERS / f"reach-{one.name}.svg"
            try:
                write_whole(path, reach_svg(picture, space.settings.units).encode())
            except OSError as problem:
                do = "Free some space and do it again."
                raise refuse(CANNOT_WRITE, f"{problem.strerror}.", str(path), do) from problem
            lines.append(f"Drawn: {path}")
    return lines
