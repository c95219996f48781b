import math
import re

import pytest

from tendline.core.errors import Refused
from tendline.core.place import LonLat, Outline
from tendline.core.units import Units
from tendline.report.terminal_map import Mark, draw_map


def place(east: float, north: float, *, lon: float = -78.0) -> LonLat:
    """So many metres east and north of 41.5 N, on a sphere."""
    return LonLat(lon + east / (111_195 * math.cos(math.radians(41.5))), 41.5 + north / 111_195)


TRUCK = [Mark("A", place(0, 0), "mill-lane")]
SETS = [
    Mark("1", place(100, 300), "mill-1"),
    Mark("2", place(400, 400), "mill-2"),
    Mark("3", place(500, 100), "mill-3"),
    Mark("4", place(500, 100), "mill-4"),
]
WALK = [mark.place for mark in (*TRUCK, *SETS[:3], *TRUCK)]
PARCEL = Outline(
    ((tuple(place(*at) for at in ((-100, -100), (700, -100), (700, 500), (-100, 500), (-100, -100))),),)
)


def frame(drawing: str) -> list[str]:
    """The inside of the frame."""
    return [line[1:-1] for line in drawing.split("\n") if line.startswith("|") and line.endswith("|")]


def test_a_round_is_drawn_in_order_with_its_parcel_and_walk() -> None:
    drawing = draw_map(SETS, TRUCK, walks=[WALK], outlines=[PARCEL], width=44, height=14, units=Units.METRIC)
    assert drawing == "\n".join(
        [
            "+------------------------------------------+",
            "|      ..............................      |",
            "|      .                            .      |",
            "|      .               --2          .      |",
            "|      .         ------   \\         .      |",
            "|      .      1--          \\        .      |",
            "|      .     |             \\        .      |",
            "|      .     |              \\4      .      |",
            "|      .    |            ----3      .      |",
            "|      .    |   ---------           .      |",
            "|      .   A----                    .      |",
            "|      .                            .      |",
            "|      ..............................      |",
            "+------------------------------------------+",
            "|------| 200 m   north is up",
            "truck: A=mill-lane",
            "sets: 1=mill-1 2=mill-2 3=mill-3 4=mill-4",
        ]
    )


def test_north_is_up_and_east_is_right() -> None:
    rows = frame(
        draw_map([Mark("9", place(0, 900), "n"), Mark("5", place(900, 0), "e")], TRUCK, width=40, height=20)
    )
    where = {char: (r, row.index(char)) for r, row in enumerate(rows) for char in "A95" if char in row}
    assert where["9"][0] < where["A"][0]
    assert where["9"][1] == where["A"][1]
    assert where["5"][0] == where["A"][0]
    assert where["5"][1] > where["A"][1]


def test_sixty_sets_are_each_on_the_map_or_named_under_it() -> None:
    sets = [Mark(str(i), place(40 * (i % 9), 60 * (i // 9)), f"set-{i}") for i in range(1, 61)]
    drawing = draw_map(sets, TRUCK, width=72, height=24)
    numbers = {n for row in frame(drawing) for n in re.findall(r"\d+", row)}
    assert numbers == {str(i) for i in range(1, 61)}
    assert "no room" not in drawing


def test_sets_that_find_no_room_are_named() -> None:
    sets = [Mark(str(i), place(0, 0), f"set-{i}") for i in range(1, 61)]
    drawing = draw_map(sets, [], width=20, height=8)
    drawn = {n for row in frame(drawing) for n in re.findall(r"\d+", row)}
    named = set(re.findall(r"(\d+)=", " ".join(drawing.split()).split("no room on the map for:")[1]))
    assert drawn | named == {str(i) for i in range(1, 61)}
    assert not drawn & named


def test_a_single_set_stands_in_the_middle() -> None:
    assert draw_map([SETS[0]], width=20, height=8).split("\n") == [
        "+------------------+",
        "|                  |",
        "|                  |",
        "|        1         |",
        "|                  |",
        "|                  |",
        "|                  |",
        "+------------------+",
        "|----| 5 yd   north is up",
        "sets: 1=mill-1",
    ]


def test_a_line_across_the_date_line_stays_in_one_piece() -> None:
    east, west = LonLat(-179.995, 52.0), LonLat(179.995, 52.0)
    rows = frame(draw_map([Mark("1", west, "a"), Mark("2", east, "b")], width=40, height=10))
    row = next(row for row in rows if "1" in row)
    assert row.index("1") < row.index("2")  # 0.01 degrees apart, west to east
    assert "| 200 yd" in draw_map([Mark("1", west, "a"), Mark("2", east, "b")], width=40, height=10)


def test_nothing_to_draw_is_said() -> None:
    assert draw_map([], []) == "Nothing to draw: no set and no parking."


@pytest.mark.parametrize(("width", "height"), [(19, 8), (20, 7)])
def test_a_frame_too_small_to_read_is_refused(width: int, height: int) -> None:
    with pytest.raises(Refused) as refused:
        draw_map(SETS, TRUCK, width=width, height=height)
    assert refused.value.faults[0].code.id == "REP-103"
