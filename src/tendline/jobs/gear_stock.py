"""Owns the stock that parts are counted against: as on record, as said for one call; cutting from rolls.

Does not own the ledger (`logbook.stock`), the counting (`gear.parts`) or the cutting (`plan.cutting`).
"""

import math
from collections import Counter
from collections.abc import Sequence

from tendline.core.errors import FaultList, Refused
from tendline.core.line import DeviceState, PartStock
from tendline.core.units import Units, parse_length
from tendline.gear.faults import FIGURE
from tendline.jobs.answer import Answer
from tendline.jobs.workspace import Workspace
from tendline.plan.cutting import CutList, Piece, Stock, cut_list
from tendline.plan.faults import CUT_SHORT
from tendline.report.parts_text import UNIT_M
from tendline.report.stock_text import REBUILD, long_words, out_data, out_devices, stock_data

CABLE = "cable"


def stock_now(space: Workspace) -> Answer:
    """Give the loose parts on record, how many devices there are, and those that are out until rebuilt."""
    line, zone = space.line(), space.settings.zone
    states = Counter(device.state for device in line.devices.values() if not device.out)
    out = out_devices(line.devices.values())
    data = {
        "stock": stock_data(line.parts, zone),
        "devices": {"in_stock": states[DeviceState.STOCK], "in_field": states[DeviceState.FIELD]},
        "out_until_rebuilt": out_data(out, zone),
        "rebuild": REBUILD,
        "unbalanced": list(line.unbalanced),
    }
    return Answer("", data, bad_news=bool(line.unbalanced))


def stock_on_record(parts: Sequence[PartStock]) -> dict[str, int]:
    """Give what the record holds of parts counted by the piece, by name; never less than none."""
    return {part.name: max(0, part.count) for part in parts if part.length_m is None}


def stock_said(texts: Sequence[str], names: Sequence[str], faults: FaultList) -> dict[str, int]:
    """Read ``PART=COUNT``; each that cannot be read is noted as GEAR-105."""
    found = {}
    for text in texts:
        name, _, count = text.partition("=")
        if name.strip() not in names or not count.strip().isdigit():
            what = f"'{text}' is no stock of a part of this build."
            faults.add(FIGURE, what, "--have", f"Write PART=COUNT; parts: {', '.join(names)}.")
        else:
            found[name.strip()] = int(count)
    return found


def rolls_on_record(parts: Sequence[PartStock], units: Units) -> list[tuple[str, float, int]]:
    """Give the rolls and offcuts of cable on record: name, length [m], how many."""
    return [
        (long_words(part.length_m, units), part.length_m, part.count)
        for part in parts
        if part.name == CABLE and part.length_m is not None and part.count > 0
    ]


def cut_from(
    rolls: Sequence[tuple[str, float, int]], pieces: Sequence[tuple[str, float, int]], *, kerf: str
) -> CutList:
    """Cut pieces from rolls.

    Parameters
    ----------
    rolls, pieces
        Name, length [m] and count of each.
    kerf
        Lost with each cut, as written.

    Raises
    ------
    Refused
        PLAN-181, PLAN-182, CORE-101.
    """
    # A piece is never cut short and a roll never counted long: one is rounded up, the other down.
    return cut_list(
        [Piece(name, _units(metres), count) for name, metres, count in pieces],
        [Stock(name, int(metres / UNIT_M + 1e-6), count) for name, metres, count in rolls],
        kerf=round(parse_length(kerf, where="--kerf") / UNIT_M),
    )


def cut_if_enough(
    rolls: Sequence[tuple[str, float, int]], pieces: Sequence[tuple[str, float, int]], *, kerf: str
) -> CutList | None:
    """Do the same; None where the rolls are not enough."""
    try:
        return cut_from(rolls, pieces, kerf=kerf)
    except Refused as problem:
        if all(fault.code == CUT_SHORT for fault in problem.faults):
            return None
        raise


def _units(metres: float) -> int:
    return math.ceil(metres / UNIT_M - 1e-6)


def several(texts: Sequence[str], where: str) -> list[tuple[str, float, int]]:
    """Read ``LENGTH`` or ``LENGTH*COUNT``: name, length [m] and count of each.

    Raises
    ------
    Refused
        GEAR-105, CORE-101; all together.
    """
    faults = FaultList()
    found = []
    for text in texts:
        length, star, count = text.partition("*")
        if star and not count.strip().isdigit():
            faults.add(FIGURE, f"'{text}' has no count behind its star.", where, "Write 1000ft*2.")
            continue
        try:
            metres = parse_length(length, where=where)
            found.append((length.strip(), metres, int(count) if star else 1))
        except Refused as problem:
            faults.extend(problem.faults)
    faults.refuse()
    return found
