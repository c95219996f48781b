"""Owns strict reading of TOML tables: every key is asked for or a fault, every value of its kind or a fault.

Does not own what the keys mean (`rules.load`). A faulty value reads as None and reading goes on, so that all
faults of a file are told together.
"""

import re
from collections.abc import Iterator, Mapping
from datetime import date, time, timedelta
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from tendline.core.errors import Code, FaultList
from tendline.core.units import METRES_PER
from tendline.rules.dated import Quantity
from tendline.rules.faults import BAD_VALUE, MISSING_KEY, NOT_ALLOWED, UNKNOWN_KEY
from tendline.rules.forms import Duration

UNITS = (*METRES_PER, "lb", "kg", "N", "h", "min", "days")
"""Units a value may be written in; a count has none."""

_QUANTITY = re.compile(
    r"^(?:(?P<whole>\d+) )?(?P<number>\d+(?:\.\d+)?)(?:/(?P<below>[1-9]\d*))?(?: (?P<unit>\S+))?$"
)
_DURATION = re.compile(r"^(?P<number>[1-9]\d{0,3}) (?P<unit>h|min)$")
_CLOCK = re.compile(r"^(?P<hour>[01]\d|2[0-3]):(?P<minute>[0-5]\d)$")
_MONTH_DAY = re.compile(r"^(?P<month>0[1-9]|1[0-2])-(?P<day>0[1-9]|[12]\d|3[01])$")
_DAYS_IN = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
K = TypeVar("K")
E = TypeVar("E", bound=StrEnum)


