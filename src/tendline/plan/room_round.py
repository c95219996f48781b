"""Owns how many more sets fit into one outing, place by place, and which limit gives way first.

Does not own a choice among spots (`plan.room_spots`) or several outings (`plan.room_weeks`).

A set more beside one that stands makes every round longer by the same, whatever its order: so the shortest
round without limits, known exactly from tables, gives a number above which nothing fits, and the round in
hand, timed again, one that does. Only between the two is anything searched.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from tendline.core.when import Span
from tendline.plan.budget import Budget
from tendline.plan.counts import ends_by_count
from tendline.plan.instance import Instance, instance_of, narrowed
from tendline.plan.itinerary import RoundPlan, RoundProblem, SetTask
from tendline.plan.optimum import Quest, quest
from tendline.plan.proof import least_end, shortfall, straight
from tendline.plan.room_count import largest
from tendline.plan.room_ground import DayCosts, with_more
from tendline.plan.room_nouns import DayRoom, Fit, Gives, Prices, Room, Site
from tendline.plan.schedule import plan_of
from tendline.plan.tables import tables_of
from tendline.plan.ties import settle_ties
from tendline.plan.timing import Order, cost

_LATER = timedelta(days=1)
_WIDE = timedelta(days=2)


@dataclass(frozen=True, eq=False)
class RoundSearch:
    """How an outing is searched.

    Parameters
    ----------
    seed
        Of the search.
    budget
        For everything together.
    share
        Of its seconds and iterations, for one question that the round in hand does not answer.
    """

    seed: int
    budget: Budget
    share: float = 0.05

    def fit(self, problem: RoundProblem, hand: Sequence[Order] = ()) -> tuple[Fit, Order]:
        """Say whether a round looks at every set in time; give it and its order.

        Parameters
        ----------
        hand
            Orders that may do already; sets they leave out are put in where they fit.
        """
        inst = instance_of(problem)
        if not problem.sets:
            return Fit(plan_of(problem, inst, [])), []
        for order in hand:
            if not _missing(inst, order) and cost(inst, order) is not None:
                return Fit(plan_of(problem, inst, order)), order
        if least_end(inst, set(range(inst.count)), tables_of(inst)) > inst.latest:
            return Fit(None, proved=True), []
        part = self.budget.part(self.share, doing="room")
        search = quest(inst, tables_of(inst), seed=self.seed, budget=part, enough=True)
        for order in hand:
            if cost(inst, order) is not None:
                search.offer(order, part)
        return self._searched(problem, inst, search, part)

    def _searched(
        self, problem: RoundProblem, inst: Instance, search: Quest, part: Budget
    ) -> tuple[Fit, Order]:
        best = search.run(part)
        while left := len(best.found.missing):
            proof = self.budget.part(self.share, doing="room")
            short = shortfall(inst, in_hand=left, budget=proof)
            if short.better is None or not search.offer(short.better, proof):
                return Fit(None, proved=short.at_least > 0), best.found.order
            best = search.best
        return Fit(plan_of(problem, inst, best.found.order)), best.found.order

    def shortest(self, problem: RoundProblem, hand: Order) -> Order:
        """Give a round over every set that is back as early as can be found."""
        inst = instance_of(problem)
        if not problem.sets:
            return []
        part = self.budget.part(4 * self.share, doing="room")
        start = hand if cost(inst, hand) is not None else None
        found = quest(inst, tables_of(inst), seed=self.seed, budget=part, start=start).run(part).found
        return settle_ties(inst, found.order) if not found.missing else hand


def _missing(inst: Instance, order: Order) -> set[int]:
    return set(range(inst.count)) - {i for stop in order for i in stop[1:]}


def round_room(
    problem: RoundProblem,
    sites: Sequence[Site],
    *,
    day: DayCosts,
    prices: Prices,
    own: Mapping[str, datetime],
    search: RoundSearch,
) -> DayRoom:
    """Say how many more sets each place takes on one outing.

    Parameters
    ----------
    problem
        As on the day (`room_ground.on_day`); every set in it must be looked at.
    sites
        Where more could stand.
    own
        By set, the person's own limit, where it is before the legal one.
    prices
        What more costs, to be told with it.

    Returns
    -------
    DayRoom
        Every number in it was planned, and the plan keeps every limit.
    """
    fit, order = search.fit(problem)
    inst = instance_of(problem)
    if not isinstance(fit.plan, RoundPlan):
        least = least_end(inst, set(range(inst.count)), tables_of(inst))
        lacking = max(0, least - inst.latest) / 1000.0
        return DayRoom(
            day.name,
            fits=False,
            prices=prices,
            proved=fit.proved,
            lacking_s=lacking,
            too_many=_too_many(inst),
        )
    order = search.shortest(problem, order)
    plan = plan_of(problem, inst, order)
    strict = kept_too(problem, own)
    own_fit, own_order = search.fit(strict, [order]) if own else (None, order)
    late = [v.set_name for v in plan.visits if v.set_name in own and v.look > own[v.set_name]]
    counting = _Counting(problem, strict, day, search, order, own_order)
    keep_own = own_fit is None or own_fit.plan is not None
    rooms = [counting.room(_placed(site, plan), own=keep_own) for site in sites]
    return DayRoom(
        day.name,
        fits=True,
        prices=prices,
        spare_s=plan.spare_s,
        own_fits=None if own_fit is None else own_fit.plan is not None,
        own_first=late[0] if late else "",
        rooms=tuple(rooms),
        plan=plan,
    )


def _too_many(inst: Instance) -> int:
    """Give how many sets have to stay out whatever the order, because the outing is too short for more."""
    tables = tables_of(inst if straight(inst) else narrowed(inst, set(range(inst.count))))
    if tables is None:
        return 0
    ends = ends_by_count(tables, inst.must)
    return len(ends) - 1 - max(k for k, end in enumerate(ends) if k == 0 or end <= inst.latest)


def _placed(site: Site, plan: RoundPlan) -> Site:
    """Put new ground that lies nowhere in particular beside the first stop: one leg more wherever it is."""
    nowhere = site.is_new and not site.parking and not site.beside
    first = plan.stops[0].parking if plan.stops else plan.start
    return replace(site, beside=first) if nowhere else site


def kept_too(problem: RoundProblem, own: Mapping[str, datetime]) -> RoundProblem:
    """Give the problem with the person's own limits as if they were law."""

    def stricter(task: SetTask) -> SetTask:
        limit = own.get(task.name)
        if limit is None:
            return task
        return replace(task, due=limit if task.due is None else min(task.due, limit))

    return replace(problem, sets=tuple(stricter(task) for task in problem.sets))


