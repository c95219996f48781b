"""Owns what stands on a route card: every word and sign of it, worked out from a round, ready to be set.

Does not own how it looks on the page (`report.card_template`) nor the making of the PDF (`report.typeset`).
"""

from dataclasses import dataclass
from datetime import date

from tendline.core.units import Units, format_distance, format_minutes
from tendline.plan.itinerary import LeftOut, ParkStop, RoundPlan, Verdict, Visit
from tendline.report.carry import carry_list
from tendline.report.codes import legend
from tendline.report.facts import RoundFacts, SetFacts, check_facts, is_dark
from tendline.report.loop_clock import draw
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
from tendline.report.say import INVENTED, at, clock, day_and_clock, limit_words, long_day, plain


@dataclass(frozen=True)
class Sign:
    """The loop clock beside a limit: the ring, and the number and word that stand with it."""

    svg: str
    number: str
    word: str


@dataclass(frozen=True)
class SetRow:
    """One set on the card; every field is words."""

    order: int
    name: str
    tag: str
    landmark: str
    extra: str
    there: str
    walk: str
    wait: str
    dark: bool
    last_day: str
    last_clock: str
    due_day: str
    due_clock: str
    due_note: str
    sign: Sign


@dataclass(frozen=True)
class StopBlock:
    """One stop of the truck and the sets walked from it."""

    title: str
    drive: str
    arrive: str
    leave: str
    back: str
    note: str
    rows: tuple[SetRow, ...]


@dataclass(frozen=True)
class HomeRow:
    """The last drive."""

    title: str
    drive: str
    arrive: str


@dataclass(frozen=True)
class LeftRow:
    """A set that is not on the round."""

    name: str
    due: str
    landmark: str
    why: str


@dataclass(frozen=True)
class RouteCard:
    """The whole card, in the order in which it is read.

    Parameters
    ----------
    paper
        ``us-letter`` or ``a4``.
    title, line, day, who, times_are
        What it is, for whom, and which zone its times are in.
    banner
        Empty unless the line is an example.
    left_heading, left_out, left_help, may_wait
        What does not fit, first; what would help; what may wait.
    times, sun
        Label and value.
    dark, unverified
        A line when some of it is in the dark, or some limits are not verified; empty otherwise.
    carry, stops, home
        The bag, the round, the way home.
    warnings
        What this order costs, and what a catch does to it.
    legend, caution, rules, made
        The foot of the card.
    """

    paper: str
    title: str
    line: str
    day: str
    who: str
    times_are: str
    banner: str
    left_heading: str
    left_out: tuple[LeftRow, ...]
    left_help: tuple[tuple[str, str], ...]
    may_wait: str
    times: tuple[tuple[str, str], ...]
    sun: tuple[tuple[str, str], ...]
    dark: str
    unverified: str
    carry: tuple[str, ...]
    stops: tuple[StopBlock, ...]
    home: HomeRow
    warnings: tuple[str, ...]
    legend: tuple[tuple[str, str], ...]
    caution: str
    rules: tuple[str, ...]
    made: str


def build_card(verdict: Verdict, facts: RoundFacts) -> RouteCard:
    """Work out the route card for one round.

    Parameters
    ----------
    verdict
        The plan, and what does not fit.
    facts
        Everything else; every set of the plan must be in it.

    Returns
    -------
    RouteCard
        US letter for people who read US units, A4 for the others.

    Raises
    ------
    Refused
        REP-101 for each set without facts.
    """
    plan = verdict.plan
    check_facts(plan, facts)
    day = plan.leave.astimezone(facts.zone).date()
    return RouteCard(
        paper="us-letter" if facts.units is Units.US else "a4",
        title=f"Route card, {plain(facts.line)}, {day.isoformat()}",
        line=plain(facts.line),
        day=long_day(day),
        who=plain(facts.who),
        times_are=f"times: {facts.zone.key} ({plan.leave.astimezone(facts.zone).tzname()})",
        banner=INVENTED if facts.invented else "",
        left_heading=left_heading(verdict),
        left_out=tuple(_left_row(left, facts, day) for left in plan.left_out if left.must),
        left_help=tuple((RELIEF.get(r.kind, r.kind), plain(r.what)) for r in verdict.reliefs),
        may_wait=wait_words(plan, facts, day),
        times=outing_times(plan, facts),
        sun=sun_times(facts),
        dark=dark_words(plan, facts),
        unverified=unverified_words(plan, facts),
        carry=carry_list(plan, facts),
        stops=_stops(plan, facts, day),
        home=_home(plan, facts),
        warnings=(*catch_words(plan, facts), *ratchet_words(plan, most=8), *map(plain, plan.notes)),
        legend=legend(),
        caution=" ".join(map(plain, facts.cautions)),
        rules=tuple(rule_words(rule, day) for rule in facts.rules) or ("Rule: none in use. NOT VERIFIED.",),
        made=_made(plan, facts),
    )


