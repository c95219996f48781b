"""Owns effort and rates of a very long record, county by county, worked out in columns.

Does not own the conventions or the reading of a look: both are the tables of `effort` and `stretches`, handed
to the columnar engine, so that long and short records are counted by one rule. It touches no disk: rows come
from whoever has the record.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from tendline.core.line import Catch
from tendline.core.words import FoundAs, Happened, LeftAs
from tendline.logbook.catches import CAUGHT
from tendline.season.effort import WEIGHT, Convention
from tendline.season.intervals import Estimate, rate_per_100
from tendline.season.stretches import NOT_TOLD, Ending, confirms, ending_of, stands_after

KINDS = ("set-made", "check", "pulled", "lost", "found", "catch", "parcel")
"""Kinds of event that effort by county rests on."""

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
        self._db.execute(_TABLE)
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
        for statement in _INSERT:
            self._db.execute(statement, {"line": line})
        self._db.unregister("batch")

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
            By county, then season. A stretch belongs to the season of the look that ended it.
        """
        weights = [(ending.value, weight) for ending, weight in WEIGHT[convention].items()]
        self._db.execute("CREATE OR REPLACE TEMP TABLE weights (ending VARCHAR, weight DOUBLE)")
        self._fill("weights", weights)
        found = self._db.execute(_COUNTIES, {"zone": zone.key, "none": NOT_TOLD}).fetchall()
        return tuple(
            CountyRow(
                county,
                f"{year}-{(year + 1) % 100:02d}",
                lines,
                sets,
                looks,
                float(nights),
                float(effort),
                int(target),
                int(other),
                rate_per_100(int(target), float(effort)),
            )
            for county, year, lines, sets, looks, nights, effort, target, other in found
        )

    def close(self) -> None:
        """Give back the memory."""
        self._db.close()


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
        (found.value, far)
        for found, far in product(FoundAs, (False, True))
        if confirms(found, from_distance=far)
    ]
    caught = [(happened.value, standing.value) for happened, (standing, _) in CAUGHT.items()]
    return {"endings": endings, "stands": stands, "seen": seen, "caught": caught}


def _some(standing: str) -> Catch | None:
    if not standing:
        return None
    from datetime import UTC, datetime  # noqa: PLC0415 - only for a stand-in

    return Catch(datetime.min.replace(tzinfo=UTC), "", "", standing, "", "")


def counted(
    rows: Iterable[Sequence[Row]], *, zone: ZoneInfo, convention: Convention
) -> tuple[CountyRow, ...]:
    """Count one logbook, handed over in batches."""
    columns = Columns()
    try:
        for batch in rows:
            columns.add(batch)
        return columns.by_county(zone, convention)
    finally:
        columns.close()


_TABLE = f"""
CREATE TABLE events (
    line SMALLINT, seq BIGINT, kind VARCHAR, moment TIMESTAMP, "set" VARCHAR, found VARCHAR, happened VARCHAR,
    "left" VARCHAR, far BOOLEAN, known BOOLEAN, parcel VARCHAR, species VARCHAR, id VARCHAR
);
CREATE TABLE catches (line SMALLINT, "check" VARCHAR, seq BIGINT, standing VARCHAR);
CREATE TABLE parcels (line SMALLINT, seq BIGINT, name VARCHAR, county VARCHAR);
CREATE TABLE endings (found VARCHAR, happened VARCHAR, standing VARCHAR, ending VARCHAR);
CREATE TABLE stands (found VARCHAR, "left" VARCHAR, after VARCHAR);
CREATE TABLE seen (found VARCHAR, far BOOLEAN);
CREATE TABLE caught (happened VARCHAR, standing VARCHAR);
CREATE TABLE constants AS SELECT
    '{Ending.OPERATIVE.value}' AS operative, '{Ending.DOWN.value}' AS down, '{Ending.GONE.value}' AS gone,
    '{Ending.UNTOLD.value}' AS untold, '{Ending.TARGET.value}' AS target, '{Ending.OTHER.value}' AS other;
"""

