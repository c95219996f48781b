"""Laws of the table: nothing is lost, nothing is too wide, columns stand under each other."""

from hypothesis import given
from hypothesis import strategies as st

from tendline.report.say import plain
from tendline.report.table import Column, cells_wide, draw_table, fold

texts = st.text(max_size=30)
words = st.text(alphabet="abcXYZ019-:#é漢", min_size=1, max_size=12)


@given(texts, st.integers(2, 40))
def test_folding_keeps_every_letter_in_order_and_within_the_width(text: str, width: int) -> None:
    lines = fold(text, width)
    assert "".join("".join(lines).split()) == "".join(plain(text).split())
    assert all(cells_wide(line) <= width for line in lines)


@given(texts)
def test_cleaned_text_is_one_line_without_control_characters(text: str) -> None:
    clean = plain(text)
    assert clean.isprintable() or {c for c in clean if not c.isprintable()} <= {"\u200c", "\u200d"}
    assert plain(clean) == clean


@given(st.lists(st.tuples(words, words, texts), max_size=5), st.integers(20, 90))
def test_no_cell_is_ever_cut_off(rows: list[tuple[str, str, str]], width: int) -> None:
    columns = (Column("set"), Column("due by", right=True), Column("where", wrap=True))
    drawn = draw_table(columns, rows, width=width)
    assert all(cells_wide(line) <= width for line in drawn.split("\n"))
    letters = "".join(drawn.split())
    for name, due, where in rows:
        assert name in letters
        assert due in letters
        assert all(word in letters for word in plain(where).split() if len(word) <= 6)


@given(st.lists(st.tuples(words, words), min_size=1, max_size=6))
def test_columns_that_fit_start_in_the_same_cell(rows: list[tuple[str, str]]) -> None:
    lines = draw_table((Column("set"), Column("due by")), rows, width=90).split("\n")
    starts = {cells_wide(line) - cells_wide(due) for line, (_, due) in zip(lines[1:], rows, strict=True)}
    assert len(starts) == 1
