"""Owns the job `tendline room`: how many more sets can be tended, where, and which spots to set.

Does not own the counting (`plan.room_round`, `plan.room_weeks`), the choice (`plan.room_spots`), what it is
counted from (`room_problem`, `room_spots`) or the wording (`report.room_text`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from tendline.core.errors import Refused, refuse
from tendline.core.line import LineState
from tendline.jobs.answer import Answer
from tendline.jobs.faults import NO_ROUND
from tendline.jobs.outing import Outing, read_outing
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.room_asked import AskedRoom, check_asked
from tendline.jobs.room_choose import choose_on_outing, choose_over_weeks
from tendline.jobs.room_problem import (
    day_kinds,
    outing_problem,
    own_limits,
    places_too,
    prices_of,
    reserve_s,
    sites_of,
    weeks_problem,
)
from tendline.jobs.room_spots import Gathered, gather_spots
from tendline.jobs.round import end_named
from tendline.jobs.round_ground import End, Ways, find_ways
from tendline.jobs.round_problem import Wanted, wanted_sets
from tendline.jobs.walks import Tell
from tendline.jobs.weeks_problem import Ahead, ahead
from tendline.jobs.words_in import place_value
from tendline.jobs.workspace import Workspace
from tendline.logbook.fold import line_at
from tendline.plan.asked import check
from tendline.plan.budget import Budget
from tendline.plan.room_feasible import WeeksSearch
from tendline.plan.room_ground import DayCosts, on_day
from tendline.plan.room_nouns import DayRoom, Site
from tendline.plan.room_round import RoundSearch, round_room
from tendline.plan.room_weeks import weeks_room
from tendline.plan.weeks_asked import check_weeks
from tendline.plan.weeks_limit import Limit
from tendline.plan.weeks_nouns import WeeksProblem
from tendline.report.room_json import room_document
from tendline.report.room_nouns import RoomFacts, SpotsTold
from tendline.report.room_text import room_text
from tendline.rules.shape import Profile

Stop = Callable[[], bool]
_SNOW_SHARE = 0.3
_FAIR_SHARE = 0.6
"""Of the time for spots, for those of a fair day; the rest for a morning after snow."""


def room(
    space: Workspace,
    asked: AskedRoom,
    *,
    width: int = 100,
    tell: Tell = lambda _: None,
    should_stop: Stop = lambda: False,
) -> Answer:
    """Count how many more sets can be tended, and choose among spots.

    Returns
    -------
    Answer
        Bad news when what stands now cannot be tended on a fair day.

    Raises
    ------
    Refused
        JOB-301, JOB-401, JOB-402, JOB-421, PLAN-101 to PLAN-125, TERR-1xx, RULE-1xx, GND-xxx, CORE-203,
        CORE-204.
    """
    check_asked(asked)
    events = space.events()
    line = line_at(events, at=space.now)
    profiles = profiles_in_use(space, line)
    gathered = gather_spots(space, line, events, files=asked.spots.files, sign=asked.spots.sign)
    whole = _Whole(space, line, profiles, asked, gathered, tell, should_stop)
    facts = whole.outing() if asked.one_outing else whole.weeks()
    return Answer(
        room_text(facts, width=width),
        room_document(facts),
        bad_news=not facts.days[0].fits,
        warnings=line.warnings,
    )


@dataclass(frozen=True)
class _Whole:
    space: Workspace
    line: LineState
    profiles: Mapping[str, Profile]
    asked: AskedRoom
    gathered: Gathered
    tell: Tell
    should_stop: Stop

    def outing(self) -> RoomFacts:
        """Count on one outing."""
        space, asked = self.space, self.asked
        outing = read_outing(space, self.line, start=asked.start, back=asked.back, on=asked.on, who=asked.who)
        wanted = self._wanted(outing)
        home = end_named(space, self.line, asked.origin, "start")
        names = [task.name for task in wanted.tasks]
        ways, new = self._ways(names, home, [outing.span.start])
        reserve = reserve_s(space.settings, asked.costs)
        problem = outing_problem(space, outing, wanted, ways, (home, home), reserve=reserve)
        if problem.sets:
            check(problem, seed=asked.seed, seconds=asked.seconds)
        sites = sites_of(self.line, names, problem, asked.costs, new)
        own = own_limits(space, wanted, outing)
        budget = Budget(seconds=asked.seconds, should_stop=self.should_stop)
        search = RoundSearch(asked.seed, budget)
        kinds, days = day_kinds(space.settings, asked.costs), list[DayRoom]()
        for day in kinds:
            self.tell(f"room: {day.name}")
            prices = prices_of(sites, day, park_s=problem.park_s, drive=problem.drive, home=problem.start)
            days.append(
                round_room(on_day(problem, day), sites, day=day, prices=prices, own=own, search=search)
            )

        def choose(day: DayCosts) -> SpotsTold | None:
            return choose_on_outing(
                space, self.line, self.gathered, asked.spots, problem=problem, day=day, search=search
            )

        chosen = _with_snow(choose(kinds[0]), lambda: choose(kinds[1]))
        late = [] if names else ["nothing must be looked at on this outing: it is counted as empty"]
        late += [f"{one.set_name} is due, but no hour of this outing is lawful" for one in wanted.barred]
        return self._facts(days, chosen, outing=outing, said=(*outing.assumed, *late, *ways.said))

    def _wanted(self, outing: Outing) -> Wanted:
        """Give what must be looked at; nothing, where nothing falls due."""
        try:
            return wanted_sets(
                self.space,
                self.line,
                outing,
                profiles=self.profiles,
                everything=self.asked.everything,
                only_due=True,
            )
        except Refused as problem:
            if {fault.code for fault in problem.faults} != {NO_ROUND}:
                raise
            return Wanted({}, (), (), ())

    def _ways(self, names: Sequence[str], home: End, starts: Sequence[datetime]) -> tuple[Ways, str]:
        """Find the ways; give the name of the new ground that was named, if any."""
        ends, new = [home], ""
        if self.asked.new:
            new = self.asked.new
            ends.append(End(new, place_value(new, where="--new").place, ""))
        places = places_too(self.line, names, self.gathered.spots)
        if not names and not places:
            raise refuse(
                NO_ROUND,
                "there is no set to be looked at, no parcel with a parking, and no spot.",
                "",
                "Note or bring parcels and parkings; --all counts sets that are not due as well.",
            )
        sets = [*(self.line.sets[name] for name in names), *places]
        return find_ways(self.space, self.line, sets, ends=ends, tell=self.tell, starts=starts), new

    def weeks(self) -> RoomFacts:
        """Count over the days ahead."""
        space, asked = self.space, self.asked
        wanted, strict = self._ahead("shown"), self._ahead("also")
        home = end_named(space, self.line, asked.origin, "start")
        names = [one.name for one in wanted.sets]
        ways, new = self._ways(names, home, [one.span.start for one in wanted.outings])
        problem = weeks_problem(space, wanted, ways, home)
        check_weeks(problem)
        sites = sites_of(self.line, names, problem, asked.costs, new)
        kinds = day_kinds(space.settings, asked.costs)
        own = weeks_problem(space, strict, ways, home) if space.settings.personal.hours else None
        whole = Limit(asked.seconds, asked.seed, self.tell, self.should_stop)
        rest = 0.7 if self.gathered.spots else 1.0
        # After snow is asked first: it is often answered at once, and a fair day gets the time that is left.
        snow = self._day(problem, own, sites, kinds[1], self._search(_SNOW_SHARE * whole.left))
        fair = self._day(problem, own, sites, kinds[0], self._search(rest * whole.left))

        def choose(day: DayCosts, share: float) -> SpotsTold | None:
            search, spots = self._search(share * whole.left), asked.spots
            return choose_over_weeks(
                space, self.line, self.gathered, spots, problem=problem, day=day, search=search
            )

        chosen = _with_snow(choose(kinds[0], _FAIR_SHARE), lambda: choose(kinds[1], 1.0))
        return self._facts((fair, snow), chosen, ahead=wanted, said=(*wanted.said, *ways.said))

    def _day(
        self,
        problem: WeeksProblem,
        own: WeeksProblem | None,
        sites: Sequence[Site],
        day: DayCosts,
        search: WeeksSearch,
    ) -> DayRoom:
        prices = prices_of(sites, day, park_s=problem.park_s, drive=problem.drive, home=problem.start)
        strict = None if own is None else on_day(own, day)
        return weeks_room(on_day(problem, day), sites, day=day, prices=prices, strict=strict, search=search)

    def _search(self, seconds: float) -> WeeksSearch:
        limit = Limit(seconds, self.asked.seed, self.tell, self.should_stop)
        return WeeksSearch(limit, reserve_s(self.space.settings, self.asked.costs))

    def _ahead(self, own: str) -> Ahead:
        asked = self.asked
        if not (asked.mornings or asked.evenings or self.line.available):
            raise refuse(
                NO_ROUND,
                "nothing says when anybody can go.",
                "",
                "Give one outing, --start 05:00 --back 08:00; or windows, --mornings 05:00-08:00; "
                "or note available for the days ahead.",
            )
        return ahead(
            self.space,
            self.line,
            days=asked.days,
            mornings=asked.mornings,
            evenings=asked.evenings,
            who=asked.people,
            profiles=self.profiles,
            own=own,
        )

    def _facts(
        self,
        days: Sequence[DayRoom],
        chosen: SpotsTold | None,
        *,
        outing: Outing | None = None,
        ahead: Ahead | None = None,
        said: Sequence[str],
    ) -> RoomFacts:
        settings = self.space.settings
        invented = settings.invented or any(profile.invented for profile in self.profiles.values())
        span = outing.span if outing is not None else ahead.span if ahead is not None else None
        assert span is not None
        return RoomFacts(
            line=settings.name,
            zone=settings.zone,
            units=settings.units,
            span=span,
            outing=outing is not None,
            windows=0 if ahead is None else len(ahead.outings),
            days=tuple(days),
            stands=len(self.line.in_field),
            aside_m=self.asked.costs.aside_m,
            catches=self.asked.costs.catches,
            time=settings.time,
            own_hours=settings.personal.hours,
            spots=chosen,
            said=(*self.gathered.said, *said),
            invented=invented,
            seed=self.asked.seed,
        )


def _with_snow(fair: SpotsTold | None, snow: Callable[[], SpotsTold | None]) -> SpotsTold | None:
    """Put the choice of a morning after snow beside that of a fair day, where anything can be chosen."""
    if fair is None or not fair.choice.chosen:
        return fair
    told = snow()
    return fair if told is None else replace(fair, snow=told.choice)
