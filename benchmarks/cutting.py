"""Owns the measure of cut lists: time, how far above material and proved bound; beside first-fit by hand.

Does not own any promise: what it prints is what this machine did in this run.

A hand that cuts the longest piece first, each from the first roll it fits into, is what there is to beat.
"""

import time

import numpy as np

from tendline.plan.cutting import Piece, Stock, cut_list


def first_fit(pieces: list[Piece], stock: list[Stock], kerf: int) -> int | None:
    """Cut the longest first, from the first open roll with room, else open the shortest that holds it."""
    rolls = sorted(s.length for s in stock for _ in range(s.count))
    open_rolls: list[list[int]] = []
    for piece in sorted(pieces, key=lambda p: -p.length):
        for _ in range(piece.count):
            room = next((r for r in open_rolls if r[1] >= piece.length), None)
            if room is None:
                roll = next((r for r in rolls if r >= piece.length), None)
                if roll is None:
                    return None
                rolls.remove(roll)
                room = [roll, roll]
                open_rolls.append(room)
            room[1] -= piece.length + kerf
    return sum(roll for roll, _ in open_rolls)


def cases() -> list[tuple[str, list[Piece], list[Stock], int]]:
    """Give a roll of cable, the paper-machine instance, and drawn ones of 200 pieces over 10 rolls."""
    widths = (1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200)
    counts = (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20)
    paper = [Piece(str(w), w, n) for w, n in zip(widths, counts, strict=True)]
    found = [
        ("142 of 84 in from 1,000 ft", [Piece("c", 84, 142)], [Stock("r", 12_000, 1)], 0),
        ("paper machine", paper, [Stock("r", 5600, 100)], 0),
    ]
    chance = np.random.default_rng(7)
    for k in range(3):
        lengths = chance.integers(300, 1500, 10)
        rolls = chance.integers(15_000, 40_000, 10)
        pieces = [Piece(f"p{i}", int(n), 20) for i, n in enumerate(lengths)]
        found.append(
            (f"200 over 10, {k}", pieces, [Stock(f"r{i}", int(n), 1) for i, n in enumerate(rolls)], 2)
        )
    return found


def main() -> None:
    """Print one line for each case."""
    print(f"{'case':<28}{'seconds':>9}{'opened/bound':>14}{'opened/material':>17}{'by hand/opened':>16}")
    for name, pieces, stock, kerf in cases():
        began = time.perf_counter()
        found = cut_list(pieces, stock, kerf=kerf)
        spent = time.perf_counter() - began
        hand = first_fit(pieces, stock, kerf)
        beside = "does not fit" if hand is None else f"{hand / found.opened:.4f}"
        print(
            f"{name:<28}{spent:>9.2f}{found.opened / found.bound:>14.4f}"
            f"{found.opened / found.material:>17.4f}{beside:>16}"
        )


if __name__ == "__main__":
    main()
