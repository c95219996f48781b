"""Owns whether a device, its loop and its tag meet what the law asks of them.

Does not own numbers against bounds (`rules.meet_measures`) or putting needs together (`rules.meet`).
"""

import math

from tendline.rules.facts import Datum, DeviceFacts, Facts, LoopSize, Measure, PartAt, Tag
from tendline.rules.facts_ask import measure_of
from tendline.rules.meet_measures import inside
from tendline.rules.needs import Bounds, HeightNeed, LengthNeed, MeasureNeed, PartNeed, TagNeed
from tendline.rules.nouns import Across
from tendline.rules.outcome import Outcome, all_of, no, unknown, yes
from tendline.rules.quantities import written

_NAMES = {
    "loop-open": "the loop, open,",
    "loop-now": "the loop, as it is left,",
    "stop": "the loop, closed to its stop,",
    "cable-diameter": "the cable's diameter",
    "extension": "the extension",
    "breakaway": "the load at which the breakaway parts",
    "reach": "the reach",
    "stem-clear": "the height to which the stem is clear",
}


def meet_measure(need: MeasureNeed, facts: Facts) -> Outcome:
    """Ask one measured value; a loop is converted between round and across exactly, and both are shown."""
    found, name = measure_of(facts, need.measure), _NAMES[need.measure]
    if found is None:
        return unknown(f"measure {name.rstrip(',')}", f"{name.rstrip(',')} is not recorded")
    if isinstance(found, Measure):
        return inside(found, need.bounds, name)
    measure, note = _loop_as(found, need)
    how = "round" if need.across is Across.CIRCUMFERENCE else "across"
    return inside(measure, need.bounds, f"{name} measured {how},", note=note)


def _loop_as(loop: LoopSize, need: MeasureNeed) -> tuple[Measure, str]:
    if loop.across is need.across:
        return loop.measure, ""
    to_round = need.across is Across.CIRCUMFERENCE
    factor = math.pi if to_round else 1.0 / math.pi
    unit = _unit(need.bounds)
    as_told = written(loop.measure.value, unit)
    return loop.measure.scaled(factor), f" (recorded {as_told} {'across' if to_round else 'round'})"


def _unit(bounds: Bounds) -> str:
    found = bounds.at_most or bounds.at_least or bounds.less_than or bounds.more_than
    assert found is not None
    return found.unit


def meet_height(need: HeightNeed, facts: Facts) -> Outcome:
    """Ask the height of the loop above the surface that the law measures from."""
    held = facts.set
    if held is None:
        return unknown("record the set", "no set is recorded")
    if need.above_on_snow is not None and held.snow_at_set is None:
        ends = [_height_above(need, facts, datum) for datum in (need.above, need.above_on_snow)]
        if ends[0].met is ends[1].met:
            return ends[0]
        return unknown("record whether there is snow under the set", "the law measures otherwise on snow")
    on_snow = need.above_on_snow if held.snow_at_set else None
    return _height_above(need, facts, on_snow or need.above)


def _height_above(need: HeightNeed, facts: Facts, datum: Datum) -> Outcome:
    assert facts.set is not None
    found = (facts.set.bottom if need.height == "bottom" else facts.set.top).get(datum)
    what = f"the {need.height} of the loop above {_SURFACES[datum]}"
    if found is None:
        return unknown(f"measure again: {what}", f"{what} is not known")
    return inside(found, need.bounds, what)


_SURFACES = {
    Datum.GROUND: "the ground",
    Datum.FIRST_HARD: "the first hard surface",
    Datum.PACKED_SNOW: "packed snow",
    Datum.FOOTPRINT: "the snow packed in a full-weight footprint",
    Datum.SNOW_SURFACE: "the snow surface",
}


