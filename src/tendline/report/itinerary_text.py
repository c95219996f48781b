"""Owns a round as text for a terminal: what does not fit, the times, the order with slack, the risks.

Does not own the paper card (`report.card`) nor the same for programs (`report.itinerary_json`).
"""

from datetime import date, datetime

from tendline.core.units import format_distance, format_minutes
from tendline.plan.itinerary import ParkStop, Verdict, Visit
from tendline.report.facts import RoundFacts, check_facts, is_dark
from tendline.report.loop_clock import loop_clock_text
from tendline.report.round_words import (
    RELIEF,
    catch_words,
    dark_words,
    drive_words,
    left_heading,
    limit_of,
    outing_times,
    ratchet_words,
    rule_words,
    set_clock,
    sun_times,
    unverified_words,
    wait_words,
)
from tendline.report.say import INVENTED, at, clock, limit_words, long_day, plain
from tendline.report.table import Across, Column, Row, draw_table, fold


def round_text(verdict: Verdict, facts: RoundFacts, *, width: int = 80, ascii_only: bool = False) -> str:
    """Write a round for a terminal.

    Parameters
    ----------
    verdict
        The plan and what does not fit.
    facts
        Every set of the plan must be in it.
    width
        Widest line [characters], 20 or more.
    ascii_only
        Draw the loop clock with ASCII signs only.

    Returns
    -------
    str
        Lines without a newline at the end, without colour.

    Raises
    ------
    Refused
        REP-101 for each set without facts; REP-103 for a width under 20.
    """
    check_facts(verdict.plan, facts)
    plan, day = verdict.plan, verdict.plan.leave.astimezone(facts.zone).date()
    title = f"{facts.line}, round of {long_day(day)}" + (f", {facts.who}" if facts.who else "")
    head = [
        *([INVENTED, ""] if facts.invented else []),
        title,
        *_left_out(verdict, facts, day),
        wait_words(plan, facts, day),
        "",
        _pairs(outing_times(plan, facts)) + f"; {format_minutes(plan.seconds)} in all",
        _pairs(sun_times(facts)),
        dark_words(plan, facts),
        unverified_words(plan, facts),
        "",
    ]
    foot = [
        *catch_words(plan, facts),
        *ratchet_words(plan),
        *plan.notes,
        " ".join(facts.cautions),
        *(rule_words(rule, day) for rule in facts.rules),
    ]
    order = _order(verdict, facts, day, width=width, ascii_only=ascii_only)
    return "\n".join([*_folded(head, width), order, "", *_folded(foot, width)])


def _left_out(verdict: Verdict, facts: RoundFacts, day: date) -> list[str]:
    heading = left_heading(verdict)
    if not heading:
        return []
    lines = ["", heading]
    for left in verdict.plan.left_out:
        if left.must:
            due = at(limit_words(left.due, facts.zone, near=day)) if left.due else "not known"
            lines.append(f"  {left.set_name}, due {due}: {left.why}")
    for relief in verdict.reliefs:
        proof = "" if relief.proven_smallest else " (no smaller one was found in the time given)"
        lines.append(f"{RELIEF.get(relief.kind, relief.kind)}: {relief.what}{proof}")
        lines += [
            f"  then the limit of {name} passes at {at(limit_words(due, facts.zone, near=day))}"
            for name, due in relief.breaks.items()
        ]
    return lines


def _order(verdict: Verdict, facts: RoundFacts, day: date, *, width: int, ascii_only: bool) -> str:
    plan, rows, number = verdict.plan, list[Row](), 0
    for i, stop in enumerate(plan.stops, 1):
        rows.append(Across(_stop(i, stop, facts)))
        for visit in stop.visits:
            number += 1
            rows.append(_visit(number, visit, facts, plan.leave, day, ascii_only=ascii_only))
    home = drive_words(plan.home_s, plan.home_m, facts, estimated=plan.home_estimated)
    rows.append(Across(f"BACK {plan.end}: {home}, there {clock(plan.back, facts.zone)}"))
    columns = (
        Column("no", right=True),
        Column("set"),
        Column("walk", right=True),
        Column("there"),
        Column("leave"),
        Column("due by"),
        Column("at the look"),
        Column("so far", right=True),
        Column("note", wrap=True),
    )
    used = [i for i in range(len(columns)) if any(not isinstance(r, Across) and r[i] for r in rows)]
    shown = [r if isinstance(r, Across) else [r[i] for i in used] for r in rows]
    return draw_table([columns[i] for i in used], shown, width=width)


def _stop(number: int, stop: ParkStop, facts: RoundFacts) -> str:
    drive = drive_words(stop.drive_s, stop.drive_m, facts, estimated=stop.drive_estimated)
    note = facts.parking_notes.get(stop.parking, "")
    return (
        f"TRUCK {number} {stop.parking}: {drive}, stop {clock(stop.arrive, facts.zone)}, "
        f"walk back {format_minutes(stop.back_s)}, {format_distance(stop.back_m, facts.units)}, "
        f"leave {clock(stop.depart, facts.zone)}.{' ' if note else ''}{note}"
    )


def _visit(
    number: int, visit: Visit, facts: RoundFacts, start: datetime, day: date, *, ascii_only: bool
) -> list[str]:
    known = facts.sets[visit.set_name]
    limit = limit_of(visit, known)
    notes = [
        f"wait {format_minutes(visit.wait_s)}" if visit.wait_s >= 30 else "",
        "dark" if facts.sun is not None and is_dark(visit.look, facts.sun) else "",
        f"bring {', '.join(known.bring)}" if known.bring else "",
        known.note,
    ]
    return [
        str(number),
        visit.set_name,
        format_minutes(visit.walk_s),
        clock(visit.look, facts.zone),
        clock(visit.leave, facts.zone),
        at(limit_words(limit, facts.zone, near=day)) if limit else "",
        loop_clock_text(set_clock(visit, known, tight_s=facts.time.catch_s), ascii_only=ascii_only),
        format_minutes((visit.leave - start).total_seconds()),
        ", ".join(note for note in notes if note),
    ]


def _pairs(pairs: tuple[tuple[str, str], ...]) -> str:
    return ", ".join(f"{label} {value}" for label, value in pairs)


def _folded(lines: list[str], width: int) -> list[str]:
    """Fold each line, keeping its indent; single blank lines stay, those left by empty sentences go."""
    out: list[str] = []
    for line in lines:
        indent = line[: len(line) - len(line.lstrip())]
        for part in fold(line, width - len(indent)) if line else [""]:
            if part or (out and out[-1]):
                out.append(indent + plain(part) if part else "")
    return out
