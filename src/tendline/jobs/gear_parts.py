"""Owns the job `tendline gear parts`: parts for the season and today, what to order, the cut list, the load.

Does not own the chances (`gear.chances`), the counting (`gear.parts`) or the cutting (`plan.cutting`).
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tendline.core.errors import FaultList
from tendline.core.line import DeviceState, LineState, SetState
from tendline.core.units import Units
from tendline.core.words import FoundAs, Happened
from tendline.gear.build import PartUsed, lay_out
from tendline.gear.faults import FIGURE
from tendline.gear.parts import CATCH_PRIOR, DAMAGE_PRIOR, PartNeed, Plan, pack_mass, parts_needed
from tendline.jobs.answer import Answer
from tendline.jobs.gear_file import BuildFile, read_build
from tendline.jobs.gear_stock import (
    CABLE,
    cut_from,
    cut_if_enough,
    rolls_on_record,
    several,
    stock_on_record,
    stock_said,
)
from tendline.jobs.workspace import Workspace
from tendline.plan.cutting import CutList
from tendline.report.parts_text import Ledger, PartsTold, parts_document, parts_words
from tendline.report.stock_text import out_devices

NIGHTS = 60.0
"""Nights of a season still to come where the person does not say (our own choice)."""

SPOILT = (FoundAs.BROKEN, FoundAs.GONE, FoundAs.TAMPERED)
SPOILT_BY = (Happened.BROKE_AWAY, Happened.CHEWED_OUT)
_MOST = 100_000


@dataclass(frozen=True)
class PartsAsked:
    """What was asked, as written; `text` is what the file of the build would hold, where it is not read."""

    devices: int | None = None
    nights: float | None = None
    risk: float = 0.05
    have: tuple[str, ...] = ()
    rolls: tuple[str, ...] = ()
    cut: int | None = None
    pieces: tuple[str, ...] = ()
    kerf: str = "0mm"
    changes: tuple[str, ...] = ()
    text: str | None = None


def gear_parts(space: Workspace, file: str | None, asked: PartsAsked) -> Answer:
    """Count parts against the stock, and cut cable.

    Parameters
    ----------
    space
        The opened line: its devices, catches, looks and loose parts.
    file
        The build, as for `gear_build`.
    asked
        Counts and stock as written; a stock that is said here goes before the record, for this call.

    Returns
    -------
    Answer
        Bad news when something must be ordered.

    Raises
    ------
    Refused
        GEAR-101 to 107, PLAN-181, PLAN-182, CORE-101.
    """
    read = read_build(None if file is None else Path(file), asked.changes, text=asked.text)
    line = space.line()
    lay_out(read.build)
    have = {**stock_on_record(line.parts), **_read_stock(asked, read)}
    ledger, plan = _ledger(line, read.build.name), _plan(line, asked)
    parts = (_cable(read), *read.build.parts)
    needs = parts_needed(parts, plan, have=have, ready=ledger.ready)
    cuts, said, covered = _cut(read, asked, needs, line, space.settings.units)
    told = PartsTold(
        name=read.build.name,
        plan=plan,
        ledger=ledger,
        needs=needs,
        mass_kg=pack_mass(parts, needs)[0],
        unweighed=pack_mass(parts, needs)[1],
        cuts=cuts,
        stock=line.parts,
        out=tuple(d for d in out_devices(line.devices.values()) if d.tag in ledger.out),
        zone=space.settings.zone,
        said=said,
    )
    text, data = parts_words(told, space.settings.units), parts_document(told)
    wanting = [need.name for need in needs if need.order and not (covered and need.name == CABLE)]
    return Answer(text, data, bad_news=bool(wanting), warnings=line.unbalanced)


def _cable(read: BuildFile) -> PartUsed:
    laid = lay_out(read.build)
    loose = sum(part.count * (part.mass_kg or 0.0) for part in read.build.parts)
    missing = "cable" in laid.mass.missing
    return PartUsed("cable", 1, None if missing else laid.mass.total - loose)


def _read_stock(asked: PartsAsked, read: BuildFile) -> dict[str, int]:
    names = (CABLE, *(part.name for part in read.build.parts))
    faults = FaultList()
    found = stock_said(asked.have, names, faults)
    named = (("--devices", asked.devices), ("--nights", asked.nights), ("--cut", asked.cut))
    for option, value in named:
        if value is not None and not 0 <= value <= _MOST:
            faults.add(FIGURE, f"{value:g} cannot be.", option, f"Give a number from 0 to {_MOST}.")
    faults.refuse()
    return found


def _ledger(line: LineState, name: str) -> Ledger:
    """Count devices of a build that are fit for use; one whose cable is out until rebuilt is not.

    A device that nobody said the build of counts for any.
    """
    devices = sorted(line.devices.values(), key=lambda d: d.tag)
    mine = [device for device in devices if device.build.get("built_as", name) == name]
    fit = Counter(device.state for device in mine if not device.out)
    out = tuple(device.tag for device in mine if device.out)
    kept = (DeviceState.STOCK, DeviceState.FIELD)
    others = sum(device.state in kept for device in devices) - sum(device.state in kept for device in mine)
    return Ledger(fit[DeviceState.STOCK], fit[DeviceState.FIELD], out, others)


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


def _cut(
    read: BuildFile, asked: PartsAsked, needs: Sequence[PartNeed], line: LineState, units: Units
) -> tuple[CutList | None, tuple[str, ...], bool]:
    """Cut cable from the rolls given, else from those on record; with what is to be said, and if that is all.

    No list where there are no rolls, or those on record are not enough.
    """
    cable = next(need for need in needs if need.name == CABLE)
    wanted = asked.cut if asked.cut is not None else cable.order
    if wanted is None:
        wanted = max(0, cable.built_in + cable.spare.count)
    pieces = [(CABLE, read.build.cable.length_m, wanted), *several(asked.pieces, "--piece")]
    if asked.rolls:
        return cut_from(several(asked.rolls, "--roll"), pieces, kerf=asked.kerf), (), False
    rolls = rolls_on_record(line.parts, units)
    if not rolls or not any(count for _, _, count in pieces):
        return None, (), False
    cuts = cut_if_enough(rolls, pieces, kerf=asked.kerf)
    if cuts is None:
        return None, ("the rolls of cable on record are not enough for what is to be cut: order more",), False
    return cuts, ("cable is cut from the rolls on record; note what you opened and what came of it",), True
