import pytest

from tendline.core.errors import Refused
from tendline.report.table import Across, Column, cells_wide, draw_table, fold

COLUMNS = (Column("no", right=True), Column("set"), Column("where", wrap=True))
ROWS = (
    Across("TRUCK 1 mill-lane"),
    ("1", "mill-1", "leaning cherry, 20 paces N of the gap"),
    ("12", "N-3", ""),
)


def test_a_wide_table_keeps_each_row_on_one_line() -> None:
    assert draw_table(COLUMNS, ROWS, width=60) == "\n".join(
        [
            "no  set     where",
            "TRUCK 1 mill-lane",
            " 1  mill-1  leaning cherry, 20 paces N of the gap",
            "12  N-3",
        ]
    )


def test_a_narrow_table_wraps_the_cells_that_may_wrap() -> None:
    assert draw_table(COLUMNS, ROWS, width=30) == "\n".join(
        [
            "no  set     where",
            "TRUCK 1 mill-lane",
            " 1  mill-1  leaning cherry, 20",
            "            paces N of the gap",
            "12  N-3",
        ]
    )


def test_a_table_too_narrow_for_its_columns_becomes_blocks() -> None:
    columns = (Column("set"), Column("due by"), Column("where", wrap=True))
    rows = [("saddle-road-1", "Thu 05:40", "third post past the culvert")]
    assert draw_table(columns, rows, width=24) == "\n".join(
        ["set saddle-road-1", "  due by Thu 05:40", "  where third post", "    past the culvert"]
    )


def test_a_word_longer_than_its_column_is_broken_and_not_cut_off() -> None:
    assert fold("abcdefghij kl", 4) == ["abcd", "efgh", "ij", "kl"]


def test_wide_letters_take_two_cells_and_marks_on_letters_none() -> None:
    # Unicode Standard Annex 11: U+6F22 is Wide. U+0301 is a combining mark.
    assert (cells_wide("漢a"), cells_wide("e\u0301")) == (3, 1)
    lines = draw_table((Column("set"), Column("x")), [("漢", "1"), ("ab", "2")], width=20).split("\n")
    assert lines == ["set  x", "漢   1", "ab   2"]


def test_an_empty_table_is_its_headings() -> None:
    assert draw_table(COLUMNS, [], width=60) == "no  set  where"
    assert draw_table((), [Across("BACK home")], width=60) == "BACK home"


def test_a_width_that_cannot_be_read_is_refused() -> None:
    with pytest.raises(Refused) as refused:
        draw_table(COLUMNS, ROWS, width=19)
    assert refused.value.faults[0].code.id == "REP-103"


def test_a_row_with_a_cell_missing_is_the_fault_of_the_caller() -> None:
    with pytest.raises(ValueError, match="2 cells for 3 columns"):
        draw_table(COLUMNS, [("1", "mill-1")], width=60)
