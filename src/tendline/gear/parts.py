"""Owns how many parts a season and today's pack need: in the devices, and to replace what is used up.

Does not own the chances (`gear.chances`), the record they rest on (`logbook`) or cutting (`plan.cutting`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tendline.gear.build import PartUsed
from tendline.gear.chances import Enough, Rate, pack_need, season_need

CATCH_PRIOR = Rate(5.0, 500.0)
"""Animals held: one in 100 device-nights, middle 95 % one in 49 to one in 308; published rates run from 47 to
184 nights per coyote. Worth 500 device-nights of one's own."""

DAMAGE_PRIOR = Rate(1.0, 200.0)
"""Devices spoilt by anything else: one in 200 device-nights, worth 200 (our guess, no source; log yours)."""

USED_UP: Mapping[str, float] = {
    "cable": 1.0,
    "stop": 1.0,
    "end": 1.0,
    "breakaway": 0.5,
    "lock": 0.2,
    "support": 0.3,
    "swivel": 0.1,
    "anchor": 0.05,
    "tag": 0.05,
}
"""Share of devices that held an animal or were spoilt of which a part cannot be used again. Cable that held
an animal is scrapped or rebuilt, locks, swivels and stakes are used again after a look (common practice, no
source); the shares below 1 are our own guess."""

ANY_OTHER = 1.0
"""The same for a part that is not listed: it is taken to be used up."""


@dataclass(frozen=True)
class PartNeed:
    """What is needed of one part.

    Parameters
    ----------
    name
        Of the part.
    built_in
        In the devices planned.
    spare
        To replace what is used up over the season, with the chance that it is not enough.
    pack
        To have along today.
    have
        In stock; None where nobody said.
    order
        What is wanting: `built_in` and spares less `have`; None where the stock is not known.
    """

    name: str
    built_in: int
    spare: Enough
    pack: Enough
    have: int | None
    order: int | None


@dataclass(frozen=True)
class Plan:
    """A season as planned, and today.

    Parameters
    ----------
    devices
        Devices to be out.
    nights
        Device-nights still to come.
    sets_today
        Sets on today's round.
    nights_today
        Mean nights since those were last looked at.
    catch, damage
        Rates, own history pooled.
    risk
        Chance of running out that is taken.
    """

    devices: int
    nights: float
    sets_today: int
    nights_today: float
    catch: Rate
    damage: Rate
    risk: float


def parts_needed(
    parts: Sequence[PartUsed], plan: Plan, *, have: Mapping[str, int], ready: int = 0
) -> tuple[PartNeed, ...]:
    """Give what is needed of every part.

    Parameters
    ----------
    parts
        Of one device, the cable included.
    plan
        The season and today.
    have
        Loose parts in stock, by name.
    ready
        Devices built and fit for use, in stock and in the field: their parts need not be had again.

    Raises
    ------
    Refused
        GEAR-105 for figures that cannot be.
    """
    return tuple(_one(part, plan, have=have, ready=ready) for part in parts if part.count)


def _one(part: PartUsed, plan: Plan, *, have: Mapping[str, int], ready: int) -> PartNeed:
    used = USED_UP.get(part.name, ANY_OTHER)
    rates = [rate.share(used) for rate in (plan.catch, plan.damage)]
    spare = _times(season_need(rates, plan.nights, risk=plan.risk), part.count)
    per_night = min(1.0, (plan.catch.mean + plan.damage.mean) * used)
    chance = 1.0 - (1.0 - per_night) ** plan.nights_today
    pack = _times(pack_need(plan.sets_today, chance, risk=plan.risk), part.count)
    stock = have.get(part.name)
    built_in = max(0, plan.devices - ready) * part.count
    order = None if stock is None else max(0, built_in + spare.count - stock)
    return PartNeed(part.name, plan.devices * part.count, spare, pack, stock, order)


def _times(enough: Enough, each: int) -> Enough:
    return Enough(enough.count * each, enough.chance_short, enough.mean * each)


def pack_mass(parts: Sequence[PartUsed], needs: Sequence[PartNeed]) -> tuple[float, tuple[str, ...]]:
    """Give the weight of today's loose parts [kg], and the parts left out because nobody weighed them."""
    mass = {part.name: part.mass_kg for part in parts}
    total = sum(need.pack.count * (mass.get(need.name) or 0.0) for need in needs)
    missing = tuple(need.name for need in needs if need.pack.count and mass.get(need.name) is None)
    return total, missing