def _left_row(left: LeftOut, facts: RoundFacts, day: date) -> LeftRow:
    due = at(limit_words(left.due, facts.zone, near=day)) if left.due else "not known"
    return LeftRow(plain(left.set_name), due, plain(facts.sets[left.set_name].landmark), plain(left.why))


def _stops(plan: RoundPlan, facts: RoundFacts, day: date) -> tuple[StopBlock, ...]:
    blocks, order = [], 1
    for number, stop in enumerate(plan.stops, 1):
        rows = tuple(_row(order + i, visit, facts, day) for i, visit in enumerate(stop.visits))
        order += len(rows)
        blocks.append(
            StopBlock(
                title=f"TRUCK {number}  {plain(stop.parking)}",
                drive=drive_words(stop.drive_s, stop.drive_m, facts, estimated=stop.drive_estimated),
                arrive=clock(stop.arrive, facts.zone),
                leave=clock(stop.depart, facts.zone),
                back=_walk(stop, facts),
                note=plain(facts.parking_notes.get(stop.parking, "")),
                rows=rows,
            )
        )
    return tuple(blocks)


def _row(order: int, visit: Visit, facts: RoundFacts, day: date) -> SetRow:
    known = facts.sets[visit.set_name]
    last = day_and_clock(known.last_look, facts.zone, near=day) if known.last_look else ("no", "record")
    sign = set_clock(visit, known, tight_s=facts.time.catch_s)
    limit = limit_of(visit, known)
    due_day, due_clock = limit_words(limit, facts.zone, near=day) if limit else ("", sign.reading.value)
    notes = [plain(known.rule), "" if known.verified else "NOT VERIFIED"] if limit else []
    return SetRow(
        order=order,
        name=plain(visit.set_name),
        tag=f"tag {plain(known.tag)}" if known.tag else "no tag on record",
        landmark=plain(known.landmark) or "no landmark on record",
        extra=_extra(known, facts, day),
        there=clock(visit.look, facts.zone),
        walk=f"{format_minutes(visit.walk_s)}, {format_distance(visit.walk_m, facts.units)}",
        wait=f"wait {format_minutes(visit.wait_s)}" if visit.wait_s >= 30 else "",
        dark=facts.sun is not None and is_dark(visit.look, facts.sun),
        last_day=last[0],
        last_clock=last[1],
        due_day=due_day,
        due_clock=due_clock,
        due_note=" ".join(note for note in notes if note),
        sign=Sign(draw(sign), sign.number, sign.reading.value),
    )


def _extra(known: SetFacts, facts: RoundFacts, day: date) -> str:
    parts = [f"bring {', '.join(map(plain, known.bring))}" if known.bring else "", plain(known.note)]
    if known.personal_due:
        parts.append(f"own limit {at(limit_words(known.personal_due, facts.zone, near=day))}")
    return "; ".join(part for part in parts if part)


def _walk(stop: ParkStop, facts: RoundFacts) -> str:
    return f"walk back {format_minutes(stop.back_s)}, {format_distance(stop.back_m, facts.units)}"


def _home(plan: RoundPlan, facts: RoundFacts) -> HomeRow:
    drive = drive_words(plan.home_s, plan.home_m, facts, estimated=plan.home_estimated)
    return HomeRow(f"BACK  {plain(plan.end)}", drive, clock(plan.back, facts.zone))


def _made(plan: RoundPlan, facts: RoundFacts) -> str:
    source = f"from {plain(facts.made_from)}; " if facts.made_from else ""
    search = f"seed {plan.seed}, {plan.iterations} iterations" if plan.iterations else "worked out exactly"
    return f"Made by tendline {source}{search}."
