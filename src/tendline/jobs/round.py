"""Owns the job `tendline round`: one outing planned, from what is due to the order of walking.

Does not own the search (`plan.route`), the ways (`round_ground`) or the wording (`report`).
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from tendline.almanac.effort import KILOCALORIE_J
from tendline.core.errors import refuse
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.core.units import KILOGRAMS_PER_POUND, Units
from tendline.jobs.answer import Answer
from tendline.jobs.faults import NO_ROUND
from tendline.jobs.outing import Outing, read_outing
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.round_cold import cold_cautions
from tendline.jobs.round_facts import gather_facts
from tendline.jobs.round_ground import End, Ways, find_ways
from tendline.jobs.round_problem import Wanted, last_looks, wanted_sets
from tendline.jobs.walks import Tell
from tendline.jobs.words_in import place_value
from tendline.jobs.workspace import Workspace
from tendline.logbook.admit import HOME
from tendline.logbook.fold import line_at
from tendline.plan.itinerary import RoundProblem, Verdict
from tendline.plan.route import plan_round
from tendline.report.facts import RoundFacts
from tendline.report.itinerary_json import round_document
from tendline.report.itinerary_text import round_text
from tendline.report.terminal_map import Mark, draw_map


@dataclass(frozen=True)
class Asked:
    """What a person asks of a round, as written.

    Parameters
    ----------
    start, back, on, who
        When and who; see `outing.read_outing`.
    origin, destination
        Where the truck starts and must be back: a parking, or LON,LAT; home when left out.
    must, skip, everything, only_due
        Which sets; see `round_problem.wanted_sets`.
    seed, seconds, iterations
        How long to search; the same seed and iterations give the same plan.
    forecast, weather
        A saved forecast, or one typed in, for the cold of the outing; one of them at most.
    """

    start: str | None = None
    back: str | None = None
    on: str | None = None
    who: str = ""
    origin: str = ""
    destination: str = ""
    must: tuple[str, ...] = ()
    skip: tuple[str, ...] = ()
    everything: bool = False
    only_due: bool = False
    seed: int = 1
    seconds: float | None = 10.0
    iterations: int | None = None
    forecast: str = ""
    weather: str = ""


@dataclass(frozen=True)
class Planned:
    """A planned round with all that a reader needs."""

    verdict: Verdict
    facts: RoundFacts
    line: LineState
    ways: Ways
    problem: RoundProblem
    outing: Outing


def plan(
    space: Workspace,
    asked: Asked,
    *,
    tell: Tell = lambda _: None,
    should_stop: Callable[[], bool] | None = None,
) -> Planned:
    """Plan one outing.

    Parameters
    ----------
    space
        The opened line.
    asked
        What is wanted.
    tell
        Is told how far things are.
    should_stop
        Asked now and then; True ends the search with the best plan so far.

    Raises
    ------
    Refused
        JOB-301, JOB-401, JOB-402, PLAN-1xx, TERR-1xx, RULE-1xx, GND-xxx.
    """
    events = space.events()
    line = line_at(events, at=space.now)
    start = end_named(space, line, asked.origin, "start")
    end = end_named(space, line, asked.destination, "end") if asked.destination else start
    profiles = profiles_in_use(space, line)
    outing = read_outing(space, line, start=asked.start, back=asked.back, on=asked.on, who=asked.who)
    cold = cold_cautions(space, line, outing.span, events, forecast=asked.forecast, weather=asked.weather)
    wanted = wanted_sets(
        space,
        line,
        outing,
        profiles=profiles,
        must=asked.must,
        skip=asked.skip,
        everything=asked.everything,
        only_due=asked.only_due,
    )
    sets = [line.sets[task.name] for task in wanted.tasks]
    ways = find_ways(space, line, sets, ends=(start, end), tell=tell, starts=(outing.span.start,))
    problem = problem_of(space, outing, wanted, ways, (start, end))
    verdict = solved(problem, wanted, line, asked, tell=tell, should_stop=should_stop)
    said = (*outing.assumed, *ways.said)
    facts = gather_facts(space, line, outing, rows=wanted.rows, profiles=profiles, events=events, said=said)
    facts = replace(facts, cautions=(*facts.cautions, *cold))
    return Planned(verdict, facts, line, ways, problem, outing)


def end_named(space: Workspace, line: LineState, given: str, word: str) -> End:
    """Read where the truck starts or must be back."""
    if given.lower() in ("", HOME):
        if space.settings.home is None:
            do = "Put home = [LON, LAT] into line.toml, or give --from."
            raise refuse(NO_ROUND, "nothing says where outings start.", "line.toml", do)
        return End(HOME, space.settings.home, HOME)
    parking = next((p for p in line.parkings.values() if p.name.lower() == given.lower()), None)
    if parking is not None:
        return End(f"{parking.name} ({word})", parking.place, parking.name)
    return End(given, place_value(given, where=f"the {word}").place, "")


def solved(
    problem: RoundProblem,
    wanted: Wanted,
    line: LineState,
    asked: Asked,
    *,
    tell: Tell,
    should_stop: Callable[[], bool] | None,
) -> Verdict:
    """Plan one outing for as long as was asked, and say of it what `finished` adds."""
    verdict = plan_round(
        problem,
        seed=asked.seed,
        seconds=asked.seconds,
        iterations=asked.iterations,
        last_looks=last_looks(line),
        on_progress=lambda progress: tell(str(progress)),
        should_stop=should_stop,
    )
    return finished(verdict, wanted)


def problem_of(
    space: Workspace, outing: Outing, wanted: Wanted, ways: Ways, ends: tuple[End, End]
) -> RoundProblem:
    """Put one outing together: what is wanted, the ways, where it starts and ends."""
    start, end = ends
    used = tuple(name for name in ways.drive.names if name not in (start.label, end.label))
    return RoundProblem(
        start=start.label,
        end=end.label,
        outing=outing.span,
        sets=wanted.tasks,
        parkings=used,
        park_s=space.settings.time.park_s,
        drive=ways.drive,
        walk=ways.walk,
    )


def finished(verdict: Verdict, wanted: Wanted) -> Verdict:
    """Add the sets that no hour of the outing is lawful for."""
    plan_ = verdict.plan
    plan_ = replace(plan_, left_out=(*wanted.barred, *plan_.left_out))
    return replace(verdict, plan=plan_, fits=verdict.fits and not wanted.barred)


def round_(
    space: Workspace,
    asked: Asked,
    *,
    width: int = 100,
    tell: Tell = lambda _: None,
    should_stop: Callable[[], bool] | None = None,
) -> Answer:
    """Plan one outing and tell it.

    Returns
    -------
    Answer
        Bad news when not everything that must be visited fits.

    Raises
    ------
    Refused
        As `plan`.
    """
    planned = plan(space, asked, tell=tell, should_stop=should_stop)
    text = [
        round_text(planned.verdict, planned.facts, width=width),
        "",
        round_map(planned, width=min(width, 100)),
    ]
    energy_j = walk_energy_j(planned)
    notes = (*planned.outing.assumed, *planned.ways.said, effort_words(space, energy_j))
    text += ["", *(f"Note: {sentence}." for sentence in notes)]
    return Answer(
        "\n".join(text),
        planned_document(planned),
        bad_news=not planned.verdict.fits,
        warnings=planned.line.warnings,
    )


def planned_document(planned: Planned) -> dict[str, Any]:
    """Give a planned round as the document that `--json` prints."""
    kilojoules = round(walk_energy_j(planned) / 1000)
    return {**round_document(planned.verdict, planned.facts), "walk_energy_kj": kilojoules}


def walk_energy_j(planned: Planned) -> float:
    """Give what all the walks of a round cost the body [J]."""
    return sum(planned.ways.energy_j(a, b) for a, b in _legs(planned) if a != b)


def effort_words(space: Workspace, energy_j: float) -> str:
    """Say what the walks cost the body, for a person who packs food."""
    walk = space.settings.walk
    if space.settings.units is Units.US:
        body, load = (f"{kg / KILOGRAMS_PER_POUND:.0f} lb" for kg in (walk.body_kg, walk.load_kg))
    else:
        body, load = (f"{kg:.0f} kg" for kg in (walk.body_kg, walk.load_kg))
    kilocalories = round(energy_j / KILOCALORIE_J / 10) * 10
    return f"the walking takes about {kilocalories} kcal ({energy_j / 1e6:.1f} MJ) at {body} with {load}"


def round_map(planned: Planned, *, width: int = 80) -> str:
    """Draw the round in letters: sets by their order, parkings by letter, walks as strokes."""
    line, route = planned.line, planned.verdict.plan
    sets = [
        Mark(str(order), line.sets[visit.set_name].fix.place, visit.set_name)
        for order, visit in enumerate(route.visits, start=1)
    ]
    parkings = [
        Mark(_letter(order), line.parkings[stop.parking].place, stop.parking)
        for order, stop in enumerate(route.stops)
    ]
    outlines = [parcel.outline for parcel in line.parcels.values()]
    return draw_map(
        sets, parkings, walks=walks_of(planned), outlines=outlines, width=width, units=planned.facts.units
    )


def _letter(order: int) -> str:
    return chr(ord("A") + order) if order < 26 else f"Z{order - 25}"


def _legs(planned: Planned) -> list[tuple[str, str]]:
    """Give every walk of a round, from where to where."""
    legs: list[tuple[str, str]] = []
    for stop in planned.verdict.plan.stops:
        legs += pairwise([stop.parking, *(v.set_name for v in stop.visits), stop.parking])
    return legs


def walks_of(planned: Planned) -> list[Sequence[LonLat]]:
    """Give the ways on foot of a round, leg by leg."""
    return [planned.ways.path(a, b) for a, b in _legs(planned)]


def names_of(words: Collection[str]) -> tuple[str, ...]:
    """Split names written with commas or spaces."""
    return tuple(name for word in words for name in word.replace(",", " ").split())
