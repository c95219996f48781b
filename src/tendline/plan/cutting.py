"""Owns cutting pieces from rolls and offcuts so that the least length of stock is opened, with its bound.

Does not own which pieces are wanted (`gear.parts`). Lengths are whole counts of one small unit, so that the
answer is exact.

Two models: with few ways to fill a roll, all of them are written down and counted out; with many, as for
short pieces from long rolls, each roll is filled by itself. Both go to the HiGHS solver, which also gives the
bound. Whatever it says is counted again here before it is believed.
"""

import math
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from tendline.core.errors import FaultList, refuse
from tendline.plan.faults import CUT_FIGURE, CUT_SHORT
from tendline.plan.lp import solve
from tendline.plan.lp_program import Program

_MOST_WAYS = 20_000
_MOST_STEPS = 400_000
_MOST_BITS = 30_000_000


@dataclass(frozen=True)
class Stock:
    """Rolls or offcuts of one length: their name, length in units, how many."""

    name: str
    length: int
    count: int


@dataclass(frozen=True)
class Piece:
    """Pieces of one length: their name, length in units, how many are wanted."""

    name: str
    length: int
    count: int


@dataclass(frozen=True)
class Cut:
    """What is cut from one roll: which stock, how many of each piece, what is left over [units]."""

    stock: str
    length: int
    pieces: tuple[tuple[str, int], ...]
    left: int


@dataclass(frozen=True)
class CutList:
    """A cut list.

    Parameters
    ----------
    cuts
        Roll by roll.
    opened
        Length of stock opened [units].
    bound
        No cut list opens less [units].
    material
        Length of all pieces [units].
    proved
        Whether `opened` is the least there is.
    lengths
        Of one piece of each name [units].
    """

    cuts: tuple[Cut, ...]
    opened: int
    bound: int
    material: int
    proved: bool
    lengths: Mapping[str, int] = field(default_factory=dict)


def cut_list(
    pieces: Sequence[Piece], stock: Sequence[Stock], *, kerf: int = 0, limit_s: float = 9.0
) -> CutList:
    """Find the cut list that opens the least length of stock.

    Parameters
    ----------
    pieces, stock
        What is wanted, and what there is.
    kerf
        Lost with each cut [units]; a piece that ends where its roll ends is counted without one.
    limit_s
        Time for the search [s].

    Returns
    -------
    CutList

    Raises
    ------
    Refused
        PLAN-181 for counts and lengths that cannot be; PLAN-182 when the stock is not enough.

    References
    ----------
    Gilmore, P. C. and Gomory, R. E. (1961), A linear programming approach to the cutting-stock problem,
    Operations Research 9, 849-859, for the model by ways of filling a roll.
    """
    wanted = _merged([p for p in pieces if p.count])
    rolls = sorted((s for s in stock if s.count), key=lambda s: s.length)
    _check(pieces, stock, kerf, wanted, rolls)
    if not wanted:
        return CutList((), 0, 0, 0, proved=True)
    began = time.monotonic()
    ways = _ways(wanted, rolls, kerf)
    left = max(0.1, limit_s - (time.monotonic() - began))
    found = _by_ways(wanted, rolls, ways, left) if ways is not None else _by_rolls(wanted, rolls, kerf, left)
    cuts, bound = found
    return _answer(wanted, rolls, cuts, bound, kerf)


def _merged(pieces: Sequence[Piece]) -> list[Piece]:
    return sorted(pieces, key=lambda p: -p.length)


def _check(
    pieces: Sequence[Piece], stock: Sequence[Stock], kerf: int, wanted: list[Piece], rolls: list[Stock]
) -> None:
    faults = FaultList()
    named: list[Piece | Stock] = [*pieces, *stock]
    for each in named:
        if each.length <= 0 or each.count < 0:
            what = f"{each.count} of {each.length} units cannot be."
            faults.add(CUT_FIGURE, what, each.name, "Give a length above nothing and a count.")
    if kerf < 0:
        faults.add(CUT_FIGURE, "a cut cannot lose less than nothing.", "kerf", "Give 0 or more.")
    faults.refuse()
    longest = max((s.length for s in rolls), default=0)
    for piece in wanted:
        if piece.length > longest:
            what = f"no roll or offcut is as long as {piece.name}."
            faults.add(CUT_SHORT, what, piece.name, "Get a longer roll.")
    material = sum(p.length * p.count for p in wanted)
    if not faults.found and sum(s.length * s.count for s in rolls) < material:
        faults.add(CUT_SHORT, "there is less cable than the pieces need.", "", "Order more cable.")
    faults.refuse()


_Way = tuple[int, ...]


def _ways(wanted: list[Piece], rolls: list[Stock], kerf: int) -> list[tuple[int, _Way]] | None:
    """Write down every way to fill each roll as full as it goes; None where there are too many."""
    found: list[tuple[int, _Way]] = []
    for place, roll in enumerate(rolls):
        steps = _fill(found, place, wanted, roll.length + kerf, kerf)
        if steps is None:
            return None
    return found


