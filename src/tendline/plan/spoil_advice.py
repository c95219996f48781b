"""Owns what to do about a set that weather spoils: tonight or tomorrow, raise, lower, close or take it up.

Does not own the chances it rests on (`spoil`). It names set and reason, and says where it is not sure.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from tendline.almanac.drifts import VARIATION, Lie
from tendline.core.forecast import Between
from tendline.plan.spoil_nouns import Act, Advice, AtStake, BandDay, SetDay, lie_of

LIKELY = 0.5
"""Something is done about what is at least this likely (common practice, no source)."""

POSSIBLE = 0.2
"""What is at least this likely is looked at (common practice, no source)."""

FREE_LOCK = 0.3
"""Chance of frost in lock and swivel from which they are worked loose (common practice, no source)."""

WORTH_MOVING_M = 0.012
"""A loop is not moved by less than half an inch [m]."""


@dataclass(frozen=True)
class SetReach:
    """How far one band asks a loop to be moved, up being positive [m].

    Parameters
    ----------
    law
        It is the law's band; else the animal's.
    at_least_m
        Moved by this, four of five members are never under it.
    at_most_m
        Moved by this, four of five are never over it.
    """

    law: bool
    at_least_m: float
    at_most_m: float


@dataclass(frozen=True)
class Reach:
    """The same for every set, in the order of the sets."""

    sets: tuple[tuple[SetReach, ...], ...]

    def of(self, index: int) -> tuple[SetReach, ...]:
        """Give that of one set."""
        return self.sets[index]


def advise(one: AtStake, days: Sequence[SetDay], reach: Sequence[SetReach], *, first: date) -> Advice:
    """Say what to do about one set.

    Parameters
    ----------
    one, days
        The set and its days.
    reach
        How far its loop may be moved to stand right until tomorrow night.
    first
        Today.

    Returns
    -------
    Advice
        What is spoiled by tomorrow is done tonight; what is spoiled later, tomorrow or after.
    """
    covered = _first(days, lambda d: d.top_covered, LIKELY)
    if covered is not None:
        why = _chance_words(f"{covered.day:%a}: the loop is under the snow", covered.top_covered)
        return Advice(
            Act.PULL, when=covered.day, tonight=_soon(covered, first), why=(why, *_mark_words(covered))
        )
    if not one.working:
        return Advice(Act.LEAVE)
    likely = _first(days, _wrong, LIKELY)
    if likely is None:
        return _perhaps(days)
    if not _soon(likely, first):
        return Advice(Act.LOOK, when=likely.day, why=_why(likely, LIKELY))
    # What the law is broken by tomorrow goes before what the animal is missed by tonight.
    unlawful = _first([day for day in days if _soon(day, first)], _wrong_by_law, LIKELY)
    return _moved(unlawful or likely, reach)


def _perhaps(days: Sequence[SetDay]) -> Advice:
    """Say what to do where nothing is likely wrong: look where it may be, or where it dips into snow."""
    possible = _first(days, _wrong, POSSIBLE)
    if possible is not None:
        return Advice(Act.LOOK, when=possible.day, why=_why(possible, POSSIBLE))
    dips = _first(days, lambda d: d.bottom_buried, LIKELY)
    if dips is not None:
        why = _chance_words(f"{dips.day:%a}: loose snow stands up into the loop", dips.bottom_buried)
        return Advice(Act.LOOK, when=dips.day, why=(why,))
    return Advice(Act.LEAVE)


def _moved(day: SetDay, reach: Sequence[SetReach]) -> Advice:
    """Choose a move that keeps the loop right for law and animal, else for the law alone, else close it.

    A loop that is right by law is not closed for the animal's sake: it is hung again after the weather.
    """
    why = _why(day, LIKELY)
    laws = [r for r in reach if r.law]
    unlawful = _wrong_by_law(day) >= LIKELY
    move = _move(reach)
    if move is None and not unlawful:
        return Advice(Act.LOOK, when=day.day, why=(*why, "right by law; hang it again once the snow lies"))
    if move is None and (move := _move(laws)) is not None:
        why = (*why, "this is right by law, not for the animal")
    if move is None:
        return Advice(
            Act.UNSET, when=day.day, tonight=True, why=(*why, "no height is right both before and after")
        )
    low, high = move
    if max(low, -high) < WORTH_MOVING_M:
        return Advice(Act.LOOK, when=day.day, why=why)
    if low > 0.0:
        return Advice(Act.RAISE, Between(low, high), when=day.day, tonight=True, why=why)
    return Advice(Act.LOWER, Between(-high, -low), when=day.day, tonight=True, why=why)


def _move(reach: Sequence[SetReach]) -> tuple[float, float] | None:
    """Give how far a loop may be moved, up being positive [m]; None where no move suits every band."""
    low, high = max(r.at_least_m for r in reach), min(r.at_most_m for r in reach)
    return (low, high) if low <= high else None


def also(one: AtStake, days: Sequence[SetDay]) -> tuple[str, ...]:
    """Say what else a set needs: locks worked free, anchors tried again."""
    found = []
    frozen = _first(days, lambda d: d.frozen, FREE_LOCK)
    if frozen is not None and one.working:
        chance = _chance_words("lock and swivel wet, then frozen", frozen.frozen)
        found.append(f"{frozen.day:%a}: {chance}: work them free")
    thawed = _first(days, lambda d: d.thawed, FREE_LOCK)
    if thawed is not None and one.anchor_in_frost:
        chance = _chance_words("anchored in frost, and the ground thaws", thawed.thawed)
        found.append(f"{thawed.day:%a}: {chance}: try the anchor again")
    return tuple(found)


def unsure_of(one: AtStake, days: Sequence[SetDay], *, windy: bool) -> tuple[str, ...]:
    """Say what cannot be told of a set."""
    found = []
    if not one.heights:
        found.append("the height of the loop is not known: measure it")
    if one.snow.depth_m is None:
        found.append("nobody noted the snow there: worked out as if it were bare")
    elif one.snow.depth_m > 0 and one.snow.surface is None:
        found.append("nobody noted whether the snow bears")
    if not one.laws:
        found.append("no height rule of a profile in use could be asked: not verified")
    if windy and any(day.fallen_m.high > 0.02 for day in days):
        found.append(_drift_words(lie_of(one)))
    if one.animal_said:
        found.append(one.animal_said)
    if any(day.thawed >= FREE_LOCK for day in days) and one.anchor_in_frost is None:
        found.append("a thaw comes, and whether the anchor was driven in frost is not on record")
    return tuple(found)


def _drift_words(lie: Lie) -> str:
    where = {Lie.UNKNOWN: "not noted whether it is exposed"}.get(lie, lie.value)
    wide = f"{100 * VARIATION[lie]:.0f} in 100"
    return f"wind moves the snow ({where}): its depth is drawn {wide} wide; where a drift lies is not known"


def _soon(day: SetDay, first: date) -> bool:
    return day.day <= first + timedelta(days=1)


def _first(days: Sequence[SetDay], pick: Callable[[SetDay], float | None], chance: float) -> SetDay | None:
    return next((day for day in days if (pick(day) or 0.0) >= chance), None)


def _wrong(day: SetDay) -> float:
    """Give the greatest chance that the loop hangs wrong, by law or for the animal."""
    return max((band.wrong for band in _bands(day)), default=0.0)


def _wrong_by_law(day: SetDay) -> float:
    return max((band.wrong for band in day.laws), default=0.0)


def _bands(day: SetDay) -> list[BandDay]:
    return [*day.laws, *((day.animal,) if day.animal is not None else ())]


def _why(day: SetDay, chance: float) -> tuple[str, ...]:
    """Name every band that the loop leaves that day, and on which side."""
    found = []
    for band in _bands(day):
        for side, share in (("too low", band.wrong_low), ("too high", band.wrong_high)):
            if share >= chance:
                said = _chance_words(
                    f"{day.day:%a}: {band.band.point.value} {side} for {band.band.who}", share
                )
                found.append(said if band.band.verified else f"{said}, not verified")
    return tuple(found)


def _mark_words(day: SetDay) -> tuple[str, ...]:
    if day.landmark_covered is None:
        return ("how far its landmark stands out of the snow is not on record",)
    return (_chance_words("its landmark is under the snow", day.landmark_covered),)


def _chance_words(what: str, chance: float | None) -> str:
    return f"{what} ({100.0 * (chance or 0.0):.0f} in 100)"
