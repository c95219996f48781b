"""Owns a small table in fixed-width text: columns align, long cells wrap, nothing is ever cut off.

Does not own what is in it, nor colour: the text alone must do.
"""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from tendline.core.errors import refuse
from tendline.report.faults import TOO_NARROW
from tendline.report.say import plain

LEAST_WRAP = 8
"""A wrapping column is not made narrower than this [characters]."""
_BETWEEN = "  "


@dataclass(frozen=True)
class Column:
    """One column: its heading, whether it is set to the right, and whether its cells may wrap."""

    heading: str
    right: bool = False
    wrap: bool = False


@dataclass(frozen=True)
class Across:
    """A row that is one line of text over the whole width, such as a stop of the truck."""

    text: str


Row = Sequence[str] | Across


def draw_table(columns: Sequence[Column], rows: Sequence[Row], *, width: int = 80) -> str:
    """Draw a table.

    Parameters
    ----------
    columns, rows
        Each row has as many cells as there are columns, or is `Across`.
    width
        Widest line [characters]. When the columns that may not wrap do not fit into it, each row is written
        as a block of lines, heading and cell, instead.

    Returns
    -------
    str
        Lines without trailing blanks, without a newline at the end.

    Raises
    ------
    Refused
        REP-103 when `width` is under 20.
    """
    if width < 20:
        raise refuse(TOO_NARROW, f"a table of {width} characters cannot be read.", "", "Give it at least 20.")
    cells = [row if isinstance(row, Across) else [plain(cell) for cell in row] for row in rows]
    for row in cells:
        if not isinstance(row, Across) and len(row) != len(columns):
            raise ValueError(f"{len(row)} cells for {len(columns)} columns")
    widths = _widths(columns, [row for row in cells if not isinstance(row, Across)], width)
    if widths is None:
        return "\n".join(line for row in cells for line in _block(columns, row, width))
    lines = _lines(columns, [column.heading for column in columns], widths) if columns else []
    for row in cells:
        lines += fold(row.text, width) if isinstance(row, Across) else _lines(columns, row, widths)
    return "\n".join(line.rstrip() for line in lines)


def cells_wide(text: str) -> int:
    """Count the cells a terminal gives to `text`: two for wide letters, none for marks on letters."""
    return sum(
        0 if unicodedata.combining(c) or unicodedata.category(c) in ("Mn", "Me", "Cf") else 1 + _is_wide(c)
        for c in text
    )


def fold(text: str, width: int) -> list[str]:
    """Break `text` into lines of at most `width` cells: at blanks, inside a word only where it must."""
    lines, line = [], ""
    for word in plain(text).split(" "):
        rest = word
        if line and cells_wide(line) + 1 + cells_wide(rest) <= width:
            line = f"{line} {rest}"
            continue
        if line:
            lines.append(line)
        while cells_wide(rest) > width:
            head = _head(rest, width)
            lines.append(head)
            rest = rest[len(head) :]
        line = rest
    return [*lines, line] if line or not lines else lines


def _is_wide(char: str) -> bool:
    return unicodedata.east_asian_width(char) in ("W", "F")


def _head(text: str, width: int) -> str:
    """Take as many characters from the front as fit into `width` cells, and at least one."""
    end = 1
    while end < len(text) and cells_wide(text[: end + 1]) <= width:
        end += 1
    return text[:end]


def _widths(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int) -> list[int] | None:
    """Share out the width: whole columns take what they need, the others the rest; None if too little."""
    natural = [
        max([cells_wide(column.heading), *(cells_wide(row[i]) for row in rows)])
        for i, column in enumerate(columns)
    ]
    spare = width - len(_BETWEEN) * (len(columns) - 1) - sum(natural)
    if spare >= 0:
        return natural
    floors = [
        min(n, max(LEAST_WRAP, cells_wide(column.heading))) if column.wrap else n
        for n, column in zip(natural, columns, strict=True)
    ]
    while spare < 0:
        widest = max(range(len(natural)), key=lambda i: natural[i] - floors[i])
        if natural[widest] == floors[widest]:
            return None
        natural[widest] -= 1
        spare += 1
    return natural


def _lines(columns: Sequence[Column], row: Sequence[str], widths: Sequence[int]) -> list[str]:
    folded = [
        fold(cell, width) if column.wrap else [cell]
        for cell, column, width in zip(row, columns, widths, strict=True)
    ]
    height = max(len(cell) for cell in folded)
    return [
        _BETWEEN.join(
            _pad(cell[i] if i < len(cell) else "", width, right=column.right)
            for cell, column, width in zip(folded, columns, widths, strict=True)
        )
        for i in range(height)
    ]


def _pad(text: str, width: int, *, right: bool) -> str:
    blanks = " " * (width - cells_wide(text))
    return blanks + text if right else text + blanks


def _block(columns: Sequence[Column], row: Row, width: int) -> list[str]:
    """Write one row as lines of heading and cell, for a terminal too narrow for columns."""
    if isinstance(row, Across):
        return fold(row.text, width)
    lines: list[str] = []
    for column, cell in zip(columns, row, strict=True):
        if cell:
            first, *rest = fold(f"{column.heading} {cell}", width - 4)
            lines += [("  " if lines else "") + first, *(f"    {more}" for more in rest)]
    return lines