class Table:
    """One TOML table being read; `close` tells of the keys that nobody asked for.

    Parameters
    ----------
    raw
        The table.
    file
        What the file is called in messages.
    path
        Key path of the table, empty for the whole file.
    faults
        Where faults go.
    """

    def __init__(self, raw: Mapping[str, object], file: str, path: str, faults: FaultList) -> None:
        self.raw, self.file, self.path, self.faults = raw, file, path, faults
        self._asked: list[str] = []

    def where(self, key: str = "") -> str:
        """Give file and key path, for a fault."""
        path = f"{self.path}.{key}" if self.path and key else self.path or key
        return f"{self.file}: {path}" if path else self.file

    def fault(self, code: Code, what: str, key: str, do: str) -> None:
        """Note a fault at one key of this table."""
        self.faults.add(code, what, self.where(key), do)

    def has(self, key: str) -> bool:
        """Say whether the key is there; asking makes it a known key."""
        self._ask(key)
        return key in self.raw

    def close(self) -> None:
        """Fault every key that was not asked for."""
        for key in self.raw:
            if key not in self._asked:
                self.fault(
                    UNKNOWN_KEY,
                    f"the key '{key}' means nothing here.",
                    key,
                    f"Known here: {', '.join(self._asked)}.",
                )

    def take_all(self) -> None:
        """Take every key as known: what they mean hangs on a value that is itself at fault."""
        for key in self.raw:
            self._ask(key)

    def text(self, key: str, *, needed: bool = True) -> str:
        """Read a text; empty when it is missing or faulty."""
        found = self._read(key, str, "a text in quotes", needed=needed)
        if found is not None and needed and not found.strip():
            self.fault(
                BAD_VALUE,
                "the text is empty.",
                key,
                "Write something, or leave the key out if that is allowed.",
            )
        return found or ""

    def flag(self, key: str, *, needed: bool = False) -> bool:
        """Read true or false; false when it is missing."""
        return bool(self._read(key, bool, "true or false", needed=needed))

    def number(self, key: str, *, least: int, most: int) -> int | None:
        """Read a whole number from `least` to `most`."""
        found = self._read(key, int, "a whole number", needed=True)
        if found is None or least <= found <= most:
            return found
        self.fault(
            BAD_VALUE, f"{found} is out of range.", key, f"Write a whole number from {least} to {most}."
        )
        return None

    def numbers(self, key: str) -> tuple[int, ...]:
        """Read a list of whole numbers, not empty."""
        found = self._read(key, list, "a list of whole numbers, such as [25]", needed=True)
        if found is None:
            return ()
        if not found or not all(type(number) is int for number in found):
            self.fault(BAD_VALUE, "the list is empty or holds no whole numbers.", key, "Write [25].")
            return ()
        return tuple(found)

    def decimal(self, key: str) -> float | None:
        """Read a number with a decimal point, or a whole one."""
        if type(self.raw.get(key)) is int:
            return self._read(key, int, "a number", needed=True)
        return self._read(key, float, "a number", needed=True)

    def day(self, key: str, *, needed: bool = True) -> date | None:
        """Read a date."""
        return self._read(key, date, "a date without quotes, such as 2026-11-25", needed=needed)

    def choice(self, key: str, kind: type[E]) -> E | None:
        """Read one word of a closed list."""
        found = self.text(key)
        try:
            return kind(found) if found else None
        except ValueError:
            self.fault(NOT_ALLOWED, f"'{found}' is not allowed here.", key, f"Allowed: {', '.join(kind)}.")
            return None

    def words(self, key: str, *, needed: bool = True) -> tuple[str, ...]:
        """Read a list of texts."""
        found = self._read(key, list, 'a list of texts, such as ["a", "b"]', needed=needed)
        if found is None:
            return ()
        if not found or not all(isinstance(word, str) for word in found):
            self.fault(
                BAD_VALUE, "the list is empty or holds something else than texts.", key, 'Write ["a", "b"].'
            )
            return ()
        return tuple(found)

    def lists(self, key: str) -> tuple[tuple[str, ...], ...]:
        """Read a list of lists of texts, none of them empty."""
        found = self._read(key, list, 'a list of lists, such as [["a", "b"], ["c"]]', needed=True)
        fine = bool(found) and all(
            isinstance(inner, list) and inner and all(isinstance(word, str) for word in inner)
            for inner in found or ()
        )
        if found is not None and not fine:
            what = "it is empty or holds something else than lists of texts."
            self.fault(BAD_VALUE, what, key, 'Write [["a", "b"], ["c"]].')
        return tuple(tuple(inner) for inner in found or ()) if fine else ()

    def ring(self, key: str) -> tuple[tuple[float, float], ...]:
        """Read a closed ring of longitudes and latitudes."""
        found = self._read(key, list, "a list of [longitude, latitude]", needed=True)
        fine = found is not None and all(
            isinstance(pair, list)
            and len(pair) == 2
            and all(isinstance(x, int | float) and not isinstance(x, bool) for x in pair)
            for pair in found
        )
        if found is None:
            return ()
        if not fine or len(found) < 4 or found[0] != found[-1]:
            do = "Write at least four [longitude, latitude] pairs, the last the same as the first."
            self.fault(BAD_VALUE, "this is no closed ring of places.", key, do)
            return ()
        return tuple((float(lon), float(lat)) for lon, lat in found)

    def month_day(self, key: str) -> tuple[int, int] | None:
        """Read a day of every year: ``12-26``."""
        found = self.text(key)
        parts = _MONTH_DAY.match(found)
        if parts is not None and int(parts["day"]) <= _DAYS_IN[int(parts["month"]) - 1]:
            return int(parts["month"]), int(parts["day"])
        if found:
            self.fault(BAD_VALUE, f"'{found}' is no day of the year.", key, 'Write month and day: "12-26".')
        return None

    def duration(self, key: str) -> Duration | None:
        """Read a length of time as written: ``36 h`` or ``90 min``."""
        found = self.text(key)
        parts = _DURATION.match(found)
        if parts is None:
            if found:
                self.fault(
                    BAD_VALUE, f"'{found}' is not a length of time.", key, 'Write such as "36 h" or "90 min".'
                )
            return None
        number = int(parts["number"])
        return Duration(found, timedelta(hours=number) if parts["unit"] == "h" else timedelta(minutes=number))

    def clock(self, key: str) -> time | None:
        """Read a clock time: ``22:00``."""
        found = self.text(key)
        parts = _CLOCK.match(found)
        if parts is None:
            if found:
                self.fault(
                    BAD_VALUE,
                    f"'{found}' is not a clock time.",
                    key,
                    'Write it with two figures each: "05:00".',
                )
            return None
        return time(int(parts["hour"]), int(parts["minute"]))

    def quantity(self, key: str) -> Quantity | None:
        """Read a number with its unit as written, exactly: ``3/32 in``, ``2 1/2 in``, ``158.8 kg``, ``2``."""
        found = self.text(key)
        parts = _QUANTITY.match(found)
        if parts is None or (parts["unit"] or UNITS[0]) not in UNITS:
            if found:
                do = f'Write such as "3/32 in" or "158.8 kg"; units: {", ".join(UNITS)}.'
                self.fault(BAD_VALUE, f"'{found}' is not a number with a known unit.", key, do)
            return None
        exact = Fraction(parts["number"]) / int(parts["below"] or 1) + int(parts["whole"] or 0)
        return Quantity(found, parts["unit"] or "", exact)

    def table(self, key: str, *, needed: bool = False) -> "Table | None":
        """Read a table inside this one."""
        found = self._read(key, dict, "a table", needed=needed)
        return None if found is None else Table(found, self.file, self._inside(key), self.faults)

    def each(self, key: str) -> Iterator[tuple[str, "Table"]]:
        """Read a table of named tables: ``[check.daily]``, ``[check.curfew]``."""
        holder = self.table(key)
        for name in holder.raw if holder is not None else ():
            found = holder.table(name) if holder is not None else None
            if found is not None:
                yield name, found

    def rows(self, key: str) -> list["Table"]:
        """Read a list of tables: ``[[since]]``; at least one."""
        found = self._read(key, list, f"one or more [[{self._inside(key)}]] tables", needed=True)
        if found is None:
            return []
        if not found or not all(isinstance(row, dict) for row in found):
            self.fault(
                BAD_VALUE,
                "the list is empty or holds something else than tables.",
                key,
                f"Write [[{self._inside(key)}]].",
            )
            return []
        return [
            Table(row, self.file, f"{self._inside(key)}[{i}]", self.faults) for i, row in enumerate(found)
        ]

    def _inside(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def _ask(self, key: str) -> None:
        if key not in self._asked:
            self._asked.append(key)

    def _read(self, key: str, kind: type[K], wanted: str, *, needed: bool) -> K | None:
        self._ask(key)
        if key not in self.raw:
            if needed:
                self.fault(MISSING_KEY, f"the key '{key}' is missing.", key, f"Write {wanted}.")
            return None
        found = self.raw[key]
        if type(found) is kind:  # not isinstance: true is no number here, and a date with a time is no date
            return found
        self.fault(BAD_VALUE, f"{found!r} is not {wanted}.", key, f"Write {wanted}.")
        return None
