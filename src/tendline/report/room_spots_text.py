"""Owns the choice among spots as text for a terminal: which to set, which not and why.

Does not own the choice (`plan.room_spots`).
"""

from tendline.core.units import format_distance, format_minutes
from tendline.plan.itinerary import RoundPlan
from tendline.plan.room_nouns import SpotChoice, SpotLeft
from tendline.report.room_nouns import RoomFacts, SpotsTold
from tendline.report.say import clock, count, plain
from tendline.report.table import Column, draw_table, fold

NOT_JUDGED = (
    "A spot is no set and was not judged: distances, heights and leave are for tendline lawful once it is "
    "made."
)
_FEW = 3


def spots_lines(facts: RoomFacts, width: int) -> list[str]:
    """Write which spots to set.

    Parameters
    ----------
    width
        Widest line [characters], 20 or more.
    """
    told = facts.spots
    assert told is not None
    if not told.choice.chosen and not told.choice.left:
        return fold("SPOTS: there is none to choose from.", width)
    lines = fold(plain(f"SPOTS: {_answer(told)}"), width)
    if told.choice.chosen:
        lines += _chosen(told, width)
    if told.snow is not None:
        lines += fold(plain(_snow(told, told.snow)), width)
    if told.choice.left:
        lines += ["", *_left(told, width)]
    lines += ["", *[part for line in _basis(told, facts) for part in fold(plain(line), width)]]
    return lines


def _answer(told: SpotsTold) -> str:
    choice = told.choice
    total = len(choice.chosen) + len(choice.left)
    if not choice.chosen:
        return f"none of {total} can be set beside what stands."
    sure = (
        "no other choice is worth more (proved)"
        if choice.best
        else f"none is worth more than {choice.bound:.2f} (proved); more --seconds may find better"
    )
    return (
        f"set {len(choice.chosen)} of {total}: {choice.value:.2f} catches to be expected in "
        f"{told.nights:g} nights beyond those of what stands; {sure}."
    )


def _chosen(told: SpotsTold, width: int) -> list[str]:
    columns = [
        Column("set"),
        Column("on", wrap=True),
        Column("for"),
        Column("per 100 nights", right=True),
        Column("adds", right=True),
        Column("mind", wrap=True),
    ]
    rows = []
    for one in told.choice.chosen:
        spot = told.spots[one.name]
        rows.append(
            [
                one.name,
                spot.parcel or "no parcel",
                spot.species,
                f"{100 * spot.per_night:g}",
                f"{one.adds:.2f}",
                spot.note,
            ]
        )
    return draw_table(columns, rows, width=width).split("\n")


def _snow(told: SpotsTold, snow: SpotChoice) -> str:
    """Say which spots to set so that a morning after snow still keeps every limit."""
    names = [one.name for one in snow.chosen]
    if not names:
        return "On a morning after snow none of them can be tended beside what stands."
    if set(names) == {one.name for one in told.choice.chosen}:
        return "A morning after snow holds the same spots."
    sure = "" if snow.best else "; more --seconds may find better"
    return (
        f"A morning after snow holds {', '.join(names)}: {snow.value:.2f} catches to be expected{sure}. "
        "Set these if every limit is to hold after snow as well."
    )


def _left(told: SpotsTold, width: int) -> list[str]:
    columns = [
        Column("left out"),
        Column("would add", right=True),
        Column("why", wrap=True),
        Column("same animals as", wrap=True),
    ]
    rows = [
        [one.name, "" if one.adds is None else f"{one.adds:.2f}", one.why, _shares(one)]
        for one in told.choice.left
    ]
    return draw_table(columns, rows, width=width).split("\n")


def _shares(one: SpotLeft) -> str:
    names = one.shares
    return (
        ", ".join(names) if len(names) <= _FEW else f"{', '.join(names[:_FEW])} and {len(names) - _FEW} more"
    )


def _basis(told: SpotsTold, facts: RoomFacts) -> list[str]:
    lines = []
    if told.choice.chosen and isinstance(told.choice.plan, RoundPlan):
        plan, zone = told.choice.plan, facts.zone
        chosen = {one.name for one in told.choice.chosen}
        stops = [
            f"{stop.parking}: "
            + " ".join(f"+{v.set_name}" if v.set_name in chosen else v.set_name for v in stop.visits)
            for stop in plan.stops
        ]
        lines.append(
            f"The round with them is back {clock(plan.back, zone)}, every limit kept (+ is new): "
            f"{'; '.join(stops)}."
        )
    if told.making_s:
        each = format_minutes(told.making_s)
        lines.append(f"Making one is taken at {each} (--making), which this outing must hold.")
    else:
        lines.append(
            f"Tending {count(len(told.choice.chosen), 'more set')} is counted; making them comes on top."
        )
    for species, roams in told.roams:
        radius = format_distance(roams.radius_m, facts.units)
        lines.append(
            f"{species}: an animal is taken to range {radius} about some place unknown, {roams.animals:g} "
            "to the same ground, and is caught once: spots that share it count for less. "
            f"{roams.source[:1].upper()}{roams.source[1:]}."
        )
    lines.append(NOT_JUDGED)
    return lines
