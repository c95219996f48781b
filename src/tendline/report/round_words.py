"""Owns the sentences about a whole round that paper and screen share.

Does not own where they stand on a page, nor the rows of single sets.
"""

from datetime import date, datetime

from tendline.core.units import format_distance, format_minutes
from tendline.plan.itinerary import BadMorning, RoundPlan, Verdict, Visit
from tendline.report.facts import RoundFacts, RuleNote, SetFacts, dark_looks, is_dark
from tendline.report.loop_clock import LoopClock, read_clock
from tendline.report.odds import morning, one_in
from tendline.report.say import at, clock, count, limit_words, plain, stretch

RELIEF = {"drop": "Least to drop", "earlier start": "Or start earlier", "later return": "Or return later"}
"""How each kind of relief is headed."""


def rule_words(rule: RuleNote, day: date) -> str:
    """Say which rule a round went by, where it was read, and whether the person has confirmed it."""
    return plain(f"Rule profile {rule.profile}: {rule.says} {rule.citation}. {rule.standing(day)}")


def dark_words(plan: RoundPlan, facts: RoundFacts) -> str:
    """Say that a round leaves in the dark, and how many looks are in it; empty when none are."""
    dark = dark_looks(plan, facts.sun)
    if dark is None or facts.sun is None:
        return "Sun times not worked out: carry a light."
    leaves = is_dark(plan.leave, facts.sun)
    if not leaves and not dark:
        return ""
    head = "Leaves in the dark" if leaves else "Runs into the dark"
    return f"{head}: {dark} of {count(len(plan.visits), 'look')} outside civil twilight."


def unverified_words(plan: RoundPlan, facts: RoundFacts) -> str:
    """Say for how many sets nobody has confirmed the rule; empty when there are none."""
    number = sum(not facts.sets[visit.set_name].verified for visit in plan.visits)
    if not number:
        return ""
    sets = f"{number} of {count(len(plan.visits), 'set')}"
    return f"LIMITS NOT VERIFIED for {sets}: confirm the rule before you rely on them."


def catch_words(plan: RoundPlan, facts: RoundFacts) -> tuple[str, ...]:
    """Say what to expect of a morning, and what one catch and two do to the round."""
    if not plan.visits:
        return ()
    odds = morning(plan, facts)
    extra = format_minutes(odds.extra_s)
    first = f"On average {extra} more for catches; a catch {one_in(odds.chance_of_a_catch)}."
    return (first, *(bad_words(bad, facts) for bad in plan.bad_mornings))


def ratchet_words(plan: RoundPlan, *, most: int | None = None) -> tuple[str, ...]:
    """Say which sets are looked at earlier in the day than last time, so that their next limit is tighter.

    Parameters
    ----------
    plan
        With its ratchets.
    most
        Name only so many, the worst first, and count the others.
    """
    if not plan.ratchets:
        return ()
    worst = sorted(plan.ratchets, key=lambda r: (-r.earlier_s, r.set_name))
    named = ", ".join(f"{plain(r.set_name)} ({format_minutes(r.earlier_s)})" for r in worst[:most])
    others = len(worst) - len(worst[:most])
    more = f" and {count(others, 'other')}" if others else ""
    return (f"Tighter next time, seen earlier in the day than last: {named}{more}.",)


def set_clock(visit: Visit, known: SetFacts, *, tight_s: float) -> LoopClock:
    """Read the loop clock of a set at the moment of its planned look."""
    began = known.clock_from if known.clock_from is not None else known.last_look
    due = limit_of(visit, known)
    return read_clock(began=began, due=due, at=visit.look, verified=known.verified, tight_s=tight_s)


def limit_of(visit: Visit, known: SetFacts) -> datetime | None:
    """Give the limit of a visit: the one it keeps, or the one that had passed before the outing began."""
    return visit.due if visit.due is not None else known.overdue_since


def left_heading(verdict: Verdict) -> str:
    """Head what does not fit, and say whether that is proved; empty when all fits."""
    missed = sum(left.must for left in verdict.plan.left_out)
    if not missed:
        return ""
    how = "proved: not all can be done" if verdict.proven else "no way to do all was found in the time given"
    return f"NOT ON THIS ROUND: {count(missed, 'set')} that must be seen ({how})"


def wait_words(plan: RoundPlan, facts: RoundFacts, day: date) -> str:
    """Say which sets are not visited because they may wait; empty when there are none."""
    waits = [left for left in plan.left_out if not left.must]
    if not waits:
        return ""
    words = (
        f"{plain(w.set_name)} (due {at(limit_words(w.due, facts.zone, near=day))})"
        if w.due
        else plain(w.set_name)
        for w in waits
    )
    return f"Not visited, may wait: {', '.join(words)}."


def outing_times(plan: RoundPlan, facts: RoundFacts) -> tuple[tuple[str, str], ...]:
    """Give the four times of the outing, each with its label."""
    spare = stretch(plan.spare_s) if plan.spare_s >= 0 else f"over by {format_minutes(-plan.spare_s)}"
    return (
        (f"leave {plain(plan.start)}", clock(plan.leave, facts.zone)),
        (f"back at {plain(plan.end)}", clock(plan.back, facts.zone)),
        ("latest return", clock(plan.outing.end, facts.zone)),
        ("spare", spare),
    )


def sun_times(facts: RoundFacts) -> tuple[tuple[str, str], ...]:
    """Give the four times of the sun, each with its label; nothing when they were not worked out."""
    sun = facts.sun
    if sun is None:
        return ()
    named = (
        ("civil dawn", sun.dawn),
        ("sunrise", sun.sunrise),
        ("sunset", sun.sunset),
        ("civil dusk", sun.dusk),
    )
    return tuple((name, clock(when, facts.zone) if when else "none") for name, when in named)


def drive_words(seconds: float, metres: float, facts: RoundFacts, *, estimated: bool) -> str:
    """Say a drive, and whether it is only estimated."""
    way = f"{format_minutes(seconds)}, {format_distance(metres, facts.units)}"
    return f"drive {way} est." if estimated else f"drive {way}"


def bad_words(bad: BadMorning, facts: RoundFacts) -> str:
    """Say what a number of catches does to the round."""
    late = f"LATE: {', '.join(map(plain, bad.late))}" if bad.late else "nothing late"
    over = f", {format_minutes(bad.over_s)} past the latest return" if bad.over_s > 0 else ""
    number = {1: "One catch", 2: "Two catches"}.get(bad.catches, f"{bad.catches} catches")
    return f"{number}, where it hurts most: back {clock(bad.end, facts.zone)}{over}; {late}."
