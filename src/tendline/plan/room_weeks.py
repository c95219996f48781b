"""Owns how many more sets fit into the days ahead, place by place, and which limit gives way first.

Does not own the days ahead (`plan.weeks_*`), one outing (`plan.room_round`) or the choice among spots.

Whether sets can be tended at all is asked without a price: any choice of rounds that keeps every limit will
do. What is found is timed and checked again as every plan of the days ahead is; "too many" is said to be
proved only where the hopeful model of `plan.weeks_floor` says so.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from tendline.core.when import Span
from tendline.plan.instance import instance_of
from tendline.plan.lp import solve
from tendline.plan.room_count import largest
from tendline.plan.room_ground import DayCosts, with_more
from tendline.plan.room_nouns import DayRoom, Fit, Gives, Prices, Room, Site
from tendline.plan.weeks_blocks import cut_blocks
from tendline.plan.weeks_check import breaches, whole_problem, written
from tendline.plan.weeks_clocks import BlockClocks
from tendline.plan.weeks_floor import Floor, explain, impossible
from tendline.plan.weeks_model import build
from tendline.plan.weeks_nouns import WeekOuting, WeekSet, WeeksProblem
from tendline.plan.weeks_rounds import Pool, Round, make_pool, rounds_of
from tendline.plan.weeks_search import GRAIN_MS, Ground, Limit, make_ground

MOST_AT_ALL = 400
"""No person tends more than this: the count ends here."""

_LONGER = timedelta(minutes=30)
"""Whether windows are what gives way is asked with windows that end so much later."""

_KEEP = 400
"""So many choices of walks of each size are followed up where walks are not cut."""

_ONE_S = 2.5
"""Longest time for one question that is not answered by then [s]."""


@dataclass(frozen=True)
class WeeksSearch:
    """How the days ahead are searched.

    Parameters
    ----------
    limit
        For everything together.
    early_s
        Time in hand that every limit and every return is kept with [s].
    """

    limit: Limit
    early_s: float = 0.0

    def fit(self, problem: WeeksProblem) -> Fit:
        """Say whether rounds can be found that keep every limit; give them, or whether none was proved."""
        fit = self.quick(problem)
        return fit if fit.plan is not None else self.rest(problem)

    def quick(self, problem: WeeksProblem) -> Fit:
        """Look among full rounds that leave as early as may be: those with no room for another walk.

        Walks are taken whole first, which is shorter, then cut, which fits more windows.
        """
        whole = self._ground(problem, cut=False)
        fit = self._chosen(whole, _full(whole.pool, starts=1), grain=None)
        if fit.plan is not None:
            return fit
        ground = self._ground(problem)
        return (
            fit
            if ground.blocks == whole.blocks
            else self._chosen(ground, _full(ground.pool, starts=1), grain=None)
        )

    def rest(self, problem: WeeksProblem) -> Fit:
        """Look for a proof that there are none, and among full rounds at other hours."""
        ground = self._ground(problem)
        if self._impossible(ground, whole=False):
            return Fit(None, proved=True)
        fit = self._chosen(ground, _full(ground.pool, starts=3), grain=GRAIN_MS)
        whole = self._ground(problem, cut=False)
        if fit.plan is None and whole.blocks != ground.blocks:
            fit = self._chosen(whole, _full(whole.pool, starts=3), grain=GRAIN_MS)
        if fit.plan is None:
            return Fit(None, proved=self._impossible(ground, whole=True))
        return fit

    def _ground(self, problem: WeeksProblem, *, cut: bool = True) -> Ground:
        """Work out walks, clocks and tours; without `cut`, walks are only cut where no window holds them."""
        early = int(self.early_s * 1000.0)
        if cut:
            return make_ground(problem, early=early)
        inst = instance_of(whole_problem(problem))
        longest = int(max((one.span.seconds for one in problem.outings), default=0.0) * 1000.0)
        blocks = cut_blocks(problem, inst, longest=max(1, longest - early))
        clocks = BlockClocks(problem, blocks, early)
        pool = make_pool(inst, blocks, clocks, problem.outings, keep=_KEEP)
        return Ground(problem, inst, blocks, clocks, pool)

    def _chosen(self, ground: Ground, rounds: Sequence[Round], *, grain: int | None) -> Fit:
        if not rounds:
            return Fit(None)
        model = build(rounds, ground.clocks, grain=grain)
        model.program.costs[: len(rounds)] = [0.0] * len(rounds)
        seconds = min(_ONE_S, max(0.5, self.limit.left))
        solved = solve(
            model.program, seconds=seconds, seed=self.limit.seed, should_stop=self.limit.should_stop
        )
        if solved.values is None:
            return Fit(None)
        chosen = [one for r, one in enumerate(rounds) if solved.values[r] > 0.5]
        plan = written(ground.problem, chosen, ground.blocks, ground.pool.outings)
        return Fit(None if breaches(ground.problem, plan) else plan)

    def _impossible(self, ground: Ground, *, whole: bool) -> bool:
        """Say whether the hopeful model proves it; time in hand is only wished for, and left out of it."""
        floor = self.floor(ground)
        end = int(ground.problem.span.seconds * 1000)
        return impossible(floor, floor.kinds, end, seconds=_ONE_S / 3, whole=whole)

    def floor(self, ground: Ground) -> Floor:
        """Give the hopeful model of the days ahead."""
        return Floor(ground.inst, replace(ground.clocks, early=0))

    def lacking(self, problem: WeeksProblem) -> float:
        """Give the time that is lacking at least, where it is proved that not everything fits [s]."""
        ground = make_ground(problem)
        why = explain(self.floor(ground), seconds=1.0, whole=True, over=lambda: self.limit.over)
        return why.lacking_s


def _full(pool: Pool, *, starts: int) -> list[Round]:
    """Give the rounds of every outing that have no room for another walk: more looks break no limit."""
    by_length: dict[float, set[frozenset[int]]] = {}
    rounds: list[Round] = []
    for k, outing in enumerate(pool.outings):
        wanted = by_length.setdefault(outing.span.seconds, _full_choices(pool, outing.span))
        made = list(rounds_of(pool, k, starts=starts, only=wanted))
        if len({frozenset(one.order) for one in made}) < len(wanted):
            # Some hours are not lawful for some set: what is full there is found by itself.
            wanted = _widest({frozenset(one.order) for one in rounds_of(pool, k, starts=1)})
            made = list(rounds_of(pool, k, starts=starts, only=wanted))
        rounds += made
    return rounds


def _full_choices(pool: Pool, span: Span) -> set[frozenset[int]]:
    longest = int(span.seconds * 1000) - pool.clocks.early
    return _widest({frozenset(tour.order) for tour in pool.tours if tour.whole <= longest})


def _widest(choices: set[frozenset[int]]) -> set[frozenset[int]]:
    """Keep the choices that are part of no other."""
    masks = np.array(sorted(sum(1 << b for b in choice) for choice in choices), dtype=np.int64)
    full = {int(m) for m in masks if not ((masks & m == m) & (masks != m)).any()}
    return {choice for choice in choices if sum(1 << b for b in choice) in full}


def weeks_room(
    problem: WeeksProblem,
    sites: Sequence[Site],
    *,
    day: DayCosts,
    prices: Prices,
    strict: WeeksProblem | None,
    search: WeeksSearch,
) -> DayRoom:
    """Say how many more sets each place takes in the days ahead.

    Parameters
    ----------
    problem
        As on the day (`room_ground.on_day`).
    sites
        Where more could stand; those on new ground last.
    strict
        The same with the person's own limits kept as if they were law; None when there are none.
    prices
        What more costs, to be told with it.

    Returns
    -------
    DayRoom
        Every number in it was planned, and the plan keeps every limit.
    """
    problem = seen_first(problem)
    fit = search.fit(problem)
    if fit.plan is None:
        lacking = search.lacking(problem) if fit.proved else 0.0
        return DayRoom(day.name, fits=False, prices=prices, proved=fit.proved, lacking_s=lacking)
    kept = None if strict is None else seen_first(strict)
    own = None if kept is None else search.fit(kept).plan is not None
    counting = _Counting(problem, kept if own else None, day, search)
    rooms: list[Room] = []
    for k, site in enumerate(sites):
        search.limit.on_progress(f"room, {day.name}: {site.title or site.name} ({k + 1} of {len(sites)})")
        known = [room.more for room in rooms if not room.site.is_new]
        guess = max(1, known[-1]) if known else 8
        until = search.limit.left * (len(sites) - 1 - k) / (len(sites) - k)
        rooms.append(counting.count(_placed(site, rooms), guess=guess, own=own, until=until))
    search.limit.on_progress(f"room, {day.name}: what gives way first")
    rooms = [counting.sharpened(room) for room in rooms]
    return DayRoom(
        day.name, fits=True, prices=prices, own_fits=own, rooms=tuple(rooms), plan=fit.plan, proved=True
    )


def seen_first(problem: WeeksProblem) -> WeeksProblem:
    """Take sets that are overdue, or of which nobody knows, for looked at when the days ahead begin."""
    now = problem.span.start

    def seen(one: WeekSet) -> WeekSet:
        return replace(one, go_now=False, due=one.clock.next_due(now)) if one.go_now else one

    return replace(problem, sets=tuple(seen(one) for one in problem.sets))


def _placed(site: Site, rooms: Sequence[Room]) -> Site:
    """Put new ground that lies nowhere in particular beside the place with the most room."""
    if not site.is_new or site.parking or site.beside:
        return site
    best = max((r for r in rooms if r.site.beside), key=lambda r: r.more, default=None)
    return site if best is None else replace(site, beside=best.site.beside)


@dataclass(frozen=True, eq=False)
class _Counting:
    problem: WeeksProblem
    strict: WeeksProblem | None
    day: DayCosts
    search: WeeksSearch

    def count(self, site: Site, *, guess: int, own: bool | None, until: float) -> Room:
        """Count one place, as long as `until` seconds are left for the others."""

        def over() -> bool:
            return self.search.limit.over or self.search.limit.left < until

        more = self._largest(self.problem, site, guess, MOST_AT_ALL, over)
        own_more: int | None = None if own is False else more
        if self.strict is not None:
            own_more = self._largest(self.strict, site, more, more, over)
        return Room(site, more, own_more=own_more)

    def _largest(
        self, problem: WeeksProblem, site: Site, guess: int, most: int, over: Callable[[], bool]
    ) -> int:
        def ask(count: int) -> Fit:
            return self.search.quick(self._more(problem, site, count))

        return largest(ask, least=0, most=most, step=guess, over=over).more

    def sharpened(self, room: Room) -> Room:
        """Look with all means for one more, and say what gives way, as long as there is time."""
        more, proved = room.more, False
        while not self.search.limit.over and more < MOST_AT_ALL:
            fit = self.search.rest(self._more(self.problem, room.site, more + 1))
            if fit.plan is None:
                proved = fit.proved
                break
            more += 1
        if self.search.limit.over:
            return replace(room, more=more)
        gives = self._gives(room.site, more + 1)
        return replace(room, more=more, most=more if proved else None, gives=gives)

    def _more(self, problem: WeeksProblem, site: Site, count: int) -> WeeksProblem:
        return with_more(problem, site, count, self.day, like_most(problem))

    def _gives(self, site: Site, count: int) -> Gives:
        """Say which limit gives way: the windows, when longer ones would do; else the gaps."""
        more = self._more(self.problem, site, count)
        wide = replace(more, outings=_longer(more.outings, more.span))
        return Gives.GAP if self.search.quick(wide).plan is None else Gives.WINDOW


def _longer(outings: Sequence[WeekOuting], span: Span) -> tuple[WeekOuting, ...]:
    """Let every window end later, but not after the next one of the same person begins."""
    found = []
    for one in outings:
        following = [o.span.start for o in outings if o.who == one.who and o.span.start >= one.span.end]
        end = min([one.span.end + _LONGER, span.end, *following])
        found.append(WeekOuting(one.who, Span(one.span.start, max(end, one.span.end))))
    return tuple(found)


def like_most(problem: WeeksProblem) -> Callable[[str, float], WeekSet]:
    """Give what makes a set on new ground: under the rule that most sets have, as though made just now."""
    common = Counter(one.clock.key for one in problem.sets).most_common(1)[0][0]
    host = next(one for one in problem.sets if one.clock.key == common)

    def make(name: str, service_s: float) -> WeekSet:
        return as_new(host, name, service_s, problem)

    return make


def as_new(host: WeekSet, name: str, service_s: float, problem: WeeksProblem) -> WeekSet:
    """Give a set under the rule of another, as though it were made when the days ahead begin."""
    now = problem.span.start
    return replace(
        host,
        name=name,
        service_s=service_s,
        last_look=now,
        due=host.clock.next_due(now),
        go_now=False,
    )
