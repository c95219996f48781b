"""Owns reading a table of text: its separator, its header, its rows and their numbers.

Does not own its encoding (`encoding`) or what the columns mean (`table`, `drives`).
"""

import csv
import io
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from tendline.core.errors import FaultList, refuse
from tendline.ground.encoding import decode
from tendline.ground.faults import COLUMN, COLUMN_TWICE, NO_HEADER, QUOTES, ROW_LENGTH
from tendline.ground.wording import close_match, short

SEPARATORS = (",", ";", "\t")


@dataclass(frozen=True)
class Row:
    """One row: its number as a spreadsheet counts them (the header is row 1), and its cells by column."""

    number: int
    cells: Mapping[str, str]


@dataclass(frozen=True)
class Sheet:
    """A table: its columns in order, lower case, and its rows without the empty ones."""

    columns: tuple[str, ...]
    rows: tuple[Row, ...]


def read_sheet(
    data: bytes,
    *,
    file_name: str,
    known: Collection[str],
    aliases: Mapping[str, str],
    let_pass: Collection[str] = (),
    faults: FaultList,
) -> Sheet:
    """Read a table whose columns must be among those `known`.

    Parameters
    ----------
    data
        The file: UTF-8; comma, semicolon or tab between cells, told apart by which gives most known columns.
    known
        Names of columns, lower case.
    aliases
        Other names, and the known name each stands for.
    let_pass
        Unknown names that the caller has a better word about.
    faults
        Takes GND-302 (unknown column), GND-303 (a column twice) and GND-304 (a row too long or too short).

    Returns
    -------
    Sheet
        Rows of the right length only.

    Raises
    ------
    Refused
        GND-004, GND-301 and GND-305: nothing more can be said about the file.
    """
    text = decode(data, file_name=file_name)
    lines = _split(text, _separator(text, {*known, *aliases}), file_name)
    if not lines or not any(lines[0]):
        do = f"The first row must name the columns. Known: {', '.join(known)}."
        raise refuse(NO_HEADER, "there is no header in the first row.", file_name, do)
    header = [aliases.get(name, name) for name in (cell.strip().lower() for cell in lines[0])]
    _check_header(header, lines, file_name=file_name, known=known, let_pass=let_pass, faults=faults)
    rows = []
    for number, line in enumerate(lines[1:], start=2):
        if not any(cell.strip() for cell in line):
            continue
        if len(line) != len(header):
            what = f"the row has {len(line)} cells, the header {len(header)}."
            do = "Give each row as many cells as the header; put a text with a separator in double quotes."
            faults.add(ROW_LENGTH, what, f"{file_name}, row {number}", do)
            continue
        rows.append(
            Row(number, {name: cell.strip() for name, cell in zip(header, line, strict=True) if name})
        )
    return Sheet(tuple(name for name in header if name), tuple(rows))


def columns_of(data: bytes) -> tuple[str, ...]:
    """Give the header of what may be a table, lower case; empty when it cannot be read. Never raises."""
    head = data[:65536].decode("utf-8-sig", errors="replace").splitlines()
    if not head:
        return ()
    best = max(SEPARATORS, key=head[0].count)
    return tuple(cell.strip().strip('"').lower() for cell in head[0].split(best))


def _separator(text: str, names: Collection[str]) -> str:
    """Choose the separator that finds most known names in the header; a comma when none does better."""
    header = text.split("\n", 1)[0]

    def score(separator: str) -> tuple[int, int]:
        cells = [cell.strip().strip('"').lower() for cell in header.split(separator)]
        return sum(cell in names for cell in cells), len(cells)

    return max(SEPARATORS, key=score)


def _split(text: str, separator: str, file_name: str) -> list[list[str]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        lines = list(reader)
    except csv.Error as error:
        raise refuse(
            QUOTES,
            f"the table cannot be read here: {error}.",
            f"{file_name}, line {reader.line_num}",
            "Look for a double quote that is not closed; a double quote inside a cell is written twice.",
        ) from None
    if "\0" in text:
        line = text[: text.index("\0")].count("\n") + 1
        do = "Save it again as plain text (CSV UTF-8)."
        raise refuse(
            QUOTES, "there is a NUL character; this is not plain text.", f"{file_name}, line {line}", do
        )
    return lines


def _check_header(
    header: list[str],
    lines: list[list[str]],
    *,
    file_name: str,
    known: Collection[str],
    let_pass: Collection[str],
    faults: FaultList,
) -> None:
    where = f"{file_name}, row 1"
    for index, name in enumerate(header):
        if not name:
            # Spreadsheets leave empty columns behind; only one that holds something needs a name.
            if any(index < len(line) and line[index].strip() for line in lines[1:]):
                what = f"column {index + 1} has values but no name."
                faults.add(COLUMN, what, where, "Name the column, or take it out.")
        elif name not in known and name not in let_pass:
            do = f"Known columns: {', '.join(known)}.{close_match(name, known)}"
            faults.add(COLUMN, f"column '{short(name)}' is not known.", where, do)
        if name and name in header[:index]:
            faults.add(COLUMN_TWICE, f"column '{name}' stands there twice.", where, "Keep one of them.")
