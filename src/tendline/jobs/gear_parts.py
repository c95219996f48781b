"""Owns the job `tendline gear parts`: parts for the season and today, what to order, the cut list, the load.

Does not own the chances (`gear.chances`), the counting (`gear.parts`) or the cutting (`plan.cutting`).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tendline.core.errors import FaultList, Refused
from tendline.core.line import Device, DeviceState, LineState, SetState
from tendline.core.units import parse_length
from tendline.core.words import FoundAs, Happened
from tendline.gear.build import PartUsed, lay_out
from tendline.gear.faults import FIGURE
from tendline.gear.parts import CATCH_PRIOR, DAMAGE_PRIOR, PartNeed, Plan, pack_mass, parts_needed
from tendline.jobs.answer import Answer
from tendline.jobs.gear_file import BuildFile, read_build
from tendline.jobs.workspace import Workspace
from tendline.plan.cutting import CutList, Piece, Stock, cut_list
from tendline.report.parts_text import UNIT_M, Ledger, PartsTold, parts_document, parts_words

NIGHTS = 60.0
"""Nights of a season still to come where the person does not say (our own choice)."""

SPOILT = (FoundAs.BROKEN, FoundAs.GONE, FoundAs.TAMPERED)
SPOILT_BY = (Happened.BROKE_AWAY, Happened.CHEWED_OUT)
_MOST = 100_000


@dataclass(frozen=True)
class PartsAsked:
    """What was asked, as written."""

    devices: int | None = None
    nights: float | None = None
    risk: float = 0.05
    have: tuple[str, ...] = ()
    rolls: tuple[str, ...] = ()
    cut: int | None = None
    pieces: tuple[str, ...] = ()
    kerf: str = "0mm"


def gear_parts(space: Workspace, file: str, asked: PartsAsked) -> Answer:
    """Count parts, and cut cable.

    Parameters
    ----------
    space
        The opened line: its devices, catches and looks.
    file
        The build, as for `gear_build`.
    asked
        Counts and stock as written.

    Returns
    -------
    Answer
        Bad news when something must be ordered.

    Raises
    ------
    Refused
        GEAR-101 to 107, PLAN-181, PLAN-182, CORE-101.
    """
    read, line = read_build(Path(file)), space.line()
    lay_out(read.build)
    have = _read_stock(asked, read)
    ledger, plan = _ledger(line), _plan(line, asked)
    parts = (_cable(read), *read.build.parts)
    needs = parts_needed(parts, plan, have=have, ready=ledger.ready)
    cuts = _cut(read, asked, needs)
    told = PartsTold(read.build.name, plan, ledger, needs, *pack_mass(parts, needs), cuts)
    text, data = parts_words(told, space.settings.units), parts_document(told)
    return Answer(text, data, bad_news=any(need.order for need in needs))


def _cable(read: BuildFile) -> PartUsed:
    laid = lay_out(read.build)
    loose = sum(part.count * (part.mass_kg or 0.0) for part in read.build.parts)
    missing = "cable" in laid.mass.missing
    return PartUsed("cable", 1, None if missing else laid.mass.total - loose)


def _read_stock(asked: PartsAsked, read: BuildFile) -> dict[str, int]:
    names = ("cable", *(part.name for part in read.build.parts))
    faults, found = FaultList(), {}
    for text in asked.have:
        name, _, count = text.partition("=")
        if name.strip() not in names or not count.strip().isdigit():
            what = f"'{text}' is no stock of a part of this build."
            faults.add(FIGURE, what, "--have", f"Write PART=COUNT; parts: {', '.join(names)}.")
        else:
            found[name.strip()] = int(count)
    named = (("--devices", asked.devices), ("--nights", asked.nights), ("--cut", asked.cut))
    for option, value in named:
        if value is not None and not 0 <= value <= _MOST:
            faults.add(FIGURE, f"{value:g} cannot be.", option, f"Give a number from 0 to {_MOST}.")
    faults.refuse()
    return found


def _ledger(line: LineState) -> Ledger:
    """Count devices fit for use; one that held an animal since it was built is out until rebuilt."""
    held: dict[str, int] = {}
    for catch in line.catches:
        if catch.tag is not None:
            held[catch.tag] = held.get(catch.tag, 0) + 1
    kept = [d for d in line.devices.values() if d.state in (DeviceState.STOCK, DeviceState.FIELD)]
    out = sorted(d.tag for d in kept if d.tag in held or _unfit(d))
    stock = [d for d in kept if d.state is DeviceState.STOCK and d.tag not in out]
    field = [d for d in kept if d.state is DeviceState.FIELD and d.tag not in out]
    return Ledger(len(stock), len(field), tuple(out))


def _unfit(device: Device) -> bool:
    return device.build.get("good_order") is False


def _plan(line: LineState, asked: PartsAsked) -> Plan:
    sets = list(line.sets.values())
    nights = sum(_nights(one, line) for one in sets)
    spoilt = sum(look.found_as in SPOILT or look.happened in SPOILT_BY for one in sets for look in one.looks)
    since = [_since(one, line) for one in line.in_field]
    devices = asked.devices if asked.devices is not None else len(since)
    ahead = asked.nights if asked.nights is not None else NIGHTS
    return Plan(
        devices=devices,
        nights=devices * ahead,
        sets_today=len(since) or devices,
        nights_today=sum(since) / len(since) if since else 1.0,
        catch=CATCH_PRIOR.with_seen(len(line.catches), nights),
        damage=DAMAGE_PRIOR.with_seen(spoilt, nights),
        risk=asked.risk,
    )


def _nights(one: SetState, line: LineState) -> float:
    """Give the nights a set was out, as far as recorded."""
    if one.made_at is None:
        return 0.0
    until = one.pulled_at or (line.at if one.standing.in_field else one.last_seen) or one.made_at
    return max(0.0, (until - one.made_at).total_seconds() / 86400.0)


def _since(one: SetState, line: LineState) -> float:
    last = one.last_seen or one.made_at or line.at
    return max(1.0, (line.at - last).total_seconds() / 86400.0)


def _cut(read: BuildFile, asked: PartsAsked, needs: Sequence[PartNeed]) -> CutList | None:
    """Cut cable from the rolls given; None where none are."""
    if not asked.rolls:
        return None
    cable = next(need for need in needs if need.name == "cable")
    wanted = asked.cut if asked.cut is not None else cable.order
    if wanted is None:
        wanted = cable.built_in + cable.spare.count
    kerf = round(parse_length(asked.kerf, where="--kerf") / UNIT_M)
    pieces = [Piece("cable", _units(read.build.cable.length_m), wanted)]
    pieces += [
        Piece(text.partition("*")[0].strip(), _units(metres), count)
        for text, metres, count in _several(asked.pieces, "--piece")
    ]
    # A piece is never cut short and a roll never counted long: one is rounded up, the other down.
    stock = [
        Stock(text.partition("*")[0].strip(), int(metres / UNIT_M + 1e-6), count)
        for text, metres, count in _several(asked.rolls, "--roll")
    ]
    return cut_list(pieces, stock, kerf=kerf)


def _units(metres: float) -> int:
    return math.ceil(metres / UNIT_M - 1e-6)


def _several(texts: Sequence[str], where: str) -> list[tuple[str, float, int]]:
    faults = FaultList()
    found = []
    for text in texts:
        length, star, count = text.partition("*")
        if star and not count.strip().isdigit():
            faults.add(FIGURE, f"'{text}' has no count behind its star.", where, "Write 1000ft*2.")
            continue
        try:
            found.append((text, parse_length(length, where=where), int(count) if star else 1))
        except Refused as problem:
            faults.extend(problem.faults)
    faults.refuse()
    return found