def _fill(found: list[tuple[int, _Way]], place: int, wanted: list[Piece], room: int, kerf: int) -> int | None:
    sizes = [p.length + kerf for p in wanted]
    tops = [p.count for p in wanted]
    open_ways: list[tuple[tuple[int, ...], int]] = [((), room)]
    steps = 0
    while open_ways:
        way, rest = open_ways.pop()
        steps += 1
        k = len(way)
        if k == len(sizes):
            found.append((place, way))
        else:
            most = min(tops[k], rest // sizes[k])
            # The last kind of piece is taken as often as it fits: taking fewer never opens less.
            fewest = most if k == len(sizes) - 1 else 0
            open_ways += [((*way, n), rest - n * sizes[k]) for n in range(fewest, most + 1)]
        if len(found) > _MOST_WAYS or steps > _MOST_STEPS or len(open_ways) > _MOST_STEPS:
            return None
    return steps


_Found = tuple[list[tuple[Stock, dict[int, int]]], float]


def _by_ways(wanted: list[Piece], rolls: list[Stock], ways: list[tuple[int, _Way]], limit_s: float) -> _Found:
    """Count out the ways: each piece often enough, no roll oftener than there is."""
    program = Program()
    unit = float(math.gcd(*(roll.length for roll in rolls)))
    for place, _ in ways:
        program.column(rolls[place].length / unit, upper=float(rolls[place].count), whole=True)
    for k, piece in enumerate(wanted):
        index = [i for i, (_, way) in enumerate(ways) if way[k]]
        program.at_least(index, [float(ways[i][1][k]) for i in index], float(piece.count))
    for place, roll in enumerate(rolls):
        index = [i for i, (at, _) in enumerate(ways) if at == place]
        program.at_most(index, [1.0] * len(index), float(roll.count))
    values, bound = _run(program, limit_s)
    used: list[tuple[Stock, dict[int, int]]] = []
    for (place, way), value in zip(ways, values, strict=True):
        used += [(rolls[place], dict(enumerate(way))) for _ in range(round(value))]
    return used, bound * unit


def _by_rolls(wanted: list[Piece], rolls: list[Stock], kerf: int, limit_s: float) -> _Found:
    """Fill each roll by itself; alike rolls are opened in order, so that no order of them is tried twice."""
    program = Program()
    unit = float(math.gcd(*(roll.length for roll in rolls)))
    single = [roll for roll in rolls for _ in range(min(roll.count, sum(p.count for p in wanted)))]
    opens = [program.column(roll.length / unit, whole=True) for roll in single]
    takes = [[program.column(0.0, upper=float(p.count), whole=True) for p in wanted] for _ in single]
    sizes = [float(piece.length + kerf) for piece in wanted]
    for roll, opened, row in zip(single, opens, takes, strict=True):
        program.at_most([opened, *row], [-float(roll.length + kerf), *sizes], 0.0)
    for k, piece in enumerate(wanted):
        program.at_least([row[k] for row in takes], [1.0] * len(single), float(piece.count))
    for a in range(len(single) - 1):
        if single[a] == single[a + 1]:
            program.at_least([opens[a], opens[a + 1]], [1.0, -1.0], 0.0)
    values, bound = _run(program, limit_s)
    used = [
        (roll, {k: round(values[column]) for k, column in enumerate(row)})
        for roll, opened, row in zip(single, opens, takes, strict=True)
        if values[opened] > 0.5
    ]
    return used, bound * unit


def _run(program: Program, limit_s: float) -> tuple[list[float], float]:
    solved = solve(program, seconds=limit_s, seed=0)
    if solved.values is None:
        raise refuse(
            CUT_SHORT,
            "the pieces do not fit into the rolls and offcuts there are, or no way was found in the time.",
            "",
            "Get another roll, or allow more time.",
        )
    return solved.values.tolist(), solved.bound


def _answer(
    wanted: list[Piece],
    rolls: list[Stock],
    used: list[tuple[Stock, dict[int, int]]],
    bound: float,
    kerf: int,
) -> CutList:
    """Count everything again; give back no more pieces than are wanted."""
    still = [piece.count for piece in wanted]
    cuts = []
    for roll, way in used:
        taken = [(k, min(way.get(k, 0), still[k])) for k in range(len(wanted))]
        for k, n in taken:
            still[k] -= n
        number = sum(n for _, n in taken)
        if number == 0:
            continue
        length = sum(n * wanted[k].length for k, n in taken)
        whole = length + kerf * (number - 1)
        if whole > roll.length:
            raise AssertionError("the solver filled a roll beyond its length")
        left = max(0, roll.length - length - kerf * number)
        cuts.append(Cut(roll.name, roll.length, tuple((wanted[k].name, n) for k, n in taken if n), left))
    if any(still):
        raise AssertionError("the solver left pieces out")
    opened = sum(cut.length for cut in cuts)
    material = sum(p.length * p.count for p in wanted)
    least = min(opened, _next_sum(rolls, math.ceil(round(max(bound, float(material)), 6))))
    lengths = {piece.name: piece.length for piece in wanted}
    return CutList(tuple(cuts), opened, least, material, proved=least >= opened, lengths=lengths)


def _next_sum(rolls: list[Stock], least: int) -> int:
    """Give the smallest length, `least` or more, that whole rolls add up to: no bound lies between two sums.

    Which sums there are is kept as the bits of one number; where that would be too long, only what divides
    all lengths is used.
    """
    unit = math.gcd(*(roll.length for roll in rolls))
    steps = -(-least // unit)
    counts = [min(roll.count, steps // (roll.length // unit) + 1) for roll in rolls]
    if sum(n * (r.length // unit) for n, r in zip(counts, rolls, strict=True)) > _MOST_BITS:
        return steps * unit
    sums = 1
    for count, roll in zip(counts, rolls, strict=True):
        for _ in range(count):
            sums |= sums << (roll.length // unit)
    above = sums >> steps
    return (steps + (above & -above).bit_length() - 1) * unit if above else steps * unit
