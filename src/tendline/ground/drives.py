"""Owns reading a table (CSV) of driving minutes between places, both ways.

Does not own whether the names in it are places of the line: the job knows those.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from tendline.core.errors import FaultList
from tendline.core.units import METRES_PER
from tendline.ground.brought import sha256_of
from tendline.ground.faults import DRIVE_BOTH, DRIVE_NAME, DRIVE_NUMBER, DRIVE_TWICE, NO_HEADER, TWO_UNITS
from tendline.ground.sheet import Row, read_sheet
from tendline.ground.wording import short

COLUMNS = ("from", "to", "minutes", "miles", "km", "both", "note")
HOME = "home"
"""The name for where outings start and end; always legal."""

MOST_MINUTES = 600.0
MOST_KMH = 160.0
"""Faster than any truck on any road of a line: a distance in the other unit, or minutes that are hours."""

_YES = {
    "": True,
    "yes": True,
    "y": True,
    "true": True,
    "1": True,
    "no": False,
    "n": False,
    "false": False,
    "0": False,
}


@dataclass(frozen=True)
class Drive:
    """One way from one place to another, as the person told it.

    Parameters
    ----------
    seconds
        Driving time [s].
    length_m
        Distance driven [m]; None when not told.
    told
        The row speaks of this direction; False when it was taken from the row for the way back.
    where
        File and row.
    """

    seconds: float
    length_m: float | None
    told: bool
    where: str


@dataclass(frozen=True)
class Drives:
    """A whole table: drives by (from, to), each name as it is first written."""

    file_name: str
    sha256: str
    drives: Mapping[tuple[str, str], Drive]

    @property
    def names(self) -> tuple[str, ...]:
        """Every place named, in order of the alphabet, `home` among them if it is."""
        return tuple(sorted({name for pair in self.drives for name in pair}))


def read_drives(data: bytes, *, file_name: str) -> Drives:
    """Read a table of driving minutes.

    One row gives both directions, unless the way back has a row of its own or the column `both` says no.

    Parameters
    ----------
    data
        The file: UTF-8, columns `from`, `to`, `minutes`, and if wanted `miles` or `km`, `both`, `note`.
    file_name
        Its name, for messages.

    Returns
    -------
    Drives
        Names are told apart without regard to case.

    Raises
    ------
    Refused
        With every fault of the file: GND-004, GND-017, GND-301 to GND-305, GND-601 to GND-604.
    """
    faults = FaultList()
    sheet = read_sheet(data, file_name=file_name, known=COLUMNS, aliases={}, faults=faults)
    _check_columns(sheet.columns, file_name, faults)
    faults.refuse()
    spelling: dict[str, str] = {HOME: HOME}
    told: dict[tuple[str, str], Drive] = {}
    back: dict[tuple[str, str], Drive] = {}
    for row in sheet.rows:
        where = f"{file_name}, row {row.number}"
        pair, drive = _pair(row, where, spelling, faults), _drive(row, where, faults)
        both = _both(row, where, faults)
        if pair is None or drive is None:
            continue
        _note_once(told, pair, drive, faults)
        if both:
            back[pair[1], pair[0]] = Drive(drive.seconds, drive.length_m, told=False, where=where)
    faults.refuse()
    return Drives(file_name, sha256_of(data), {**back, **told})


def _check_columns(columns: tuple[str, ...], file_name: str, faults: FaultList) -> None:
    where = f"{file_name}, row 1"
    for needed in ("from", "to", "minutes"):
        if needed not in columns:
            faults.add(
                NO_HEADER, f"there is no column '{needed}'.", where, "Name the columns from, to, minutes."
            )
    if "miles" in columns and "km" in columns:
        faults.add(TWO_UNITS, "miles and km tell the same thing.", where, "Keep one of them.")


def _pair(row: Row, where: str, spelling: dict[str, str], faults: FaultList) -> tuple[str, str] | None:
    names = []
    for column in ("from", "to"):
        name = " ".join(row.cells[column].split())
        if not name:
            do = f"Name a parking, or {HOME}."
            faults.add(DRIVE_NAME, "the name is missing.", f"{where}, column {column}", do)
        names.append(spelling.setdefault(name.casefold(), name))
    if all(names) and names[0] == names[1]:
        do = "Take the row out: no drive is needed."
        faults.add(DRIVE_NAME, f"the drive goes from '{names[0]}' to itself.", where, do)
        return None
    return (names[0], names[1]) if all(names) else None


def _drive(row: Row, where: str, faults: FaultList) -> Drive | None:
    minutes = _number(row.cells["minutes"])
    if not 0.0 <= minutes <= MOST_MINUTES:
        what = f"'{short(row.cells['minutes'])}' is not a number of minutes to drive."
        faults.add(
            DRIVE_NUMBER, what, f"{where}, column minutes", f"Give minutes from 0 to {MOST_MINUTES:g}."
        )
        return None
    length_m = None
    for column, unit in (("miles", "mi"), ("km", "km")):
        text = row.cells.get(column, "")
        if not text:
            continue
        length_m = _number(text) * METRES_PER[unit]
        fastest_m = max(minutes, 1.0) * MOST_KMH * 1000.0 / 60.0
        if not 0.0 <= length_m <= fastest_m:
            what = f"'{short(text)}' {column} in {minutes:g} minutes cannot be right."
            do = f"Give a distance in {column} that a truck can drive in that time, or leave it empty."
            faults.add(DRIVE_NUMBER, what, f"{where}, column {column}", do)
            return None
    return Drive(minutes * 60.0, length_m, told=True, where=where)


def _both(row: Row, where: str, faults: FaultList) -> bool:
    word = row.cells.get("both", "").lower()
    if word not in _YES:
        what = f"'{short(word)}' is neither yes nor no."
        do = "Write yes if the way back takes as long, no if it is not driven; empty means yes."
        faults.add(DRIVE_BOTH, what, f"{where}, column both", do)
    return _YES.get(word, True)


def _note_once(
    told: dict[tuple[str, str], Drive], pair: tuple[str, str], drive: Drive, faults: FaultList
) -> None:
    first = told.setdefault(pair, drive)
    if (first.seconds, first.length_m) != (drive.seconds, drive.length_m):
        here, there = f"{drive.seconds / 60:g} minutes here", f"{first.seconds / 60:g} in {first.where}"
        what = f"{pair[0]} to {pair[1]} is {here} and {there}."
        faults.add(DRIVE_TWICE, what, drive.where, "Keep one of the two rows.")


def _number(text: str) -> float:
    """Read a plain number; not a number when it is none."""
    try:
        return float(text) if "_" not in text else math.nan
    except ValueError:
        return math.nan