_INSERT = (
    """
INSERT INTO events
SELECT $line, seq, kind, happened::TIMESTAMP, body->>'set', body->>'found_as', body->>'what_happened',
    body->>'left_as', coalesce((body->>'from_distance') = 'true', false),
    coalesce((body->>'time_known') <> 'false', true), body->>'parcel', body->>'species',
    CASE WHEN (body->>'what_happened') IN (SELECT happened FROM caught) THEN id END
FROM batch WHERE kind NOT IN ('catch', 'parcel') AND (body->>'set') IS NOT NULL
""",
    """
INSERT INTO catches
SELECT $line, body->>'check', seq, body->>'standing' FROM batch
WHERE kind = 'catch' AND (body->>'check') IS NOT NULL
""",
    """
INSERT INTO parcels
SELECT $line, seq, body->>'name', body->>'county' FROM batch WHERE kind = 'parcel'
""",
)

_COUNTIES = """
WITH told AS (
    SELECT line, "check", arg_max(standing, seq) AS standing FROM catches GROUP BY ALL
), looks AS (
    SELECT e.*, timezone($zone, e.moment AT TIME ZONE 'UTC')::DATE AS day,
        coalesce(t.standing, c.standing, '') AS standing,
        kind IN ('set-made', 'found') AS opens,
        CASE kind
            WHEN 'set-made' THEN CASE WHEN NOT known THEN k.gone
                WHEN e."left" = 'unset' THEN k.down ELSE k.operative END
            WHEN 'found' THEN CASE WHEN e."left" = 'unset' THEN k.down ELSE k.operative END
            WHEN 'check' THEN s.after
        END AS after
    FROM events e CROSS JOIN constants k
    LEFT JOIN caught c ON e.kind = 'check' AND c.happened = e.happened
    LEFT JOIN told t ON e.id IS NOT NULL AND t.line = e.line AND t."check" = e.id
    LEFT JOIN stands s ON e.kind = 'check' AND s.found = e.found AND s."left" = e."left"
    WHERE kind IN ('set-made', 'pulled', 'lost')
        OR (kind = 'found' AND e."left" IN ('working', 'unset', 'as-found'))
        OR (kind = 'check' AND (e.found, far) IN (SELECT (found, far) FROM seen))
), episodes AS (
    SELECT *, count_if(opens) OVER w AS episode,
        last_value(parcel IGNORE NULLS) OVER w AS stands_on
    FROM looks WINDOW w AS (PARTITION BY line, "set" ORDER BY moment, seq ROWS UNBOUNDED PRECEDING)
), valid AS (
    SELECT * FROM episodes
    QUALIFY episode > 0 AND coalesce(count_if(after IS NULL) OVER (
        PARTITION BY line, "set", episode ORDER BY moment, seq
        ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING), 0) = 0
), stretches AS (
    SELECT *, lag(day) OVER w AS day_before, lag(after) OVER w AS stood FROM valid
    WINDOW w AS (PARTITION BY line, "set" ORDER BY moment, seq)
), ended AS (
    SELECT line, "set", stands_on, kind = 'check' AS looked, x.standing, stood,
        day_before, day,
        CASE kind WHEN 'check' THEN m.ending WHEN 'pulled' THEN k.operative WHEN 'lost' THEN k.gone
            ELSE k.untold END AS ending
    FROM stretches x CROSS JOIN constants k
    LEFT JOIN endings m ON x.kind = 'check' AND m.found = x.found AND m.happened = x.happened
        AND m.standing = x.standing
    WHERE stood IS NOT NULL
), settled AS (
    SELECT e.*, day - day_before AS nights, CASE WHEN stood = k.gone THEN k.gone
        WHEN stood = k.down AND ending NOT IN (k.target, k.other, k.gone) THEN k.down ELSE ending END AS so
    FROM ended e CROSS JOIN constants k
), counties AS (
    SELECT line, name, arg_max(county, seq) AS county FROM parcels GROUP BY ALL
)
SELECT coalesce(c.county, $none) AS county, year(day - INTERVAL 6 MONTH)::INTEGER AS season,
    count(DISTINCT f.line), count(DISTINCT (f.line, f."set")), count_if(looked),
    sum(CASE WHEN so IN (k.gone, k.down) THEN 0 ELSE nights END), sum(nights * w.weight),
    count_if(looked AND standing = 'target'), count_if(looked AND standing IN ('nontarget', 'domestic'))
FROM settled f CROSS JOIN constants k
JOIN weights w ON w.ending = f.so
LEFT JOIN counties c ON c.line = f.line AND c.name = f.stands_on
GROUP BY 1, 2 ORDER BY 1, 2
"""
