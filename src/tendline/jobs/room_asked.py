"""Owns what a person asks of room, as written, and reading it from options.

Does not own the job (`jobs.room`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from tendline.almanac.tending import ASIDE_M, MAKING_S
from tendline.core.errors import refuse
from tendline.core.units import parse_length
from tendline.jobs.faults import WORD
from tendline.jobs.room_choose import AskedSpots
from tendline.jobs.room_problem import Costs

_FAR_ASIDE_M = 1000.0


@dataclass(frozen=True)
class AskedRoom:
    """What a person asks of room, as written.

    Parameters
    ----------
    start, back, on, who
        One outing; see `outing.read_outing`.
    everything
        Every working set is looked at on that outing, not only what falls due.
    days, mornings, evenings, people
        Or the days ahead; see `weeks_problem.ahead`.
    origin
        Where outings start and end: a parking, or LON,LAT; home when left out.
    costs
        What is said about more sets.
    new
        Ground that could be had, LON,LAT; empty for none in particular.
    spots
        Files of spots, whether fresh sign counts, for how many nights, and what making one takes [s].
    seed, seconds
        How long to search.
    """

    start: str | None = None
    back: str | None = None
    on: str | None = None
    who: str = ""
    everything: bool = False
    days: int = 7
    mornings: str = ""
    evenings: str = ""
    people: tuple[str, ...] = ()
    origin: str = ""
    costs: Costs = field(default_factory=lambda: Costs(ASIDE_M))
    new: str = ""
    spots: AskedSpots = field(default_factory=lambda: AskedSpots(making_s=MAKING_S))
    seed: int = 1
    seconds: float = 20.0

    @property
    def one_outing(self) -> bool:
        """Whether one outing is meant."""
        return self.start is not None or self.back is not None


def asked_room(options: Mapping[str, Any]) -> AskedRoom:
    """Read what is asked from options, by their names on the command line; minutes become seconds.

    Raises
    ------
    Refused
        JOB-301, CORE-101 for a length that cannot be read.
    """
    given = dict(options)
    who: tuple[str, ...] = given.pop("who")
    aside, making = given.pop("aside"), given.pop("making")
    metres = ASIDE_M if aside is None else parse_length(aside, where="--aside")
    if not 0.0 <= metres <= _FAR_ASIDE_M:
        what = f"'{aside}' is no distance beside a walk."
        raise refuse(WORD, what, "--aside", f"Give 0 to {_FAR_ASIDE_M:g} m.")
    spots = AskedSpots(
        files=given.pop("spots"),
        sign=given.pop("sign"),
        nights=given.pop("nights"),
        making_s=MAKING_S if making is None else 60.0 * making,
    )
    costs = Costs(
        metres,
        given.pop("catches"),
        leg_s=_seconds(given.pop("new_drive")),
        walk_s=_seconds(given.pop("new_walk")),
    )
    return AskedRoom(**given, who=who[0] if who else "", people=who, costs=costs, spots=spots)


def _seconds(minutes: float | None) -> float | None:
    return None if minutes is None else 60.0 * minutes


def check_asked(asked: AskedRoom) -> None:
    """Refuse what cannot be meant together (JOB-301)."""
    if asked.one_outing and (asked.mornings or asked.evenings):
        raise refuse(
            WORD,
            "one outing and windows of every day are both given.",
            "--start and --back, --mornings and --evenings",
            "Give the one or the others.",
        )
