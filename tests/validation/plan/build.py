"""Small and large round problems for tests: written out by hand, or invented from a seed.

Everything here is invented; no place is real.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import numpy.typing as npt

from tendline.core.when import Span
from tendline.plan.itinerary import RoundProblem, SetTask, Travel

START = datetime(2027, 1, 15, 10, 0, tzinfo=UTC)
Array = npt.NDArray[np.float64]
FAR = float("inf")


def at(minutes: float) -> datetime:
    """Give the instant so many minutes after the earliest start of the problems here."""
    return START + timedelta(minutes=minutes)


def span(opens: float, closes: float) -> Span:
    """Give a stretch in minutes after the earliest start."""
    return Span(at(opens), at(closes))


def task(
    name: str,
    *,
    service: float = 1.0,
    windows: Sequence[tuple[float, float]] = ((0.0, 1440.0),),
    due: float | None = None,
    must: bool = True,
    weight: int = 1,
) -> SetTask:
    """Describe a set, every time in minutes."""
    spans = tuple(span(opens, closes) for opens, closes in windows)
    return SetTask(name, service * 60.0, spans, None if due is None else at(due), must, weight)


def table(names: Sequence[str], minutes: Array | Sequence[Sequence[float]]) -> Travel:
    """Make a travel table from minutes; a minute is 60 m on foot."""
    seconds = np.array(minutes, dtype=np.float64) * 60.0
    return Travel(tuple(names), seconds, seconds.copy(), np.zeros(seconds.shape, dtype=np.bool_))


def along(places: Mapping[str, float]) -> Travel:
    """Make a travel table for places along a straight track, in minutes from its beginning."""
    spots = np.array(list(places.values()))
    return table(list(places), np.abs(spots[:, None] - spots[None, :]))


def problem(
    sets: Sequence[SetTask],
    *,
    walk: Travel,
    drive: Travel,
    parkings: Sequence[str] = ("p",),
    hours: float = 24.0,
    park: float = 0.0,
) -> RoundProblem:
    """Put a problem together that starts and ends at ``home``; `park` in minutes."""
    return RoundProblem(
        start="home",
        end="home",
        outing=span(0.0, hours * 60.0),
        sets=tuple(sets),
        parkings=tuple(parkings),
        park_s=park * 60.0,
        drive=drive,
        walk=walk,
    )


def one_loop(sets: Sequence[SetTask], places: Mapping[str, float], *, hours: float = 24.0) -> RoundProblem:
    """Put sets along a track that starts at parking ``p``, ten minutes' drive from home."""
    walk = along({"p": 0.0, **places})
    return problem(sets, walk=walk, drive=table(["home", "p"], [[0, 10], [10, 0]]), hours=hours)


def invented(
    seed: int,
    *,
    properties: int = 4,
    sets: int = 60,
    parkings: int = 8,
    hours: float = 24.0,
    park_s: float = 180.0,
    look_s: float = 90.0,
) -> RoundProblem:
    """Invent a line: properties some kilometres apart, sets and parkings scattered over each, on hills."""
    dice = np.random.default_rng(seed)
    centres = dice.uniform(-6000.0, 6000.0, (properties, 2))
    of_set, of_parking = np.arange(sets) % properties, np.arange(parkings) % properties
    owner = np.concatenate((of_set, of_parking))
    places = centres[owner] + dice.uniform(-800.0, 800.0, (sets + parkings, 2))
    height = dice.uniform(0.0, 30.0, sets + parkings)
    metres = 1.3 * _apart(places)
    # 0.9 m/s off the path; a third of a per cent more for every metre up, less for every metre down.
    seconds = metres / 0.9 * (1.0 + 0.003 * (height[None, :] - height[:, None]))
    seconds[owner[:, None] != owner[None, :]] = FAR
    np.fill_diagonal(seconds, 0.0)
    road = 1.4 * _apart(np.vstack((places[sets:], [[0.0, 0.0]])))
    drive = road / 11.0 + 60.0
    np.fill_diagonal(drive, 0.0)
    names = tuple(f"s{i}" for i in range(sets))
    stands = tuple(f"p{i}" for i in range(parkings))
    whole = span(-720.0, hours * 60.0 + 720.0)
    flat = np.zeros_like(seconds, dtype=np.bool_)
    return RoundProblem(
        start="home",
        end="home",
        outing=span(0.0, hours * 60.0),
        sets=tuple(SetTask(name, look_s, (whole,)) for name in names),
        parkings=stands,
        park_s=park_s,
        drive=Travel((*stands, "home"), drive, road, np.ones_like(drive, dtype=np.bool_)),
        walk=Travel((*names, *stands), seconds, metres, flat),
    )


