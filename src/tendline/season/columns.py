"""Owns effort and rates of a very long record, county by county, worked out in columns.

Does not own the conventions or the reading of a look: both are the tables of `effort` and `stretches`, handed
to the columnar engine, so that long and short records are counted by one rule. It touches no disk: rows come
from whoever has the record.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from tendline.core.line import Catch
from tendline.core.when import Span
from tendline.core.words import FoundAs, Happened, LeftAs
from tendline.logbook.catches import CAUGHT
from tendline.season.columns_queries import COUNTIES, INSERTS, TABLES
from tendline.season.effort import WEIGHT, Convention
from tendline.season.intervals import Estimate, rate_per_100
from tendline.season.stretches import NOT_TOLD, confirms, ending_of, noons_to, stands_after

PART = 2_000_000
"""So many events are worked out at once, to keep within the memory."""

Row = tuple[int, str, str, str, str]
"""Order of writing, id, kind, instant as the store writes it, body as JSON."""


@dataclass(frozen=True)
class CountyRow:
    """One county in one season.

    Parameters
    ----------
    county, season
        The county as the parcels name it; ``2026-27``.
    lines, sets, looks
        Counted.
    nights, effort
        Device-nights out, and as the convention counts them.
    target, other
        Animals held.
    rate
        Target animals per 100 device-nights.
    """

    county: str
    season: str
    lines: int
    sets: int
    looks: int
    nights: float
    effort: float
    target: int
    other: int
    rate: Estimate


class Columns:
    """Takes rows of one or more logbooks and gives effort by county and season."""

    def __init__(self, *, memory_mb: int = 1200, threads: int = 2) -> None:
        """Open the engine, in memory, without a file of its own."""
        import duckdb  # noqa: PLC0415 - slow to load; only for long records

        self._db = duckdb.connect(
            config={"memory_limit": f"{memory_mb}MB", "threads": threads, "temp_directory": ""}
        )
        self._db.execute("SET TimeZone = 'UTC'")
        self._db.execute(TABLES)
        for name, rows in _mappings().items():
            self._fill(name, rows)

    def _fill(self, name: str, rows: Sequence[Sequence[Any]]) -> None:
        """Put rows into a table of the engine, all at once."""
        batch = {f"c{i}": np.array(column, dtype=object) for i, column in enumerate(zip(*rows, strict=True))}
        self._db.register("batch", batch)
        self._db.execute(f"INSERT INTO {name} SELECT * FROM batch")  # noqa: S608 - names of its own tables
        self._db.unregister("batch")

    def add(self, rows: Sequence[Row], *, line: int = 0) -> None:
        """Take rows of one logbook, no row twice.

        Parameters
        ----------
        rows
            As `Row`, corrections applied and voided events left out.
        line
            Which logbook they are of.
        """
        if not rows:
            return
        seq, *texts = zip(*rows, strict=True)
        batch = {"seq": np.array(seq, dtype=np.int64)}
        batch |= {
            name: np.array(column, dtype=object)
            for name, column in zip(("id", "kind", "happened", "body"), texts, strict=True)
        }
        self._db.register("batch", batch)
        for statement in INSERTS:
            self._db.execute(statement, {"line": line})
        self._db.unregister("batch")

    def limit(self, spans: Mapping[int, Span], zone: ZoneInfo, *, line: int = 0) -> None:
        """Cut the nights of a logbook at the legal ends of its seasons; a season not told of is not cut.

        Parameters
        ----------
        spans
            The legal span by the year in which a season begins.
        zone
            For noons: a night that an end cuts counts by the share of its noon-to-noon inside.
        line
            Which logbook.
        """
        rows = [
            (line, year, noons_to(span.start, zone), noons_to(span.end, zone)) for year, span in spans.items()
        ]
        if rows:
            self._fill("legal", rows)

    def seasons(self, zone: ZoneInfo, *, line: int = 0) -> tuple[int, ...]:
        """Give the years in which the seasons of a logbook's events begin, in order."""
        found = self._db.execute(
            "SELECT DISTINCT year(timezone($zone, moment AT TIME ZONE 'UTC')::DATE - INTERVAL 6 MONTH)"
            "::INTEGER FROM events WHERE line = $line ORDER BY 1",
            {"zone": zone.key, "line": line},
        ).fetchall()
        return tuple(year for (year,) in found)

    def by_county(self, zone: ZoneInfo, convention: Convention) -> tuple[CountyRow, ...]:
        """Give effort and rates by county and season.

        Parameters
        ----------
        zone
            For midnights and for the first of July, on which a season begins.
        convention
            How a device found not working counts.

        Returns
        -------
        tuple of CountyRow
            By county, then season. A stretch belongs to the season of the look that ended it; its nights
            are cut at that season's legal ends where `limit` told them.
        """
        weights = [(ending.value, weight) for ending, weight in WEIGHT[convention].items()]
        self._db.execute("CREATE OR REPLACE TEMP TABLE weights (ending VARCHAR, weight DOUBLE)")
        self._fill("weights", weights)
        parts = 1 + len(self) // PART
        sums: dict[tuple[str, int], list[Any]] = {}
        for part in range(parts):  # no set is in two parts, so that parts add up
            asked = {"zone": zone.key, "none": NOT_TOLD, "parts": parts, "part": part}
            for county, year, lines, *counts in self._db.execute(COUNTIES, asked).fetchall():
                held = sums.setdefault((county, year), [set(), *([0] * len(counts))])
                held[0] |= set(lines)
                held[1:] = [a + b for a, b in zip(held[1:], counts, strict=True)]
        return tuple(_row(county, year, counts) for (county, year), counts in sorted(sums.items()))

    def __len__(self) -> int:
        """Give how many events were taken, catches and parcels not counted."""
        found = self._db.execute("SELECT count(*) FROM events").fetchall()
        return int(found[0][0])

    def close(self) -> None:
        """Give back the memory."""
        self._db.close()


