"""Owns the rule that one device is in one place: where the record has it in two, no night counts twice.

Does not own the walk that makes the stretches (`walk`).
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from tendline.core.errors import Fault
from tendline.season.faults import DEVICE_TWICE
from tendline.season.stretches import Stretch


def one_place_at_a_time(stretches: Sequence[Stretch]) -> tuple[list[Stretch], list[Fault]]:
    """Withhold the nights of a stretch while its device is on record elsewhere.

    The set to which the device came later keeps its nights; the other counts up to its last look before.

    Returns
    -------
    tuple
        Every stretch, those withheld without nights; one fault for each pair of sets.
    """
    by_tag: dict[str, list[int]] = defaultdict(list)
    for i, one in enumerate(stretches):
        if one.tag is not None:
            by_tag[one.tag].append(i)
    out = list(stretches)
    faults: dict[tuple[str, str, str], Fault] = {}
    for tag, places in by_tag.items():
        if len({stretches[i].set_name for i in places}) < 2:
            continue
        came = _came(stretches, places)
        for i in places:
            one = stretches[i]
            later = _elsewhere(stretches, places, one, came)
            if later is not None and one.nights + one.outside > 0:
                key = (tag, one.set_name, later.set_name)
                faults.setdefault(key, _fault(tag, one, later))
                out[i] = replace(one, nights=0.0, outside=0.0)
    return out, list(faults.values())


def _came(stretches: Sequence[Stretch], places: Sequence[int]) -> dict[str, float]:
    """Give when the device first came to each set."""
    came: dict[str, float] = {}
    for i in places:
        one = stretches[i]
        came[one.set_name] = min(came.get(one.set_name, one.start.timestamp()), one.start.timestamp())
    return came


def _elsewhere(
    stretches: Sequence[Stretch], places: Sequence[int], one: Stretch, came: dict[str, float]
) -> Stretch | None:
    for j in places:
        other = stretches[j]
        crosses = other.start < one.end and one.start < other.end
        if other.set_name != one.set_name and crosses and came[other.set_name] >= came[one.set_name]:
            return other
    return None


def _fault(tag: str, one: Stretch, later: Stretch) -> Fault:
    what = f"device {tag} is at set {one.set_name} and at set {later.set_name} at once."
    do = f"Its nights at {one.set_name} are not counted from there; note when it was taken up."
    return Fault(DEVICE_TWICE, what, f"event {one.event}", do)
