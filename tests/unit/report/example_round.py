"""An invented round on an invented line, built by hand so that every number in it is known."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from tendline.almanac.sun import SunTimes
from tendline.core.settings import TimeCosts
from tendline.core.units import Units
from tendline.core.when import Span
from tendline.plan.itinerary import (
    BadMorning,
    LeftOut,
    ParkStop,
    Ratchet,
    Relief,
    RoundPlan,
    Verdict,
    Visit,
)
from tendline.report.facts import RoundFacts, RuleNote, SetFacts

ZONE = ZoneInfo("America/New_York")
LIMIT = timedelta(hours=24)
LANDMARKS = (
    "leaning cherry, 20 paces N of the gap",
    "third post past the culvert",
    "big rock, downhill side",
    "twin birch on the bench",
    "old hay rake, 12 paces E",
    "blue barrel at the field corner, then 40 paces along the fencerow to a forked ash",
)
GROUND = (("mill-lane", "mill", 7), ("quarry", "N", 6), ("back-forty", "back", 5))


def local(hour: int, minute: int, *, day: int = 15) -> datetime:
    """An instant of January 2026 by the clock on the wall."""
    return datetime(2026, 1, day, hour, minute, tzinfo=ZONE).astimezone(UTC)


def sun(dawn: datetime, dusk: datetime) -> SunTimes:
    """An invented day, the sun up from half an hour after dawn to half an hour before dusk."""
    half = timedelta(minutes=30)
    return SunTimes(date(2026, 1, 15), dawn + (dusk - dawn) / 2, dawn, dawn + half, dusk - half, dusk, {})


def stop_of(
    parking: str,
    names: Sequence[str],
    *,
    arrive: datetime,
    drive_s: float,
    last: dict[str, datetime],
    estimated: bool = True,
) -> ParkStop:
    """Walk `names` in order: four minutes between sets, one at each, three to gear up."""
    now, visits = arrive + timedelta(minutes=3), []
    for i, name in enumerate(names):
        walk = 60.0 * (3 + i % 4)
        look = now + timedelta(seconds=walk)
        leave = look + timedelta(minutes=1)
        due = last[name] + LIMIT
        visits.append(Visit(name, walk, walk * 0.8, 0.0, look, leave, due, (due - look).total_seconds()))
        now = leave
    return ParkStop(
        parking,
        drive_s,
        drive_s * 11.0,
        estimated,
        arrive,
        now + timedelta(minutes=5),
        tuple(visits),
        300.0,
        240.0,
    )


def example_plan(ground: Sequence[tuple[str, str, int]] = GROUND) -> RoundPlan:
    """A round that leaves at 04:50 and keeps every limit."""
    leave = local(4, 50)
    now, stops = leave, []
    names_of = {parking: [f"{stem}-{i}" for i in range(1, n + 1)] for parking, stem, n in ground}
    last = last_looks(ground)
    for parking, names in names_of.items():
        stop = stop_of(parking, names, arrive=now + timedelta(minutes=12), drive_s=720.0, last=last)
        stops.append(stop)
        now = stop.depart
    back = now + timedelta(minutes=14)
    first, latest = stops[0].visits[0], max(back, local(9, 30))
    return RoundPlan(
        start="home",
        end="home",
        outing=Span(leave, latest),
        leave=leave,
        back=back,
        stops=tuple(stops),
        home_s=840.0,
        home_m=9240.0,
        home_estimated=True,
        ratchets=(Ratchet(first.set_name, last[first.set_name], first.look, 1500.0),),
        bad_mornings=tuple(bad_morning(n, stops, back, latest) for n in (1, 2)),
        seed=1,
        iterations=400,
    )


def bad_morning(catches: int, stops: Sequence[ParkStop], back: datetime, latest: datetime) -> BadMorning:
    """So many catches of 25 minutes at the very first set: everything after it is that much later."""
    delay = catches * 1500.0
    visits = [visit for stop in stops for visit in stop.visits][1:]
    late = tuple(v.set_name for v in visits if v.slack_s is not None and v.slack_s < delay)
    end = back + timedelta(seconds=delay)
    return BadMorning(catches, end, late, max(0.0, (end - latest).total_seconds()))


def last_looks(ground: Sequence[tuple[str, str, int]] = GROUND) -> dict[str, datetime]:
    """Yesterday's looks: from 05:40, later and later in the order of the names, with some much later."""
    return {
        name: local(5, 40, day=14) + timedelta(minutes=9 * i + 41 * (i % 3))
        for i, name in enumerate(names_of(ground))
    }


def example_facts(ground: Sequence[tuple[str, str, int]] = GROUND, *, units: Units = Units.US) -> RoundFacts:
    """Facts for every set of `example_plan`, and for two that are left out in `example_short`."""
    looks = last_looks(ground)
    sets = {
        name: SetFacts(
            name,
            landmark=LANDMARKS[i % len(LANDMARKS)],
            tag=str(1040 + i),
            last_look=look,
            rule="24 h",
            verified=True,
        )
        for i, (name, look) in enumerate(looks.items())
    }
    for name in ("far-1", "far-2", "wait-1"):
        sets[name] = SetFacts(
            name, landmark="beyond the ford", tag="1099", last_look=local(6, 0, day=14), verified=True
        )
    if "mill-2" in sets:
        sets["mill-2"] = replace(sets["mill-2"], bring=("shovel",), note="dog in the yard, go round")
    return RoundFacts(
        line="Corran Hollow",
        who="Robin Invented",
        zone=ZONE,
        units=units,
        sets=sets,
        sun=sun(local(7, 5), local(17, 35)),
        rules=(
            RuleNote(
                "corran-example",
                "a look within 24 hours of the last one.",
                "Invented rules of Corran, section 2 (invented, read 2026-01-02)",
                date(2026, 1, 2),
                date(2026, 2, 28),
            ),
        ),
        time=TimeCosts(),
        parking_notes={"quarry": "Chain on the gate: key 4. Leave room for the plow."},
        carry=("thermos",),
        snow=True,
        invented=True,
        made_from="a logbook of 412 events, last Wed 14 Jan 19:30",
    )


def names_of(ground: Sequence[tuple[str, str, int]] = GROUND) -> list[str]:
    """Every set of `example_plan`, in the order of the round."""
    return [f"{stem}-{i}" for _, stem, n in ground for i in range(1, n + 1)]


def example_verdict(ground: Sequence[tuple[str, str, int]] = GROUND) -> Verdict:
    """All fits."""
    return Verdict(example_plan(ground), fits=True, proven=True)


def example_short() -> Verdict:
    """Two sets do not fit and one may wait."""
    plan = replace(
        example_plan(),
        left_out=(
            LeftOut("far-1", True, local(6, 0), "its limit passes before the truck can be there"),
            LeftOut("far-2", True, local(6, 5), "its limit passes before the truck can be there"),
            LeftOut("wait-1", False, local(6, 0, day=16), "can wait for the next outing"),
        ),
    )
    reliefs = (
        Relief(
            "drop",
            "Leave out far-1 and far-2: their limits pass.",
            ("far-1", "far-2"),
            0,
            True,
            {"far-1": local(6, 0), "far-2": local(6, 5)},
        ),
        Relief("earlier start", "Leave at 04:05, 45 min earlier.", (), 45, True),
    )
    return Verdict(plan, fits=False, proven=True, reliefs=reliefs)
