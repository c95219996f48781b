"""Room in words: the answer first, nothing wider than the terminal, and what is not proved not called so."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tendline.almanac.tending import roaming_of
from tendline.core.place import LonLat
from tendline.core.settings import TimeCosts
from tendline.core.units import Units
from tendline.core.when import Span
from tendline.plan.room_nouns import (
    DayRoom,
    Gives,
    Prices,
    Room,
    Site,
    SpotChoice,
    SpotChosen,
    SpotLeft,
)
from tendline.report.room_json import room_document
from tendline.report.room_nouns import RoomFacts, SpotsTold, SpotTold
from tendline.report.room_text import room_text

START = datetime(2027, 1, 15, 10, tzinfo=UTC)
PRICES = Prices(111.0, 360.0, 120.0, 960.0)
WALKED = Site("north", "North Farm", ("N1", "N2"))


def day(*rooms: Room, fits: bool = True, own: bool | None = None) -> DayRoom:
    return DayRoom(
        "fair day", fits, PRICES, proved=True, lacking_s=1500.0, spare_s=600.0, own_fits=own, rooms=rooms
    )


def facts(fair: DayRoom, spots: SpotsTold | None = None, *, outing: bool = True) -> RoomFacts:
    snow = DayRoom("morning after snow", fits=False, prices=PRICES, proved=True, lacking_s=6120.0)
    return RoomFacts(
        line="North line",
        zone=ZoneInfo("America/New_York"),
        units=Units.US,
        span=Span(START, START + timedelta(hours=4)),
        outing=outing,
        windows=0 if outing else 6,
        days=(fair, snow),
        stands=2,
        aside_m=18.288,
        catches=None,
        time=TimeCosts(),
        own_hours=24.0,
        spots=spots,
    )


def told(*, best: bool = True) -> SpotsTold:
    chosen = (SpotChosen("oak", 0.41),)
    left = (SpotLeft("far", "no time is left for it", 0.2, ("oak",)), SpotLeft("off", "no leave"))
    choice = SpotChoice(chosen, left, 0.41, 0.41 if best else 0.6, best=best)
    spot = SpotTold("oak", LonLat(-78.0, 41.5), "north", "coyote", 0.03, "s.csv, row 2", "leave not verified")
    return SpotsTold(choice, {"oak": spot}, [("coyote", roaming_of("coyote"))], 30.0, 600.0)


def words(one: RoomFacts, width: int = 100) -> str:
    return " ".join(room_text(one, width=width).split())


def test_the_answer_stands_first_with_what_gives_way() -> None:
    text = words(facts(day(Room(WALKED, 4, 4, Gives.WINDOW))))
    assert text.startswith("North line, Fri 15 Jan 05:00 to 09:00. Fair day: room for 4 more; ")
    assert "morning after snow: NO ROOM, what stands now does not fit, 1 h 42 lacking at least." in text
    assert "North Farm (north) 2 4 proved too many window end" in text
    # Ten at 111 s are 18 min 30; a property is 6 + 2 + 16 min.
    assert "Ten more on ground walked already: 19 min (1.9 min each)." in text
    assert "One new property: 24 min before a set is looked at" in text


def test_what_was_not_proved_is_not_called_so() -> None:
    text = words(facts(day(Room(WALKED, 4, None, None))))
    assert "proved too many" not in text
    assert "no way found" in text
    assert "time was up" in text


def test_a_limit_is_named_with_its_set_and_the_own_one_before_the_law() -> None:
    text = words(facts(day(Room(WALKED, 4, 4, Gives.GAP, "N2", 1), own=True)))
    assert "personal limit, at 2; then gap limit of N2" in text
    broken = words(facts(day(Room(WALKED, 4, 4, Gives.WINDOW), own=False)))
    assert "Your own limit of 24 h cannot be kept even now" in broken


def test_spots_say_what_they_add_and_why_others_are_left_out() -> None:
    text = words(facts(day(), told()))
    assert "SPOTS: set 1 of 3: 0.41 catches to be expected in 30 nights" in text
    assert "no other choice is worth more (proved)" in text
    assert "oak north coyote 3 0.41 leave not verified" in text
    assert "far 0.20 no time is left for it oak" in text
    assert "Michigan" in text
    unsure = words(facts(day(), told(best=False)))
    assert "none is worth more than 0.60 (proved)" in unsure
    assert "no other choice" not in unsure


@pytest.mark.parametrize("width", [20, 40, 60, 80, 120])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    rooms = (Room(WALKED, 14, 14, Gives.GAP, "N2", 3), Room(Site("new ground", "new ground", walk_s=60.0), 0))
    text = room_text(facts(day(*rooms, own=True), told()), width=width)
    assert max(len(line) for line in text.splitlines()) <= width
    whole = room_text(facts(day(*rooms), told(), outing=False), width=width)
    assert "6 windows" in " ".join(whole.split())


def test_the_document_holds_the_same_numbers() -> None:
    document = room_document(facts(day(Room(WALKED, 4, 4, Gives.GAP, "N2", 1), own=True), told()))
    place = document["days"][0]["places"][0]
    assert (place["more"], place["own_more"], place["gives_first"], place["gives_set"]) == (
        4,
        1,
        "gap limit",
        "N2",
    )
    assert document["days"][0]["prices"]["ten_more_min"] == 18.5
    assert document["spots"]["at_most"] == 0.41
    assert document["spots"]["left_out"][1]["would_add"] is None