@dataclass(frozen=True, eq=False)
class _Counting:
    problem: RoundProblem
    strict: RoundProblem
    day: DayCosts
    search: RoundSearch
    order: Order
    own_order: Order

    def room(self, site: Site, *, own: bool) -> Room:
        more, most = self._count(self.problem, site, self.order)
        gives, first = self._gives(site, more + 1)
        own_more: int | None = None
        if own:
            own_more = more
            if self.strict.sets != self.problem.sets:
                own_more = min(more, self._count(self.strict, site, self.own_order)[0])
        return Room(site, more, most, gives, first, own_more)

    def _count(self, problem: RoundProblem, site: Site, order: Order) -> tuple[int, int]:
        hand: list[Order] = [order]

        def ask(count: int) -> Fit:
            fit, found = self.search.fit(self._more(problem, site, count), hand)
            if fit.plan is not None:
                hand.insert(0, found)
            return fit

        most = self._most(problem, site)
        return largest(
            ask, least=0, most=most, step=max(1, most // 2), over=lambda: self.search.budget.out_of_time
        )

    def _most(self, problem: RoundProblem, site: Site) -> int:
        """Give a number above which nothing fits: the shortest round, limits left aside, ends too late."""
        few = 1 if site.is_new else 0
        inst = instance_of(self._more(problem, site, few))
        least = least_end(inst, set(range(inst.count)), tables_of(inst))
        if least > inst.latest:
            return 0
        return few + (inst.latest - least) // max(1, int(self.day.each_s * 1000.0))

    def _more(self, problem: RoundProblem, site: Site, count: int) -> RoundProblem:
        return with_more(problem, site, count, self.day, template_of(problem))

    def _gives(self, site: Site, count: int) -> tuple[Gives | None, str]:
        """Say which limit gives way with so many, and whose it is."""
        more = self._more(self.problem, site, count)
        later = replace(more, outing=Span(more.outing.start, more.outing.end + _LATER))
        if self.search.fit(later, [self.order])[0].plan is not None:
            return Gives.WINDOW, ""
        free, _ = self.search.fit(_without_limits(more), [self.order])
        longest, _ = self.search.fit(_without_limits(later), [self.order])
        gives = Gives.GAP if free.plan is not None else Gives.EITHER
        limits = {task.name: _last(task) for task in more.sets}
        plan = free.plan or longest.plan
        if not isinstance(plan, RoundPlan):
            return None, ""
        return gives, next((v.set_name for v in plan.visits if v.look > limits[v.set_name]), "")


def _last(task: SetTask) -> datetime:
    ends = task.windows[-1].end
    return ends if task.due is None else min(ends, task.due)


def _without_limits(problem: RoundProblem) -> RoundProblem:
    wide = Span(problem.outing.start - _WIDE, problem.outing.end + _WIDE)
    free = tuple(replace(task, windows=(wide,), due=None) for task in problem.sets)
    return replace(problem, sets=free)


def template_of(problem: RoundProblem) -> Callable[[str, float], SetTask]:
    """Give what makes a set on new ground: its hours are the widest of any set, and no clock runs yet."""
    wide = (Span(problem.outing.start - _WIDE, problem.outing.end + _WIDE),)
    hours = max((t.windows for t in problem.sets), key=lambda w: sum(s.seconds for s in w), default=wide)

    def make(name: str, service_s: float) -> SetTask:
        return SetTask(name, service_s, hours)

    return make
