"""Owns the chance that a plan of the days ahead is late, by playing it through many times.

Does not own the plan. Nobody mends anything on the way: a person who is late goes on with the round as it is
written, so that the chances are on the cautious side.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, tzinfo

import numpy as np
import numpy.typing as npt

from tendline.core.settings import TimeCosts
from tendline.plan.weeks_clocks import NEVER, BlockClocks, Ints, milliseconds
from tendline.plan.weeks_nouns import PlannedOuting, WeeksPlan, WeeksProblem

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Chances:
    """What varies.

    Parameters
    ----------
    travel
        Standard deviation of the logarithm of travel time over planned; one draw for each outing. 0.15 is
        common practice, no source, until the person's own record replaces it.
    catch_s, catch_spread
        One catch takes this long [s], evenly between ``1 - spread`` and ``1 + spread`` of it.
    per_night
        Chance that a set holds an animal after one night.
    storm, storm_factor
        Chance of a day on which all travel takes so many times as long, for everybody in every outing.
    zone
        Where days begin and end.
    walk
        Walking takes so many times as long as planned, on the mean.
    look_s, fix_share, fix_s
        A look with nothing to do takes so long [s]; so many of them need a repair, which takes so long, with
        the spread of a catch. None for the mean time at the set that was planned with, which does not vary.
    """

    travel: float = 0.15
    catch_s: float = TimeCosts().catch_s
    catch_spread: float = 0.35
    per_night: float = TimeCosts().catches_per_night
    storm: float = 0.0
    storm_factor: float = 1.5
    zone: tzinfo = UTC
    walk: float = 1.0
    look_s: float | None = None
    fix_share: float = TimeCosts().fix_share
    fix_s: float = TimeCosts().fix_s


@dataclass(frozen=True)
class Risk:
    """How often a plan is late.

    Parameters
    ----------
    runs, seed
        How it was played.
    any_late
        Share of runs in which some limit passes before its look [0, 1].
    late
        The same for every set that is ever late.
    over
        Share of runs in which some outing is back after its latest return.
    any_bad
        Share of runs in which either happens.
    """

    runs: int
    seed: int
    any_late: float
    late: Mapping[str, float]
    over: float
    any_bad: float = 0.0

    @property
    def error(self) -> float:
        """Standard error of `any_late`, by the binomial."""
        return float(np.sqrt(self.any_late * (1.0 - self.any_late) / self.runs))


def risk_of(
    problem: WeeksProblem, plan: WeeksPlan, *, chances: Chances, seed: int = 1, runs: int = 10_000
) -> Risk:
    """Play a plan through.

    Parameters
    ----------
    chances
        What varies, and how much.
    seed, runs
        The same give the same chances.
    """
    play = _Play(problem, chances, np.random.default_rng(seed), runs)
    over = np.zeros(runs, dtype=bool)
    for planned in plan.rounds:
        over |= play.outing(planned)
    any_late = np.zeros(runs, dtype=bool)
    late = {}
    for name, hit in play.late.items():
        any_late |= hit
        if hit.any():
            late[name] = float(hit.mean())
    ranked = dict(sorted(late.items(), key=lambda item: (-item[1], item[0])))
    bad = float((any_late | over).mean())
    return Risk(runs, seed, float(any_late.mean()), ranked, float(over.mean()), bad)


class _Play:
    """Every run side by side: when each set was last looked at, and whether it was ever late."""

    def __init__(
        self, problem: WeeksProblem, chances: Chances, chance: np.random.Generator, runs: int
    ) -> None:
        self.problem, self.chances, self.chance, self.runs = problem, chances, chance, runs
        self.clocks = BlockClocks(problem, ())
        self.sets = {one.name: one for one in problem.sets}
        self.late: dict[str, npt.NDArray[np.bool_]] = {
            one.name: np.zeros(runs, dtype=bool) for one in problem.sets
        }
        self.storms: dict[date, npt.NDArray[np.bool_]] = {}
        self.due: dict[str, Ints] = {}
        self.seen: dict[str, float] = {}
        for one in problem.sets:
            due = NEVER if one.due is None or one.go_now else milliseconds(problem, one.due)
            self.due[one.name] = np.full(runs, due, dtype=np.int64)
            last = one.last_look
            self.seen[one.name] = -86_400_000.0 if last is None else float(milliseconds(problem, last))

    def outing(self, planned: PlannedOuting) -> npt.NDArray[np.bool_]:
        """Play one outing; give in which runs it is back too late."""
        factor = self._factor(planned.outing.span.start.astimezone(self.chances.zone).date())
        now = np.full(self.runs, float(milliseconds(self.problem, planned.round.leave)))
        for stop in planned.round.stops:
            now = now + stop.drive_s * 1000.0 * factor + self.problem.park_s * 1000.0
            for visit in stop.visits:
                now = now + visit.walk_s * 1000.0 * factor * self.chances.walk
                self._look(visit.set_name, now)
                planned_at = float(milliseconds(self.problem, visit.look))
                nights = max(0.0, (planned_at - self.seen[visit.set_name]) / 86_400_000.0)
                now = now + self._service(visit.set_name) + self._catches(nights)
                self.seen[visit.set_name] = planned_at
            now = now + stop.back_s * 1000.0 * factor * self.chances.walk
        now = now + planned.round.home_s * 1000.0 * factor
        return now > milliseconds(self.problem, planned.outing.span.end)

    def _factor(self, day: date) -> Floats:
        sigma = self.chances.travel
        # The mean of the factor is one: a lognormal has mean exp(mu + sigma^2 / 2).
        factor = np.exp(self.chance.normal(-0.5 * sigma * sigma, sigma, self.runs))
        if day not in self.storms:
            self.storms[day] = self.chance.random(self.runs) < self.chances.storm
        return np.where(self.storms[day], factor * self.chances.storm_factor, factor)

    def _look(self, name: str, at: Floats) -> None:
        looks = at.astype(np.int64)
        self.late[name] |= looks > self.due[name]
        self.due[name] = self.clocks.tables[self.sets[name].clock.key].after(looks)

    def _service(self, name: str) -> Floats | float:
        """Give the time at a set without a catch [ms]."""
        if self.chances.look_s is None:
            return self.sets[name].service_s * 1000.0
        mended = self.chance.random(self.runs) < self.chances.fix_share
        return 1000.0 * (self.chances.look_s + np.where(mended, self.chances.fix_s * self._spread(), 0.0))

    def _catches(self, nights: float) -> Floats:
        held = self.chance.random(self.runs) < 1.0 - (1.0 - self.chances.per_night) ** nights
        return np.where(held, self.chances.catch_s * 1000.0 * self._spread(), 0.0)

    def _spread(self) -> Floats:
        spread = self.chances.catch_spread
        return self.chance.uniform(1.0 - spread, 1.0 + spread, self.runs)
