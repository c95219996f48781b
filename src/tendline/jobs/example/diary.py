"""Owns the invented two weeks of the example: daily rounds, snow, catches, knock-downs, a set not found.

Does not own the places (`farms`); everything in it is made up and says so.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from tendline.core.words import Done, FoundAs, Happened, LeftAs, Standing, Sure
from tendline.jobs.example.files import FIRST_TAG, SAYS

DAYS = 14
"""Length of the diary [days]."""

SNOW_DAY, THAW_DAY = 5, 11
"""Days of the diary, from 0, on whose mornings eight inches of new snow lie, and on which it thaws."""

SET_MIN, STOP_MIN = 5.0, 14.0
"""Minutes from set to set and from farm to farm in the diary; more in snow."""


@dataclass(frozen=True)
class Entry:
    """One thing the invented handler wrote down."""

    kind: str
    at: datetime
    body: dict[str, Any]


@dataclass(frozen=True)
class _Finding:
    found_as: FoundAs = FoundAs.WORKING
    what: Happened = Happened.NOTHING
    done: Done = Done.LOOKED
    left_as: LeftAs = LeftAs.WORKING
    species: str = ""
    sure: Sure | None = None
    minutes: float = 0.0
    spare: int | None = None
    """Which of the spare devices was swapped in, from 0."""

    def body(self, name: str, first_spare: int) -> dict[str, Any]:
        """Give the body of the check."""
        body: dict[str, Any] = {
            "set": name,
            "found_as": self.found_as.value,
            "what_happened": self.what.value,
            "done": self.done.value,
            "left_as": self.left_as.value,
        }
        if self.species:
            body["species"] = self.species
        if self.sure is not None:
            body["how_sure"] = self.sure.value
        if self.spare is not None:
            body |= {"done": Done.SWAPPED.value, "tag": str(first_spare + self.spare)}
        return body


_COYOTE = _Finding(
    FoundAs.HOLDING, Happened.CAUGHT_KEPT, Done.REMADE, species="coyote", sure=Sure.SEEN, minutes=25
)
_FOX = replace(_COYOTE, species="red fox", minutes=18)
_RACCOON = replace(_COYOTE, what=Happened.NONTARGET_RELEASED, done=Done.REHUNG, species="raccoon", minutes=15)
_DEER = _Finding(
    FoundAs.KNOCKED_DOWN, Happened.DEER, Done.REHUNG, species="deer", sure=Sure.TRACK_SURE, minutes=4
)
_FIRED = _Finding(
    FoundAs.CLOSED, Happened.FIRED_EMPTY, Done.REHUNG, species="coyote", sure=Sure.TRACK_LIKELY, minutes=4
)
_PASSED = _Finding(what=Happened.PASSED_BY, species="coyote", sure=Sure.TRACK_SURE, minutes=1)
_REFUSED = _Finding(what=Happened.REFUSED, species="coyote", sure=Sure.TRACK_SURE, minutes=2)
_BURIED = _Finding(FoundAs.BURIED, Happened.SNOW, Done.DUG_OUT, minutes=6)
_LOW = _Finding(FoundAs.OUT_OF_LIMITS, Happened.SNOW, Done.ADJUSTED, minutes=3)
_HIGH = _Finding(FoundAs.OUT_OF_LIMITS, Happened.THAW, Done.ADJUSTED, minutes=3)
_WIND = _Finding(FoundAs.TURNED, Happened.WIND, Done.ADJUSTED, minutes=2)
_LOST_SIGHT = _Finding(FoundAs.NOT_FOUND, Happened.SNOW, Done.SEARCHED, LeftAs.AS_FOUND, minutes=12)
_CLOSED = _Finding(done=Done.CLOSED, left_as=LeftAs.UNSET, minutes=1)

SPECIAL: dict[tuple[int, str], _Finding] = {
    (1, "N2"): _PASSED,
    (2, "M4"): replace(_COYOTE, spare=0),
    (2, "T3"): _DEER,
    (3, "R6"): _REFUSED,
    (3, "H5"): _WIND,
    (4, "H2"): replace(_RACCOON, spare=1),
    (6, "R3"): replace(_COYOTE, spare=2),
    (6, "O2"): _DEER,
    (7, "N5"): _FIRED,
    (7, "M8"): _DEER,
    (8, "T6"): replace(_FOX, spare=3),
    (9, "R8"): _DEER,
    (10, "K1"): _CLOSED,
    (10, "R9"): _COYOTE,  # hung again on the cable that held it, which the ledger holds against it
    (12, "O4"): replace(_FOX, spare=4),
    (12, "M2"): _PASSED,
    (13, "T5"): _LOST_SIGHT,
    (13, "N3"): _REFUSED,
}
"""What was found, by day from 0 and set; everything else is as it was left, but for snow and thaw."""

MEASURED = {
    "coyote": {"weight_kg": 15.4, "neck_m": 0.34, "chest_m": 0.33},
    "red fox": {"weight_kg": 5.6, "neck_m": 0.24, "chest_m": 0.21},
}
"""What the invented handler measured of what was held: one animal like the other, and all made up."""


def diary(names: Sequence[str], first_morning: datetime) -> Iterator[Entry]:
    """Write the two weeks.

    Parameters
    ----------
    names
        The sets in the order of the round, farm by farm.
    first_morning
        When the first round starts; the others follow at the same hour.
    """
    for day in range(DAYS):
        yield from _morning(names, first_morning + timedelta(days=day), day)


def _morning(names: Sequence[str], start: datetime, day: int) -> Iterator[Entry]:
    snow = day in (SNOW_DAY, SNOW_DAY + 1)
    if day in (0, SNOW_DAY, THAW_DAY):
        yield Entry("weather-seen", start - timedelta(minutes=20), _weather(day))
    clock = start
    for number, name in enumerate(names):
        new_farm = number == 0 or names[number - 1][0] != name[0]
        clock += timedelta(minutes=(STOP_MIN if new_farm else SET_MIN) * (1.25 if snow else 1.0))
        finding = _finding(day, number, name)
        if day > 10 and name == "K1":
            finding = _Finding(FoundAs.UNSET, left_as=LeftAs.AS_FOUND)
        yield Entry("check", clock, finding.body(name, FIRST_TAG + len(names)))
        yield from _catch(name, finding, clock)
        clock += timedelta(minutes=finding.minutes)


def _finding(day: int, number: int, name: str) -> _Finding:
    if (day, name) in SPECIAL:
        return SPECIAL[day, name]
    if day == SNOW_DAY:
        return _BURIED if number % 7 == 3 else _LOW if number % 2 else _Finding(minutes=1)
    if day == THAW_DAY and number % 3 == 0:
        return _HIGH
    return _Finding()


def _catch(name: str, finding: _Finding, at: datetime) -> Iterator[Entry]:
    if finding.found_as is not FoundAs.HOLDING:
        return
    target = finding.what is Happened.CAUGHT_KEPT
    yield Entry(
        "catch",
        at + timedelta(minutes=finding.minutes / 2),
        {
            "set": name,
            "species": finding.species,
            "standing": (Standing.TARGET if target else Standing.NONTARGET).value,
            "fate": "kept" if target else "released",
            **MEASURED.get(finding.species, {}),
            "note": SAYS,
        },
    )


def _weather(day: int) -> dict[str, Any]:
    if day == SNOW_DAY:
        return {"snow_m": 0.28, "new_snow_m": 0.2032, "surface": "loose-snow", "air_c": -6.0, "note": SAYS}
    if day == THAW_DAY:
        return {"snow_m": 0.12, "surface": "packed-snow", "air_c": 3.0, "note": SAYS}
    return {"snow_m": 0.05, "surface": "crust", "air_c": -3.0, "note": SAYS}
