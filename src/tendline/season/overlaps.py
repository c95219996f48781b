"""Owns the rule that one device is in one place: where the record has it in two, no night counts twice.

Does not own the walk that makes the stretches (`walk`).
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

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
        for i, j in _crossing(stretches, sorted(places, key=lambda k: stretches[k].start)):
            one, later = stretches[i], stretches[j]
            if one.nights + one.outside > 0:
                faults.setdefault((tag, one.set_name, later.set_name), _fault(tag, one, later))
                out[i] = replace(one, nights=0.0, outside=0.0)
    return out, list(faults.values())


def _crossing(stretches: Sequence[Stretch], places: Sequence[int]) -> list[tuple[int, int]]:
    """Find stretches of one device that cross at two sets: the one to be withheld first, then the other."""
    came = _came(stretches, places)
    pairs: list[tuple[int, int]] = []
    for n, i in enumerate(places):
        for j in places[n + 1 :]:
            if stretches[j].start >= stretches[i].end:
                break
            if stretches[i].set_name != stretches[j].set_name and stretches[i].start < stretches[j].end:
                pairs.append((i, j) if came[i] <= came[j] else (j, i))
    return pairs


def _came(stretches: Sequence[Stretch], places: Sequence[int]) -> dict[int, datetime]:
    """Give, for each stretch, when the device came to its set without having left it since."""
    came: dict[int, datetime] = {}
    last: dict[str, int] = {}
    for i in places:
        one = stretches[i]
        before = last.get(one.set_name)
        stayed = before is not None and stretches[before].end == one.start
        came[i] = came[before] if stayed and before is not None else one.start
        last[one.set_name] = i
    return came


def _fault(tag: str, one: Stretch, later: Stretch) -> Fault:
    what = f"device {tag} is at set {one.set_name} and at set {later.set_name} at once."
    do = f"Its nights at {one.set_name} are not counted from there; note when it was taken up."
    return Fault(DEVICE_TWICE, what, f"event {one.event}", do)
