"""Owns how many more sets fit into the days ahead, place by place, and which limit gives way first.

Does not own whether rounds keep every limit (`plan.room_feasible`), one outing (`plan.room_round`) or the
choice among spots.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from tendline.core.when import Span
from tendline.plan.itinerary import RoundPlan
from tendline.plan.room_count import largest
from tendline.plan.room_feasible import WeeksSearch
from tendline.plan.room_ground import DayCosts, with_more
from tendline.plan.room_nouns import DayRoom, Fit, Gives, Prices, Room, Site
from tendline.plan.weeks_nouns import WeekOuting, WeekSet, WeeksPlan, WeeksProblem

MOST_AT_ALL = 400
"""No person tends more than this: the count ends here."""

_LONGER = timedelta(minutes=30)
"""Whether windows are what gives way is asked with windows that end so much later."""


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
        """Say what is proved too many, look with all means for one more, and say what gives way."""
        more, most = room.more, self._most(room.site, room.more)
        proved, plan = most == more, None
        while not self.search.limit.over and not proved and more < (most or MOST_AT_ALL):
            fit = self.search.rest(self._more(self.problem, room.site, more + 1))
            if fit.plan is None:
                proved = fit.proved
                break
            more, plan = more + 1, fit.plan
        room = replace(room, more=more, most=more if proved or most == more else most)
        if self.search.limit.over:
            return room
        gives = self._gives(room.site, more + 1)
        if gives is not Gives.GAP:
            return replace(room, gives=gives)
        plan = plan or self.search.quick(self._more(self.problem, room.site, more)).plan
        return replace(room, gives=gives, first=self._tightest(plan))

    def _most(self, site: Site, more: int) -> int | None:
        """Give the number above which the hopeful model proves all too many: doubled, then halved."""

        def out(count: int) -> bool:
            return self.search.too_many(self._more(self.problem, site, count))

        low, step, high = more, 1, more + 1
        while not out(high):
            low, step, high = high, 2 * step, high + 2 * step
            if high > MOST_AT_ALL or self.search.limit.should_stop():
                return None
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if out(middle) else (middle, high)
        return low

    def _tightest(self, plan: RoundPlan | WeeksPlan | None) -> str:
        """Name the set with the least time in hand in a plan; empty for none."""
        known = {one.name for one in self.problem.sets}
        looks = plan.looks if isinstance(plan, WeeksPlan) else ()
        slack = [(one.least_slack, one.set_name) for one in looks if one.least_slack is not None]
        return min((pair for pair in slack if pair[1] in known), default=(None, ""))[1]

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
