"""Owns parts, stock and cut list in words and as one JSON document.

Does not own the counting (`gear.parts`) or the cutting (`plan.cutting`).
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.line import Device, PartStock
from tendline.core.units import METRES_PER_INCH, Units
from tendline.gear.parts import PartNeed, Plan
from tendline.plan.cutting import Cut, CutList
from tendline.report.stock_text import long_words, out_data, out_words, stock_data, stock_words
from tendline.report.table import Column, draw_table, fold

UNIT_M = METRES_PER_INCH / 64.0
"""The small unit in which cable is cut [m]."""

GUESS = (
    "Rates are your own record pooled with a stated prior: animals one in 100 device-nights (worth 500), "
    "other damage one in 200 (worth 200, our own guess). Cable, stops and ends are used up with every device "
    "that held an animal or was spoilt (common practice, no source); of locks a fifth, of breakaways a half, "
    "of supports three tenths, of swivels a tenth, of anchors and tags a twentieth (our own guess)."
)


@dataclass(frozen=True)
class Ledger:
    """Devices of a build: fit in stock and in the field, tags of those that are out; how many of others."""

    stock: int
    field: int
    out: tuple[str, ...]
    others: int = 0

    @property
    def ready(self) -> int:
        """Devices fit for use."""
        return self.stock + self.field


@dataclass(frozen=True)
class PartsTold:
    """Everything that is told of parts.

    Parameters
    ----------
    name
        Of the build.
    plan, ledger, needs
        The season, the devices there are, the parts.
    mass_kg, unweighed
        Of today's loose parts, and those that nobody weighed.
    cuts
        The cut list; None where there is nothing to cut from.
    stock, out, zone
        Loose parts on record, devices out until rebuilt, and whose clock.
    said
        What must be told with it, in plain sentences.
    """

    name: str
    plan: Plan
    ledger: Ledger
    needs: tuple[PartNeed, ...]
    mass_kg: float
    unweighed: tuple[str, ...]
    cuts: CutList | None
    stock: tuple[PartStock, ...]
    out: tuple[Device, ...]
    zone: ZoneInfo
    said: tuple[str, ...] = ()


def parts_words(told: PartsTold, units: Units, *, width: int = 100) -> str:
    """Write parts for a terminal: season, today, what to order, the cut list."""
    plan, ledger = told.plan, told.ledger
    lines = [
        f"{told.name}: {plan.devices} devices, {plan.nights:.0f} device-nights to come",
        f"Fit for use: {ledger.stock} in stock, {ledger.field} in the field{_others(ledger)}.",
    ]
    if told.out:
        lines += fold(f"Out until rebuilt: {out_words(told.out)}.", width)
    per = f"{1 / plan.catch.mean:.0f} device-nights an animal, {1 / plan.damage.mean:.0f} a device spoilt"
    lines += [f"Rates: {per}; chance of running out taken: {plan.risk:.0%} for each part.", ""]
    lines.append(_table(told.needs, width))
    lines += fold(_order_words(told.needs), width)
    if told.stock:
        lines += ["Loose parts on record:", *stock_words(told.stock, told.zone, units)]
    kilograms, missing = told.mass_kg, told.unweighed
    load = f"{kilograms:.2f} kg" if units is Units.METRIC else f"{kilograms / 0.45359237:.2f} lb"
    without = f", without {', '.join(missing)}, which nobody weighed" if missing else ""
    lines.append(f"Loose parts in today's pack: {load}{without}.")
    lines += ["", *fold(GUESS, width)]
    if told.said:
        lines += ["", *(line for said in told.said for line in fold(f"Note: {said}.", width))]
    if told.cuts is not None:
        lines += ["", *_cut_words(told.cuts, units)]
    return "\n".join(lines)


def _others(ledger: Ledger) -> str:
    return f"; {ledger.others} of other builds are not counted" if ledger.others else ""


def _order_words(needs: Sequence[PartNeed]) -> str:
    wanting = [f"{need.order} {need.name}" for need in needs if need.order]
    unknown = [need.name for need in needs if need.order is None]
    said = [f"To order or to make: {', '.join(wanting)}."] if wanting else []
    if unknown:
        said.append(
            f"Stock not known: {', '.join(unknown)}; count them and note stock-count, or give --have."
        )
    return " ".join(said or ["Nothing to order."])


def _table(needs: Sequence[PartNeed], width: int) -> str:
    words = ("in devices", "spares", "runs out", "pack today", "have", "order")
    columns = (Column("part"), *(Column(word, right=True) for word in words))
    rows = [
        (
            need.name,
            str(need.built_in),
            str(need.spare.count),
            f"{need.spare.chance_short:.1%}",
            str(need.pack.count),
            "not said" if need.have is None else str(need.have),
            "" if need.order is None else str(need.order),
        )
        for need in needs
    ]
    return draw_table(columns, rows, width=width)


def _cut_words(cuts: CutList, units: Units) -> list[str]:
    how = "no cut list opens less" if cuts.proved else f"none opens less than {_long(cuts.bound, units)}"
    lines = [
        f"CUT LIST: {_long(cuts.opened, units)} opened for {_long(cuts.material, units)} of pieces; {how}."
    ]
    for cut, times in Counter(cuts.cuts).items():
        pieces = ", ".join(f"{count} of {name}" for name, count in cut.pieces)
        again = f"{times} times: " if times > 1 else ""
        lines.append(f"  {again}{cut.stock}: {pieces}; {_long(cut.left, units)} left")
    return lines


def _long(length: int, units: Units) -> str:
    return long_words(length * UNIT_M, units)


def parts_document(told: PartsTold) -> dict[str, Any]:
    """Write parts as one JSON document."""
    plan, ledger = told.plan, told.ledger
    return {
        "build": told.name,
        "devices": plan.devices,
        "device_nights": plan.nights,
        "risk": plan.risk,
        "catches_per_device_night": plan.catch.mean,
        "damage_per_device_night": plan.damage.mean,
        "ledger": {
            "in_stock": ledger.stock,
            "in_field": ledger.field,
            "out_until_rebuilt": list(ledger.out),
            "other_builds": ledger.others,
        },
        "parts": [
            {
                "part": need.name,
                "in_devices": need.built_in,
                "spares": need.spare.count,
                "spares_mean": need.spare.mean,
                "chance_short": need.spare.chance_short,
                "pack": need.pack.count,
                "pack_chance_short": need.pack.chance_short,
                "have": need.have,
                "order": need.order,
            }
            for need in told.needs
        ],
        "pack": {"kg": told.mass_kg, "without": list(told.unweighed)},
        "stock": stock_data(told.stock, told.zone),
        "out_until_rebuilt": out_data(told.out, told.zone),
        "said": list(told.said),
        "cut_list": None if told.cuts is None else _cut_document(told.cuts),
    }


def _cut_document(cuts: CutList) -> dict[str, Any]:
    return {
        "opened_m": cuts.opened * UNIT_M,
        "bound_m": cuts.bound * UNIT_M,
        "material_m": cuts.material * UNIT_M,
        "proved": cuts.proved,
        "cuts": [_cut(cut, cuts) for cut in cuts.cuts],
    }


def _cut(cut: Cut, cuts: CutList) -> dict[str, Any]:
    return {
        "stock": cut.stock,
        "length_m": cut.length * UNIT_M,
        "pieces": [
            {"piece": name, "count": count, "length_m": cuts.lengths[name] * UNIT_M}
            for name, count in cut.pieces
        ],
        "left_m": cut.left * UNIT_M,
    }
