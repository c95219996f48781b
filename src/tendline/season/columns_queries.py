"""Owns the queries by which the columnar engine counts effort: tables, filling them, one answer by county.

Does not own what a look means or how nights count: those come in as tables (`columns`).
"""

from collections.abc import Iterable

from tendline.core.words import FoundAs, Happened, LeftAs
from tendline.season.stretches import Ending

KINDS = ("set-made", "check", "pulled", "lost", "found", "catch", "parcel")
"""Kinds of event that effort by county rests on."""


def _words(name: str, words: Iterable[str]) -> str:
    return f"CREATE TYPE {name} AS ENUM ({', '.join(repr(str(word)) for word in words)});"


TABLES = f"""
{_words("KIND_WORD", KINDS)}
{_words("FOUND_WORD", (w.value for w in FoundAs))}
{_words("HAPPENED_WORD", (w.value for w in Happened))}
{_words("LEFT_WORD", (w.value for w in LeftAs))}
CREATE TABLE events (
    line SMALLINT, seq INTEGER, kind KIND_WORD, moment TIMESTAMP, "set" VARCHAR, found FOUND_WORD,
    happened HAPPENED_WORD, "left" LEFT_WORD, far BOOLEAN, known BOOLEAN, parcel VARCHAR, id VARCHAR
);
CREATE TABLE catches (line SMALLINT, "check" VARCHAR, seq BIGINT, standing VARCHAR);
CREATE TABLE parcels (line SMALLINT, seq BIGINT, name VARCHAR, county VARCHAR);
CREATE TABLE legal (line SMALLINT, season INTEGER, low DOUBLE, high DOUBLE);
CREATE TABLE endings (found FOUND_WORD, happened HAPPENED_WORD, standing VARCHAR, ending VARCHAR);
CREATE TABLE stands (found FOUND_WORD, "left" LEFT_WORD, after VARCHAR);
CREATE TABLE seen (found FOUND_WORD, "left" LEFT_WORD, far BOOLEAN);
CREATE TABLE caught (happened HAPPENED_WORD, standing VARCHAR);
CREATE TABLE constants AS SELECT
    '{Ending.OPERATIVE.value}' AS operative, '{Ending.DOWN.value}' AS down, '{Ending.GONE.value}' AS gone,
    '{Ending.UNTOLD.value}' AS untold, '{Ending.TARGET.value}' AS target, '{Ending.OTHER.value}' AS other;
"""

INSERTS = (
    """
INSERT INTO events
SELECT $line, seq, kind, happened::TIMESTAMP, j[1], TRY_CAST(j[2] AS FOUND_WORD),
    TRY_CAST(j[3] AS HAPPENED_WORD), TRY_CAST(j[4] AS LEFT_WORD), coalesce(j[5] = 'true', false),
    coalesce(j[6] <> 'false', true), j[7], CASE WHEN j[3] IN (SELECT happened FROM caught) THEN id END
FROM (
    SELECT seq, id, kind, happened, json_extract_string(body, [
        'set', 'found_as', 'what_happened', 'left_as', 'from_distance', 'time_known', 'parcel']) AS j
    FROM batch WHERE kind NOT IN ('catch', 'parcel')
) WHERE j[1] IS NOT NULL
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

COUNTIES = """
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
    WHERE hash(e.line, e."set") % $parts = $part AND (kind IN ('set-made', 'pulled', 'lost')
        OR (kind = 'found' AND e."left" IN ('working', 'unset', 'as-found'))
        OR (kind = 'check' AND (e.found, e."left", e.far) IN (SELECT (found, "left", far) FROM seen)))
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
    SELECT e.*, year(day - INTERVAL 6 MONTH)::INTEGER AS season, CASE WHEN stood = k.gone THEN k.gone
        WHEN stood = k.down AND ending NOT IN (k.target, k.other, k.gone) THEN k.down ELSE ending END AS so
    FROM ended e CROSS JOIN constants k
), cut AS (
    SELECT s.*, day - day_before AS whole, greatest(0, least(day - DATE '1970-01-01', coalesce(l.high, 1e9))
        - greatest(day_before - DATE '1970-01-01', coalesce(l.low, -1e9))) AS nights
    FROM settled s LEFT JOIN legal l ON l.line = s.line AND l.season = s.season
), told_of AS (
    SELECT *, nights > 0 OR whole = 0 AS counts FROM cut
), counties AS (
    SELECT line, name, arg_max(county, seq) AS county FROM parcels GROUP BY ALL
)
SELECT coalesce(c.county, $none) AS county, f.season,
    list(DISTINCT f.line), count(DISTINCT (f.line, f."set")), count_if(looked),
    sum(CASE WHEN so IN (k.gone, k.down) THEN 0 ELSE nights END)::DOUBLE, sum(nights * w.weight)::DOUBLE,
    count_if(looked AND standing = 'target'), count_if(looked AND standing IN ('nontarget', 'domestic'))
FROM told_of f CROSS JOIN constants k
JOIN weights w ON w.ending = f.so
LEFT JOIN counties c ON c.line = f.line AND c.name = f.stands_on
WHERE f.counts
GROUP BY 1, 2 ORDER BY 1, 2
"""
