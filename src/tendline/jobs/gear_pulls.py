"""Owns reading a person's own pull tests of breakaways: a table (CSV) with one load in each row.

Does not own what the loads come to (`almanac.breakaways`) or the rest of a build (`gear_file`).
"""

import csv
import io
from pathlib import Path

from tendline.core.errors import FaultList, Refused, refuse
from tendline.gear.faults import FILE
from tendline.jobs.words_in import force_value

COLUMNS = {"load_lb": "lb", "load_n": "N", "load_kn": "kN", "load_kg": "kg", "load": ""}
"""Columns that hold a load, and the unit they are in; ``load`` holds its unit in each cell."""

_MOST_BYTES = 1_000_000


def read_pulls(path: Path) -> tuple[float, ...]:
    """Read pull tests [N], in the order of the rows.

    Parameters
    ----------
    path
        A CSV file whose header has one of `COLUMNS`; other columns are passed over, empty rows too.

    Raises
    ------
    Refused
        GEAR-106 for a file or header that cannot be read; GEAR-106 and JOB-301 for each row; all together.
    """
    name, rows = _rows(path)
    unit, faults, found = COLUMNS[name], FaultList(), []
    for number, row in enumerate(rows, start=2):
        text = (row.get(name) or "").strip()
        if not text:
            if any((value or "").strip() for value in row.values() if isinstance(value, str)):
                faults.add(FILE, "it has no load.", f"{path}, row {number}", "Give one, or take the row out.")
            continue
        try:
            found.append(force_value(f"{text} {unit}", f"{path}, row {number}"))
        except Refused as problem:
            faults.extend(problem.faults)
    if not found and not faults.found:
        faults.add(FILE, "it holds no load.", str(path), "Give one pull in each row.")
    faults.refuse()
    return tuple(found)


def _rows(path: Path) -> tuple[str, list[dict[str, str]]]:
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise refuse(FILE, "it is too large for a table of pulls.", str(path), "Give one load in a row.")
        text = path.read_text(encoding="utf-8-sig")
    except OSError as problem:
        raise refuse(FILE, f"{problem.strerror}.", str(path), "Give the path of a table.") from problem
    except UnicodeDecodeError as problem:
        raise refuse(FILE, f"{problem}.", str(path), "Save it as UTF-8.") from problem
    try:
        reader = csv.DictReader(io.StringIO(text), strict=True)
        head = [(name or "").strip().lower() for name in reader.fieldnames or ()]
        reader.fieldnames = head
        rows = list(reader)
    except csv.Error as problem:
        raise refuse(FILE, f"{problem}.", str(path), "Mend the table.") from problem
    known = [name for name in head if name in COLUMNS]
    if len(known) != 1:
        what = "two columns hold loads." if known else "no column holds loads."
        raise refuse(FILE, what, str(path), f"Name one of: {', '.join(COLUMNS)}.")
    return known[0], rows
