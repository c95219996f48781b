"""Owns room as text for a terminal: the answer first, then places, what more costs, then the spots.

Does not own the counting (`plan.room_round`, `plan.room_weeks`) nor the same for programs
(`report.room_json`).
"""

from datetime import datetime, timedelta

from tendline.core.units import format_distance, format_minutes
from tendline.plan.room_nouns import DayRoom, Gives, Prices, Room
from tendline.report.room_nouns import RoomFacts
from tendline.report.room_spots_text import spots_lines
from tendline.report.say import INVENTED, clock, count, plain, stretch
from tendline.report.table import Column, draw_table, fold

CAUTION = (
    "Not legal advice: limits are those of the profile you confirmed, and how many devices the law lets you "
    "have out is not counted here (tendline lawful). A held animal comes before the clock."
)
_SEE = "tendline round and tendline weeks say which to go to, and what would help."
SUMS = (
    "Each place is counted by itself: two places do not add up. Time alone is counted, not what the ground "
    "can hold."
)


def room_text(facts: RoomFacts, *, width: int = 100) -> str:
    """Write room for a terminal.

    Parameters
    ----------
    width
        Widest line [characters], 20 or more.

    Raises
    ------
    Refused
        REP-103 for a width under 20.
    """
    head = [*([INVENTED, ""] if facts.invented else []), _headline(facts), ""]
    lines = _folded(head, width)
    for day in facts.days:
        lines += [*_day(day, facts, width), ""]
    lines += _folded(_basis(facts), width)
    if facts.spots is not None:
        lines += ["", *spots_lines(facts, width)]
    lines += [""]
    lines += _folded([*(f"Note: {sentence}." for sentence in facts.said), CAUTION], width)
    return "\n".join(lines)


def _folded(lines: list[str], width: int) -> list[str]:
    return [part for line in lines for part in (fold(plain(line), width) if line else [""])]


def _headline(facts: RoomFacts) -> str:
    words = "; ".join(f"{day.day}: {_short(day)}" for day in facts.days)
    return f"{facts.line}, {_when(facts)}. {words[:1].upper()}{words[1:]}."


def _when(facts: RoomFacts) -> str:
    zone, span = facts.zone, facts.span
    first = _day_of(span.start, facts)
    if facts.outing:
        return f"{first} {clock(span.start, zone)} to {clock(span.end, zone)}"
    last = _day_of(span.end - timedelta(seconds=1), facts)
    return f"{first} to {last}, {count(facts.windows, 'window')}"


def _day_of(instant: datetime, facts: RoomFacts) -> str:
    local = instant.astimezone(facts.zone)
    return f"{local:%a} {local.day} {local:%b}"


def _short(day: DayRoom) -> str:
    if not day.fits:
        lacking = f", {format_minutes(day.lacking_s)} lacking at least" if day.lacking_s >= 30 else ""
        return f"NO ROOM, what stands now does not fit{lacking}" + ("" if day.proved else " (not proved)")
    walked = [room.more for room in day.rooms if not room.site.is_new]
    if not walked:
        return f"room for {max((room.more for room in day.rooms), default=0)} on new ground"
    most = max(walked)
    if most == 0:
        return "room for none more on ground you walk already"
    least = min(walked)
    return f"room for {most} more" + ("" if least == most else f" at the best place, {least} at the worst")


def _day(day: DayRoom, facts: RoomFacts, width: int) -> list[str]:
    lines = [f"{day.day.upper()}{_stands(day, facts)}"]
    if day.own_fits is False:
        first = f" ({day.own_first} first)" if day.own_first else ""
        lines.append(
            f"Your own limit of {_own(facts)} cannot be kept even now{first}: room is counted within the law."
        )
    lines = _folded(lines, width)
    if day.rooms:
        lines += draw_table(_columns(day), [_row(room, day) for room in day.rooms], width=width).split("\n")
    return [*lines, *_folded([_prices(day.prices)], width)]


def _own(facts: RoomFacts) -> str:
    return "your own limits" if facts.own_hours is None else f"{facts.own_hours:g} h"


def _stands(day: DayRoom, facts: RoomFacts) -> str:
    snow = "" if facts.outing or day is facts.days[0] else ", as if it had snowed before every outing"
    if not day.fits:
        proved = "proved" if day.proved else "no way was found in the time given"
        out = f"At least {count(day.too_many, 'set')} would not be looked at. " if day.too_many else ""
        return f"{snow}: what stands now does NOT fit ({proved}). {out}{_SEE}"
    if day.spare_s is not None:
        return f"{snow}: what must be looked at now is done with {stretch(max(0.0, day.spare_s))} to spare."
    return f"{snow}: what stands now ({count(facts.stands, 'set')}) is tended, every limit kept."


def _columns(day: DayRoom) -> list[Column]:
    own = [Column("in your own limit", right=True)] if day.own_fits else []
    return [
        Column("where", wrap=True),
        Column("stand", right=True),
        Column("room for", right=True),
        *own,
        Column("one more", wrap=True),
        Column("gives way first", wrap=True),
    ]


def _row(room: Room, day: DayRoom) -> list[str]:
    own = [] if not day.own_fits else ["" if room.own_more is None else str(room.own_more)]
    title = room.site.title
    where = f"{title} ({room.site.name})" if title and title != room.site.name else room.site.name
    return [
        where,
        str(len(room.site.sets)),
        str(room.more),
        *own,
        _one_more(room),
        _gives(room, day),
    ]


def _one_more(room: Room) -> str:
    if room.exact:
        return "proved too many"
    return "no way found" if room.most is None else f"no way found; over {room.most} proved too many"


def _gives(room: Room, day: DayRoom) -> str:
    words = []
    if day.own_fits and room.own_more is not None and room.own_more < room.more:
        words.append(f"{Gives.OWN.value}, at {room.own_more + 1}")
    if room.gives is not None:
        whose = "" if not room.first else f" of {room.first}"
        if room.first and day.spare_s is None:  # over several outings no limit gives way by itself
            whose = f", least time in hand at {room.first}"
        words.append(f"{room.gives.value}{whose}")
    return "; then ".join(words) or "time was up"


def _prices(prices: Prices) -> str:
    ten, new = format_minutes(prices.ten_s), format_minutes(prices.ground_s)
    parts = (
        f"drive {format_minutes(prices.drive_s)}, parking {format_minutes(prices.park_s)}, "
        f"walk {format_minutes(prices.walk_s)}"
    )
    return (
        f"Ten more on ground walked already: {ten} ({prices.each_s / 60:.1f} min each). "
        f"One new property: {new} before a set is looked at ({parts})."
    )


def _basis(facts: RoomFacts) -> list[str]:
    aside = format_distance(facts.aside_m, facts.units)
    if facts.catches is None:
        kept = "catches counted in the mean, which hides that one comes all at once"
    else:
        each = format_minutes(facts.time.catch_s)
        kept = f"time kept for {count(facts.catches, 'catch', 'catches')} of {each}, wherever they come"
    words = (
        f"{SUMS} One more set stands {aside} beside the walk; looks and repairs as in line.toml; {kept}. "
        "After snow: walking at two thirds of the speed on bare ground, 8 sets in 10 in need of 4 min "
        "(common practice, no source)."
    )
    return [words]
