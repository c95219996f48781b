"""Which spots can be used at all: leave, parcel and parking on record; sign that is fresh and meant."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tendline.core.settings import Settings, TimeCosts
from tendline.jobs.room_spots import Gathered, gather_spots
from tendline.jobs.workspace import LOGBOOK, Workspace
from tendline.logbook.fold import line_at
from tests.unit.logbook.made import MONDAY, Book

WEST, EAST = (-78.02, -78.00), (-77.99, -77.97)


def square(side: tuple[float, float]) -> list[Any]:
    """Give an outline from west to east, 41.49 to 41.51 north."""
    west, east = side
    return [[[[west, 41.49], [east, 41.49], [east, 41.51], [west, 41.51], [west, 41.49]]]]


@dataclass
class Line:
    """A line with two parcels and a parking on the western one."""

    folder: Path

    def __post_init__(self) -> None:
        self.book = Book()
        self.book.note("parcel", {"name": "west", "outline": square(WEST)})
        self.book.note("parcel", {"name": "east", "outline": square(EAST)})
        self.book.note("parking", {"name": "gate", "parcels": ["west"]}, place=(-78.01, 41.50))

    def leave(self, parcel: str, **body: Any) -> None:
        """Note leave for a parcel."""
        self.book.note("permission", {"parcel": parcel, **body})

    def sign(self, species: str, *, hours: float, place: tuple[float, float] | None, **body: Any) -> None:
        """Note sign."""
        at = MONDAY + timedelta(hours=hours)
        self.book.note("sign-seen", {"species": species, **body}, at=at, place=place)

    def gather(self, text: str = "", *, sign: bool = False, hours: float = 30.0) -> Gathered:
        """Gather spots of a table, and sign."""
        now = MONDAY + timedelta(hours=hours)
        settings = Settings("line", ZoneInfo("America/New_York"), time=TimeCosts(catches_per_night=0.02))
        space = Workspace(self.folder, settings, now)
        files: list[str] = []
        if text:
            path = self.folder / "spots.csv"
            path.write_text(text, encoding="utf-8")
            files = [str(path)]
        line = line_at(self.book.events, at=now)
        return gather_spots(space, line, self.book.events, files=files, sign=sign, kept=False)


@pytest.fixture
def line(tmp_path: Path) -> Line:
    assert not (tmp_path / LOGBOOK).exists()
    return Line(tmp_path)


def why(gathered: Gathered) -> Mapping[str, str]:
    return {one.name: one.why for one in gathered.left}


TABLE = "name,lon,lat,per_100_nights,target\nA,-78.011,41.501,3,\nB,-77.98,41.5,1,red fox\nC,-77.90,41.5,1,\n"


def test_a_spot_needs_a_parcel_on_record_and_a_parking(line: Line) -> None:
    line.leave("west")
    found = line.gather(TABLE)
    assert [one.spot.name for one in found.spots] == ["A", "B"]
    first = found.spots[0]
    assert (first.parcel, first.spot.species, first.spot.per_night) == ("west", "coyote", 0.03)
    assert first.note == ""
    # Nobody has noted leave for the east: it is not verified, never allowed.
    assert "not verified" in found.spots[1].note
    assert found.spots[1].spot.species == "red fox"
    assert "no parcel on record" in why(found)["C"]


def test_leave_that_is_over_not_yet_begun_or_withdrawn_bars_a_spot(line: Line) -> None:
    for said in (
        {"last": "2027-01-10"},
        {"first": "2027-02-01"},
        {"last": "2027-03-01", "withdrawn": "2027-01-05"},
    ):
        other = Line(line.folder)
        other.leave("west", **said)
        assert "is good today" in why(other.gather(TABLE))["A"], said
    line.leave("west", last=date(2027, 1, 10).isoformat())
    line.leave("west", first="2027-01-01", last="2027-03-01")
    assert "A" not in why(line.gather(TABLE))


def test_what_no_parking_serves_is_left_out(line: Line) -> None:
    far = square((-77.5, -77.4))
    line.book.note("parcel", {"name": "far", "outline": far})
    found = line.gather("name,lon,lat\nD,-77.45,41.5\n")
    assert "no parking" in why(found)["D"]
    named = line.gather("name,lon,lat,parcel\nE,-78.01,41.5,nobody\n")
    assert "no parcel nobody" in why(named)["E"]


def test_names_are_its_own_and_one_place_is_one_spot(line: Line) -> None:
    found = line.gather("name,lon,lat\ngate,-78.011,41.501\ngate,-78.0111,41.501\n,-78.015,41.5\n")
    names = [one.spot.name for one in found.spots]
    assert len(names) == 2
    assert "gate" not in names
    assert len(set(names)) == 2
    # What is not told is the rate of the line's settings.
    assert {one.spot.per_night for one in found.spots} == {0.02}


def test_fresh_sign_of_animals_that_are_set_for_counts_by_how_sure_it_is(line: Line) -> None:
    line.leave("west")
    line.sign("coyote", hours=20, place=(-78.011, 41.501), how_sure="track-sure")
    line.sign("coyote", hours=22, place=(-78.015, 41.502), how_sure="track-likely")
    line.sign("coyote", hours=21, place=(-78.0151, 41.502), how_sure="unknown")
    line.sign("deer", hours=22, place=(-78.005, 41.502), how_sure="seen")
    line.sign("red fox", hours=22, place=None)
    found = line.gather(sign=True)
    assert sorted(one.spot.per_night for one in found.spots) == [0.01, 0.02]
    assert {one.spot.species for one in found.spots} == {"coyote"}
    assert all("coyote sign of" in one.where for one in found.spots)
    assert any("has no place" in sentence for sentence in found.said)
    # Eight days on it is not fresh any more, and that is said.
    stale = line.gather(sign=True, hours=8 * 24 + 30.0)
    assert stale.spots == ()
    assert any("no fresh sign" in sentence for sentence in stale.said)


def test_sign_beside_a_set_is_no_new_spot(line: Line) -> None:
    line.book.made(parcel="west")
    line.sign("coyote", hours=20, place=(-78.0, 41.5), how_sure="seen")
    assert line.gather(sign=True).spots == ()
