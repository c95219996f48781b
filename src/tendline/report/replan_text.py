"""Owns what is told before the rest of a round: what is done, what no longer fits, what that does to limits.

Does not own the round itself (`report.itinerary_text`).
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.when import local_day, rfc3339
from tendline.report.say import at, clock, count, day_and_clock, limit_words, plain, stretch
from tendline.report.table import fold


@dataclass(frozen=True)
class DoneLook:
    """One look of this round so far; `seen` is False for a search in vain or a place not reached."""

    set_name: str
    at: datetime
    seen: bool


@dataclass(frozen=True)
class Waits:
    """A set that is not on the rest of the round, and its limit; None when nobody knows it."""

    set_name: str
    due: datetime | None
    must: bool


@dataclass(frozen=True)
class RestFacts:
    """What is told of a round under way.

    Parameters
    ----------
    begun, now
        When the round began; the present.
    stands_at
        Where the person stands.
    done
        Looks so far, in order.
    planned
        How many sets the rest of the round has.
    waits
        Working sets that are neither done nor planned.
    next_outing
        When the next outing begins.
    """

    zone: ZoneInfo
    begun: datetime
    now: datetime
    stands_at: str
    done: tuple[DoneLook, ...]
    planned: int
    waits: tuple[Waits, ...]
    next_outing: datetime

    @property
    def broken(self) -> tuple[Waits, ...]:
        """Sets whose limit passes before the next outing begins, or is not known; the earliest first."""
        found = [one for one in self.waits if one.due is None or one.due < self.next_outing or one.must]
        return tuple(sorted(found, key=lambda one: (one.due or self.now, one.set_name)))


def rest_text(facts: RestFacts, *, width: int = 80) -> str:
    """Write what stands before the rest of a round.

    Raises
    ------
    Refused
        REP-103 for a width under 20.
    """
    seen = [one for one in facts.done if one.seen]
    done = f"{count(len(seen), 'set')} done since {clock(facts.begun, facts.zone)}"
    rest = f"{count(facts.planned, 'set')} still to come, {len(facts.waits)} not on this round any more"
    head = f"The rest of the round, from {facts.stands_at} at {clock(facts.now, facts.zone)}"
    lines = [f"{head}: {done}, {rest}."]
    if seen:
        lines.append(f"Done: {', '.join(f'{one.set_name} {clock(one.at, facts.zone)}' for one in seen)}.")
    vain = [one.set_name for one in facts.done if not one.seen]
    if vain:
        lines.append(f"Not found or not reached, their limits run on: {', '.join(vain)}.")
    lines += [*_broken(facts), *_waiting(facts)]
    return "\n".join(part for line in lines for part in fold(plain(line), width))


def _broken(facts: RestFacts) -> list[str]:
    if not facts.broken:
        return ["No limit passes before the next outing begins."] if facts.waits else []
    near = local_day(facts.now, facts.zone)
    begins = at(day_and_clock(facts.next_outing, facts.zone, near=near))
    limits = "; ".join(_limit(one, facts) for one in facts.broken)
    lines = [f"NO LONGER FITS, AND CANNOT WAIT for the next outing ({begins}): {limits}."]
    known = [one for one in facts.broken if one.due is not None and facts.now < one.due < facts.next_outing]
    if known and known[0].due is not None:
        gap = stretch((facts.next_outing - known[0].due).total_seconds())
        lines.append(
            f"The first of these limits, of {known[0].set_name}, passes {gap} before the next outing begins: "
            "be back later, go out again before it, or send somebody who may (tendline weeks --without)."
        )
    return lines


def _limit(one: Waits, facts: RestFacts) -> str:
    if one.due is None:
        return f"{one.set_name} passed or not known, go at once"
    if one.due <= facts.now:
        return f"{one.set_name} overdue already"
    near = local_day(facts.now, facts.zone)
    return f"{one.set_name} {at(limit_words(one.due, facts.zone, near=near))}"


def _waiting(facts: RestFacts) -> list[str]:
    broken = {one.set_name for one in facts.broken}
    free = sorted(
        (one.due, one.set_name) for one in facts.waits if one.due is not None and one.set_name not in broken
    )
    if not free:
        return []
    near = local_day(facts.now, facts.zone)
    due, name = free[0]
    begins = at(day_and_clock(facts.next_outing, facts.zone, near=near))
    spare = stretch((due - facts.next_outing).total_seconds())
    names = ", ".join(name for _, name in free)
    limit = at(limit_words(due, facts.zone, near=near))
    told = f"Can wait for the next outing ({begins}): {names}."
    return [f"{told} The first of them, {name}, is due {limit}, {spare} after that begins."]


def rest_document(facts: RestFacts) -> dict[str, Any]:
    """Give the same as JSON can hold it: the part ``replan`` of ``round.schema.json``."""
    zone = facts.zone
    return {
        "begun": rfc3339(facts.begun, zone),
        "stands_at": facts.stands_at,
        "done": [{"set": one.set_name, "at": rfc3339(one.at, zone), "seen": one.seen} for one in facts.done],
        "next_outing": rfc3339(facts.next_outing, zone),
        "not_on_this_round": [
            {
                "set": one.set_name,
                "due_at": None if one.due is None else rfc3339(one.due, zone),
                "can_wait": one not in facts.broken,
            }
            for one in facts.waits
        ],
    }
