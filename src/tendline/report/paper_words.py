"""Owns how papers put a set, a device, a leave and a place into words; what is not recorded is said so.

Does not own which of them stand on which paper.
"""

from collections.abc import Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from tendline.core.line import Device, HeightSeen, Parcel, Permission, SetStanding, SetState, Told
from tendline.core.place import LonLat
from tendline.core.units import KILOGRAMS_PER_POUND, NEWTONS_PER_POUND, Units, format_distance, format_small
from tendline.report.say import plain

UNKNOWN = "not recorded"
PACE_M = 0.762
"""One pace, one step of 2 1/2 ft [m]; common practice, no source. Papers say so where they count in it."""

_POINTS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")


def spoken(word: str) -> str:
    """Write a word of the record as it is said: ``nontarget-released`` is ``non-target released``."""
    return word.replace("-", " ").replace("nontarget", "non-target")


def degrees_text(place: LonLat) -> str:
    """Write a place for a receiver: latitude first, as receivers show it, to about a metre."""
    north, east = "N" if place.lat >= 0 else "S", "E" if place.lon >= 0 else "W"
    return f"{abs(place.lat):.5f} {north}, {abs(place.lon):.5f} {east}"


def way_text(metres: float, bearing_deg: float, units: Units) -> str:
    """Write how far and which way: ``120 m, 157 paces, bearing 045 (NE)``."""
    degrees = round(bearing_deg) % 360
    point = _POINTS[round(degrees / 45) % 8]
    return (
        f"{format_distance(metres, units)}, {round(metres / PACE_M)} paces, bearing {degrees:03d} ({point})"
    )


def day_text(day: date | None) -> str:
    """Write a day as on a form; empty when there is none."""
    return f"{day.day} {day:%b %Y}" if day is not None else ""


def when_text(instant: datetime | None, zone: ZoneInfo) -> str:
    """Write an instant with its date; says when there is none."""
    if instant is None:
        return "no record"
    local = instant.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b %Y %H:%M}"


def yes_no(value: bool | None) -> str:  # noqa: FBT001 - the value is what is worded
    """Write yes, no, or that nobody has said."""
    return UNKNOWN if value is None else "yes" if value else "no"


def leave_text(parcel: Parcel, day: date) -> str:
    """Say what the newest leave on record for a parcel covers on `day`; never more than is written there."""
    leave = newest_leave(parcel)
    if leave is None:
        return "no leave on record"
    span = f"{day_text(leave.first) or 'not said'} to {day_text(leave.last) or 'not said'}"
    how = ", in writing" if leave.written else ", not in writing" if leave.written is False else ""
    given = f" by {plain(leave.given_by)}" if leave.given_by else ""
    return f"{span}{given}{how}{_standing(leave, day)}"


def newest_leave(parcel: Parcel) -> Permission | None:
    """Give the leave told last; None when there is none."""
    return parcel.permissions[-1] if parcel.permissions else None


def _standing(leave: Permission, day: date) -> str:
    if leave.told.get("withdrawn") and date.fromisoformat(leave.told["withdrawn"]) <= day:
        return "; WITHDRAWN"
    if leave.last is not None and leave.last < day:
        return "; HAS RUN OUT"
    return "; NOT YET" if leave.first is not None and leave.first > day else ""


def height_text(seen: HeightSeen | None, units: Units) -> str:
    """Write a height as measured: how much, over what."""
    if seen is None:
        return "not measured since it was last hung"
    over = f" over {spoken(seen.surface.value)}" if seen.surface is not None else ""
    return f"{format_small(seen.metres, units)}{over}"


def loop_text(one: SetState, units: Units) -> str:
    """Write how wide the loop is and how high it hangs."""
    wide = format_small(one.loop_m, units) if one.loop_m is not None else UNKNOWN
    return f"loop {wide}; bottom {height_text(one.bottom, units)}; top {height_text(one.top, units)}"


def anchor_text(told: Told, units: Units) -> str:
    """Write what holds the device, as last noted."""
    kind = spoken(str(told.get("anchor_kind", ""))) or UNKNOWN
    more = told.get("extension_m")
    if more is None:
        return f"{kind}; extension {UNKNOWN}"
    return f"{kind}; {f'extension {format_small(more, units)}' if more > 0 else 'no extension'}"


def clear_text(told: Told, units: Units) -> str:
    """Write what stands within reach of the device."""
    if told.get("obstacle_m") is not None:
        what = plain(str(told.get("obstacle_kind", "something")))
        return f"{what} at {format_small(told['obstacle_m'], units)} from the anchor"
    return {True: "looked at and clear", False: "NOT clear"}.get(told.get("reach_clear"), UNKNOWN)  # type: ignore[arg-type]


def standing_text(one: SetState) -> str:
    """Say how a set stands: working, closed, or searched for and not found."""
    word = {SetStanding.WORKING: "WORKING", SetStanding.UNSET: "closed (unset)"}.get(
        one.standing, one.standing.value
    )
    return f"{word}, NOT FOUND when last looked for" if one.not_found_since is not None else word


_BUILD = (
    ("cable_diameter_m", "cable"),
    ("construction", "laid"),
    ("cable_whole_m", "cable, end to end"),
    ("cable_length_m", "anchor end to lock"),
    ("loop_m", "largest loop"),
    ("loop_min_m", "stop closes to"),
    ("has_stop", "stop"),
    ("lock", "lock"),
    ("relaxing_lock", "lock lets go"),
    ("lock_moving_parts", "lock has moving parts"),
    ("breakaway_n", "breakaway"),
    ("breakaway_at", "breakaway sits at"),
    ("swivels", "swivels"),
    ("swivel_at", "swivels at"),
    ("tag_says", "tag says"),
    ("tag_material", "tag of"),
    ("finish", "finish"),
)


def build_pairs(device: Device | None, units: Units) -> tuple[tuple[str, str], ...]:
    """Give how a device is built, label by label; what nobody has recorded is said so."""
    build: Told = device.build if device is not None else {}
    return tuple((label, _value(name, build.get(name), units)) for name, label in _BUILD)


def _value(name: str, value: object, units: Units) -> str:
    if value is None:
        return UNKNOWN
    if isinstance(value, bool):
        return yes_no(value)
    if isinstance(value, list):
        return ", ".join(spoken(str(each)) for each in value)
    if name.endswith("_m") and isinstance(value, int | float):
        return fine_text(float(value), units)
    if name.endswith("_n") and isinstance(value, int | float):
        return force_text(float(value), units)
    return plain(str(value))


def fine_text(metres: float, units: Units) -> str:
    """Write a length that may be as thin as a cable: 32nds of an inch or tenths of a millimetre below one."""
    if metres >= 0.0254:
        return format_small(metres, units)
    if units is Units.METRIC:
        return f"{metres * 1000:.1f} mm"
    parts = metres / 0.0254 * 32
    return f"{round(parts)}/32 in" if abs(parts - round(parts)) < 0.02 else f"{metres / 0.0254:.3f} in"


def force_text(newtons: float, units: Units) -> str:
    """Write a load: pounds, or newtons."""
    return f"{newtons / NEWTONS_PER_POUND:.0f} lb" if units is Units.US else f"{newtons:.0f} N"


def mass_text(kilograms: float, units: Units) -> str:
    """Write a weight: pounds, or kilograms."""
    return f"{kilograms / KILOGRAMS_PER_POUND:.1f} lb" if units is Units.US else f"{kilograms:.1f} kg"


def listed(words: Sequence[str]) -> str:
    """Join words with commas; says when there are none."""
    return ", ".join(plain(word) for word in words) or "none"