def _row(county: str, year: int, counts: Sequence[Any]) -> CountyRow:
    lines, sets, looks, nights, effort, target, other = counts
    return CountyRow(
        county,
        f"{year}-{(year + 1) % 100:02d}",
        len(lines),
        sets,
        int(looks),
        float(nights),
        float(effort),
        int(target),
        int(other),
        rate_per_100(int(target), float(effort)),
    )


def _mappings() -> dict[str, list[tuple[Any, ...]]]:
    """Write the reading of a look as tables: every pair of words, once."""
    endings: list[tuple[Any, ...]] = []
    for found, happened in product(FoundAs, Happened):
        if not found.was_seen:
            continue
        for standing in ("", "target", "nontarget", "domestic"):
            ending = ending_of(found, happened, _some(standing))
            endings.append((found.value, happened.value, standing, ending.value))
    stands = [
        (found.value, left.value, None if after is None else after.value)
        for found, left in product(FoundAs, LeftAs)
        if found.was_seen
        for after in (stands_after(found, left),)
    ]
    seen = [
        (found.value, left.value, far)
        for found, left, far in product(FoundAs, LeftAs, (False, True))
        if confirms(found, left, from_distance=far)
    ]
    caught = [(happened.value, standing.value) for happened, (standing, _) in CAUGHT.items()]
    return {"endings": endings, "stands": stands, "seen": seen, "caught": caught}


def _some(standing: str) -> Catch | None:
    if not standing:
        return None
    from datetime import UTC, datetime  # noqa: PLC0415 - only for a stand-in

    return Catch(datetime.min.replace(tzinfo=UTC), "", "", standing, "", "")


def counted(
    rows: Iterable[Sequence[Row]],
    *,
    zone: ZoneInfo,
    convention: Convention,
    legal: Mapping[int, Span] | None = None,
) -> tuple[CountyRow, ...]:
    """Count one logbook, handed over in batches."""
    columns = Columns()
    try:
        for batch in rows:
            columns.add(batch)
        columns.limit(legal or {}, zone)
        return columns.by_county(zone, convention)
    finally:
        columns.close()
