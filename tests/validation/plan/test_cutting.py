"""Cut lists against published instances, arithmetic, and every way to cut tried out."""

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.errors import Refused
from tendline.plan.cutting import CutList, Piece, Stock, cut_list


def check(found: CutList, pieces: list[Piece], stock: list[Stock], kerf: int = 0) -> None:
    """Count a cut list again, by its own figures only."""
    for piece in pieces:
        assert sum(dict(cut.pieces).get(piece.name, 0) for cut in found.cuts) == piece.count
    lengths = {piece.name: piece.length for piece in pieces}
    for roll in stock:
        assert sum(cut.stock == roll.name for cut in found.cuts) <= roll.count
    for cut in found.cuts:
        number = sum(n for _, n in cut.pieces)
        used = sum(lengths[name] * n for name, n in cut.pieces)
        assert used + kerf * (number - 1) <= cut.length
        assert cut.left == max(0, cut.length - used - kerf * number)
    assert found.bound <= found.opened


def test_a_thousand_feet_give_142_cables_of_84_inches() -> None:
    # 12,000 / 84 = 142.86
    pieces, stock = [Piece("cable", 84, 142)], [Stock("roll", 12_000, 1)]
    found = cut_list(pieces, stock)
    check(found, pieces, stock)
    assert len(found.cuts) == 1
    assert found.cuts[0].left == 12_000 - 142 * 84 == 72
    with pytest.raises(Refused, match="PLAN-182"):
        cut_list([Piece("cable", 84, 143)], stock)


def test_five_foot_cables() -> None:
    # 1,000 ft give 200 of 60 in; 250 ft give 35 of 84 in or 50 of 60 in.
    assert len(cut_list([Piece("c", 60, 200)], [Stock("r", 12_000, 1)]).cuts) == 1
    assert len(cut_list([Piece("c", 84, 35)], [Stock("r", 3_000, 1)]).cuts) == 1
    assert len(cut_list([Piece("c", 60, 50)], [Stock("r", 3_000, 1)]).cuts) == 1


PAPER = (
    *((1380, 22), (1520, 25), (1560, 12), (1710, 14), (1820, 18), (1880, 18), (1930, 20)),
    *((2000, 10), (2050, 12), (2100, 14), (2140, 16), (2150, 18), (2200, 20)),
)


def test_the_paper_machine_needs_73_rolls() -> None:
    # The much-published paper-machine instance: rolls of 5,600 mm, 13 widths, least 73 rolls (from memory).
    pieces = [Piece(str(width), width, count) for width, count in PAPER]
    stock = [Stock("roll", 5600, 100)]
    found = cut_list(pieces, stock)
    check(found, pieces, stock)
    assert len(found.cuts) == 73
    assert found.proved
    # 1 - 407,160 / 408,800 = 0.401 % left over, as published.
    assert 1 - found.material / found.opened == pytest.approx(0.00401, abs=5e-6)


def test_where_everything_can_fit_nothing_is_wasted() -> None:
    # 20 x 5 + 10 x 7 + 20 x 9 = 350 = 20 x (5 + 9 = 14) + 5 x (7 + 7 = 14).
    pieces = [Piece("a", 5, 20), Piece("b", 7, 10), Piece("c", 9, 20)]
    stock = [Stock("nine", 9, 30), Stock("fourteen", 14, 30), Stock("sixteen", 16, 30)]
    found = cut_list(pieces, stock)
    check(found, pieces, stock)
    assert found.opened == found.material == 350


def test_an_offcut_goes_before_a_new_roll() -> None:
    found = cut_list([Piece("c", 84, 2)], [Stock("roll", 12_000, 1), Stock("offcut", 170, 1)])
    assert [cut.stock for cut in found.cuts] == ["offcut"]


def test_what_a_cut_loses_is_counted_between_pieces() -> None:
    stock = [Stock("r", 10, 2)]
    assert len(cut_list([Piece("c", 5, 2)], stock).cuts) == 1
    # 5 + 1 + 5 is more than 10
    assert len(cut_list([Piece("c", 5, 2)], stock, kerf=1).cuts) == 2


def test_two_hundred_pieces_over_ten_rolls_are_proved_or_bounded_in_time() -> None:
    pieces = [Piece(f"p{k}", 311 + 97 * k, 20) for k in range(10)]
    stock = [Stock(f"r{k}", 9_000 + 1_733 * k, 1) for k in range(10)]
    found = cut_list(pieces, stock, kerf=2, limit_s=8.0)
    check(found, pieces, stock, kerf=2)
    assert found.opened <= 1.03 * found.bound


@settings(max_examples=40, deadline=None)
@given(
    lengths=st.lists(st.integers(2, 9), min_size=1, max_size=6),
    rolls=st.lists(st.integers(9, 15), min_size=3, max_size=5),
)
def test_no_way_to_cut_opens_less(lengths: list[int], rolls: list[int]) -> None:
    """Try every set of rolls, and every way to put the pieces in, one by one."""
    pieces = [Piece(f"p{k}", length, 1) for k, length in enumerate(lengths)]
    stock = [Stock(f"r{k}", length, 1) for k, length in enumerate(rolls)]

    @cache
    def fits(at: int, room: tuple[int, ...]) -> bool:
        if at == len(lengths):
            return True
        return any(
            r >= lengths[at] and fits(at + 1, tuple(sorted((*room[:k], r - lengths[at], *room[k + 1 :]))))
            for k, r in enumerate(room)
        )

    best = None
    for mask in range(1, 1 << len(rolls)):
        chosen = tuple(sorted(r for k, r in enumerate(rolls) if mask >> k & 1))
        if (best is None or sum(chosen) < best) and fits(0, chosen):
            best = sum(chosen)
    if best is None:
        with pytest.raises(Refused, match="PLAN-182"):
            cut_list(pieces, stock)
        return
    found = cut_list(pieces, stock)
    check(found, pieces, stock)
    assert found.opened == best
    assert found.proved


def test_figures_that_cannot_be_are_told_together() -> None:
    with pytest.raises(Refused) as told:
        cut_list([Piece("c", 0, 1)], [Stock("r", 10, -1)], kerf=-1)
    assert [fault.code.id for fault in told.value.faults] == ["PLAN-181"] * 3
    with pytest.raises(Refused, match="PLAN-182"):
        cut_list([Piece("c", 11, 1)], [Stock("r", 10, 5)])
    assert cut_list([], [Stock("r", 10, 1)]).cuts == ()