def limited(
    whole: RoundProblem, seed: int, *, slack_min: float, opening_share: float = 0.0
) -> tuple[RoundProblem, float]:
    """Give every set a limit some minutes after a plain round reaches it; and the end of that round [s].

    The plain round walks each set from its nearest parking, always on to the nearest set, and drives on to
    the nearest parking: so the limited problem is known to have an answer.
    """
    dice = np.random.default_rng(seed)
    looks, end = plain_round(whole)
    sets = []
    for one in whole.sets:
        look = START + timedelta(seconds=looks[one.name])
        due = look + timedelta(minutes=float(dice.uniform(0.0, slack_min)), seconds=1.0)
        opens = whole.outing.start - timedelta(hours=12)
        if dice.random() < opening_share:
            opens = look - timedelta(minutes=float(dice.uniform(0.0, slack_min)), seconds=1.0)
        sets.append(replace(one, windows=(Span(opens, due),), due=due))
    outing = Span(START, START + timedelta(seconds=end + slack_min * 60.0 + 1.0))
    return replace(whole, sets=tuple(sets), outing=outing), end


def plain_round(whole: RoundProblem) -> tuple[dict[str, float], float]:
    """Walk each set from its nearest parking, always on to the nearest; give looks and end [s]."""
    walk, drive = whole.walk, whole.drive
    foot = {name: k for k, name in enumerate(walk.names)}
    road = {name: k for k, name in enumerate(drive.names)}
    served: dict[str, list[str]] = {}
    for one in whole.sets:
        nearest = min(
            whole.parkings,
            key=lambda p: walk.seconds[foot[p], foot[one.name]] + walk.seconds[foot[one.name], foot[p]],
        )
        served.setdefault(nearest, []).append(one.name)
    looks: dict[str, float] = {}
    now, here = 0.0, whole.start
    while served:
        parking = min(served, key=lambda p: drive.seconds[road[here], road[p]])
        now += drive.seconds[road[here], road[parking]] + whole.park_s
        place, rest = parking, served.pop(parking)
        while rest:
            following = min(rest, key=lambda s: walk.seconds[foot[place], foot[s]])
            now += walk.seconds[foot[place], foot[following]]
            looks[following] = now
            now += next(one.service_s for one in whole.sets if one.name == following)
            rest.remove(following)
            place = following
        now += walk.seconds[foot[place], foot[parking]]
        here = parking
    return looks, float(now + drive.seconds[road[here], road[whole.end]])


def _apart(places: Array) -> Array:
    difference = places[:, None, :] - places[None, :, :]
    return np.hypot(difference[..., 0], difference[..., 1])


def whole_seconds(ragged: RoundProblem) -> RoundProblem:
    """Round every time of a problem to whole seconds: travel up, limits down."""

    def rounded(travel: Travel) -> Travel:
        return replace(travel, seconds=np.ceil(travel.seconds))

    def cut(moment: datetime) -> datetime:
        return START + timedelta(seconds=(moment - START) // timedelta(seconds=1))

    sets = tuple(
        replace(
            one,
            windows=tuple(Span(cut(w.start), cut(w.end)) for w in one.windows),
            due=None if one.due is None else cut(one.due),
        )
        for one in ragged.sets
    )
    outing = Span(ragged.outing.start, cut(ragged.outing.end))
    return replace(ragged, sets=sets, outing=outing, drive=rounded(ragged.drive), walk=rounded(ragged.walk))