def meet_length(need: LengthNeed, facts: Facts) -> Outcome:
    """Ask the length between two points, less what does not count."""
    device = facts.device
    first, second = need.ends
    what = f"the length from {first} to {second}"
    if device is None:
        return unknown("record the device", "no device is recorded")
    found = device.lengths.get((first, second)) or device.lengths.get((second, first))
    if found is None:
        return unknown(f"measure {what}", f"{what} is not recorded")
    if need.excluding:
        if device.extension is None:
            return unknown("measure the extension", "the extension does not count, and is not recorded")
        found = found.minus(device.extension)
        what += " without the extension"
    return inside(found, need.bounds, what)


def meet_part(need: PartNeed, facts: Facts) -> Outcome:
    """Ask number, places, lengths and freedom of parts of one kind."""
    parts = facts.device.parts.get(need.part) if facts.device is not None else None
    if parts is None:
        return unknown(
            f"record every {need.part} of the device", f"no {need.part} is recorded, nor that none is there"
        )
    outcomes: list[Outcome] = []
    said = f"{need.part}: {len(parts)}"
    if need.count_at_least is not None:
        limit = f"{said}; at least {need.count_at_least}"
        outcomes.append(yes(limit) if len(parts) >= need.count_at_least else no(limit))
    if need.count_at_most is not None:
        limit = f"{said}; at most {need.count_at_most}"
        outcomes.append(yes(limit) if len(parts) <= need.count_at_most else no(limit))
    outcomes += [_at(need, parts, str(point)) for point in need.one_at]
    if need.each_at_most is not None:
        bounds = Bounds(at_most=need.each_at_most)
        outcomes += [
            unknown(f"measure the {need.part}", f"the length of a {need.part} is not recorded")
            if part.length is None
            else inside(part.length, bounds, f"the {need.part}")
            for part in parts
        ]
    if need.free:
        outcomes += [_free(need, part) for part in parts]
    return all_of(outcomes)


def _at(need: PartNeed, parts: tuple[PartAt, ...], point: str) -> Outcome:
    if any(part.at == point for part in parts):
        return yes(f"a {need.part} sits at the {point}")
    if any(part.at is None for part in parts):
        return unknown(
            f"record where each {need.part} sits",
            f"it is not recorded that a {need.part} sits at the {point}",
        )
    return no(f"no {need.part} sits at the {point}")


def _free(need: PartNeed, part: PartAt) -> Outcome:
    if part.free is None:
        return unknown(
            f"try whether the {need.part} works freely",
            f"whether the {need.part} works freely is not recorded",
        )
    return yes() if part.free else no(f"a {need.part} does not work freely")


def meet_tag(need: TagNeed, facts: Facts) -> Outcome:
    """Ask what stands on the tag, and of what it is."""
    device: DeviceFacts | None = facts.device
    if device is None or device.tag is None:
        return unknown("record what stands on the tag", "no tag is recorded, nor that it has none")
    tag = device.tag
    ways = [" and ".join(words) for words in need.contents]
    content = f"the tag carries {', '.join(sorted(tag.contents)) or 'nothing'}; wanted: {'; or '.join(ways)}"
    fine = any(tag.contents >= set(words) for words in need.contents)
    return all_of([yes(content) if fine else no(content), *_making(need, tag)])


def _making(need: TagNeed, tag: Tag) -> list[Outcome]:
    outcomes: list[Outcome] = []
    if tag.attached is False:
        outcomes.append(no("the tag is not on the device"))
    if need.material:
        allowed = f"the tag is of {tag.material}; wanted: {' or '.join(need.material)}"
        if not tag.material:
            outcomes.append(
                unknown("record what the tag is made of", "what the tag is made of is not recorded")
            )
        else:
            outcomes.append(yes() if tag.material in need.material else no(allowed))
    wants = [("ferrous", tag.ferrous, need.ferrous), ("durable", tag.durable, need.durable or None)]
    for word, found, wanted in wants:
        if wanted is None:
            continue
        if found is None:
            outcomes.append(
                unknown(f"record whether the tag is {word}", f"whether the tag is {word} is not recorded")
            )
        elif found is not wanted:
            outcomes.append(no(f"the tag is {'' if found else 'not '}{word}"))
    return outcomes
