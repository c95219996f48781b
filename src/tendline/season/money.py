"""Owns money and hours of a season: what was entered, cost per visit and per catch, where it breaks even.

Does not own any price: what nobody entered is not there.
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tendline.core.when import Span
from tendline.core.words import MoneyFor
from tendline.logbook.corrected import Effective
from tendline.season.effort import Tally
from tendline.season.intervals import Estimate, poisson_exact


@dataclass(frozen=True)
class Prices:
    """What an hour and a mile are worth to this person; None when they did not say."""

    hour: float | None = None
    mile: float | None = None


@dataclass(frozen=True)
class Money:
    """Money and hours of a season, in the person's own currency.

    Parameters
    ----------
    entered
        Sum by what it was for.
    hours_on_line, hours_entered
        From the looks, and as entered besides [h].
    miles
        As entered.
    cost, income
        Sums, hours and miles at their price included where there is one.
    per_visit
        Cost a look; None without looks.
    per_catch
        Cost a target catch, with the range that the number of catches leaves open.
    breaks_even_at
        Target catches at which income would equal cost, at the income per catch so far; None without both.
    visits, catches
        As counted.
    said
        What is left out, in words.
    """

    entered: Mapping[str, float]
    hours_on_line: float
    hours_entered: float
    miles: float
    cost: float
    income: float
    per_visit: float | None
    per_catch: Estimate
    breaks_even_at: float | None
    visits: int
    catches: int
    said: tuple[str, ...]

    @property
    def told(self) -> bool:
        """Whether anything at all was entered."""
        return bool(self.entered) or self.cost > 0 or self.miles > 0


_METRES_PER_MILE = 1609.344


def money(
    entries: Iterable[Effective], tally: Tally, *, window: Span, hours_on_line: float, prices: Prices
) -> Money:
    """Add up money and hours.

    Parameters
    ----------
    entries
        The record; only `money` events are looked at.
    tally
        The whole season.
    window
        The stretch asked about.
    hours_on_line
        As the looks show [h].
    prices
        Of an hour and a mile.
    """
    entered: dict[str, float] = defaultdict(float)
    hours = miles = 0.0
    for entry in entries:
        if entry.event.kind != "money" or not window.holds(entry.happened_at):
            continue
        body = entry.body
        if "amount" in body:
            entered[body["what"]] += body["amount"]
        hours += body.get("hours_s", 0.0) / 3600.0
        miles += body.get("distance_m", 0.0) / _METRES_PER_MILE
    income = sum(v for k, v in entered.items() if MoneyFor(k).is_income)
    cost = sum(v for k, v in entered.items() if not MoneyFor(k).is_income)
    cost += (hours + hours_on_line) * (prices.hour or 0.0) + miles * (prices.mile or 0.0)
    per = income / tally.target if tally.target and income else None
    return Money(
        entered=dict(sorted(entered.items())),
        hours_on_line=hours_on_line,
        hours_entered=hours,
        miles=miles,
        cost=cost,
        income=income,
        per_visit=cost / tally.looks if tally.looks and cost else None,
        per_catch=_per_catch(cost, tally.target),
        breaks_even_at=cost / per if per and cost else None,
        visits=tally.looks,
        catches=tally.target,
        said=_left_out(prices, hours + hours_on_line, miles),
    )


def _per_catch(cost: float, catches: int) -> Estimate:
    if cost <= 0:
        return Estimate(None, 0.0, math.inf, "no cost entered")
    exact = poisson_exact(catches)
    return Estimate(
        cost / catches if catches else None,
        cost / exact.high,
        cost / exact.low if exact.low > 0 else math.inf,
        "cost over the exact Poisson range of the catch",
    )


def _left_out(prices: Prices, hours: float, miles: float) -> tuple[str, ...]:
    said = []
    if prices.hour is None and hours > 0:
        said.append("hours are not priced: --hour says what one is worth to you")
    if prices.mile is None and miles > 0:
        said.append("miles are not priced: --mile says what one costs you")
    return tuple(said)
