"""Owns the job `tendline season`: what a season came to, from the record, with every range beside its figure.

Does not own the figures (`season`), the limits (`season_limits`) or their wording (`report.season_text`).
"""

import tomllib
from dataclasses import dataclass
from datetime import date, datetime, time
from importlib.resources import files
from pathlib import Path

from tendline.core.errors import refuse
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.core.units import Units, format_small
from tendline.core.when import Span, day_end, day_start, local_day, parse_day
from tendline.jobs.answer import Answer
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.season_limits import LawLimits, legal_season, own_limits, season_name, season_year
from tendline.jobs.season_plots import write_plots
from tendline.jobs.workspace import Workspace
from tendline.logbook.corrected import effective
from tendline.logbook.fold import line_at
from tendline.report.season_json import season_document
from tendline.report.season_nouns import Told
from tendline.report.season_text import season_text
from tendline.season.effort import Convention
from tendline.season.faults import ASKED, POINTS
from tendline.season.money import Prices
from tendline.season.removal_index import RemovalAsked, removal_index
from tendline.season.review import Question, review
from tendline.season.study import Protocol, protocol_from

OWN_POINTS = "injury-points.toml"
"""The person's own list of injury points in the line folder."""


@dataclass(frozen=True)
class AskedSeason:
    """What the person asked of `tendline season`, as written.

    Parameters
    ----------
    season, first, last
        ``2026-27``, or days; the season that holds the present when nothing is said.
    nights
        A word of `Convention`.
    exact, score
        Exact ranges for shares; score method for ratios.
    until
        Day to which captures are expected.
    hour, mile
        What each is worth.
    rounds, effort, removal
        A removal index: catches by round as written, effort by round, or a species to take from the record.
    injuries
        A file of injury points.
    plots, formats
        A folder for plots, and their formats.
    everything
        Every table and every set.
    """

    season: str = ""
    first: str = ""
    last: str = ""
    nights: str = Convention.NELSON_CLARK.value
    exact: bool = False
    score: bool = False
    until: str = ""
    hour: float | None = None
    mile: float | None = None
    rounds: str = ""
    effort: str = ""
    removal: str = ""
    injuries: str = ""
    plots: str = ""
    formats: tuple[str, ...] = ("svg",)
    everything: bool = False


def season(space: Workspace, asked: AskedSeason, *, width: int = 100) -> Answer:
    """Say what a season came to.

    Parameters
    ----------
    space
        The opened line.
    asked
        What is asked.
    width
        Of the terminal [characters].

    Returns
    -------
    Answer
        Bad news when a figure had to be withheld, or there is no effort.

    Raises
    ------
    Refused
        SEA-201, SEA-202, CORE-201, JOB-104; RULE-1xx.
    """
    told = season_told(space, asked)
    plots = write_plots(told, Path(asked.plots), asked.formats) if asked.plots else ()
    return Answer(
        season_text(told, width=width, everything=asked.everything, plots=plots),
        season_document(told, plots=plots),
        bad_news=is_bad_news(told),
        warnings=(),
    )


def is_bad_news(told: Told) -> bool:
    """Say whether a figure had to be withheld, or there is no effort."""
    return bool(told.review.faults) or not told.review.has_effort


def season_told(space: Workspace, asked: AskedSeason) -> Told:
    """Work out what a season came to; arguments and errors as of `season`."""
    events = space.events()
    entries, line = effective(events), line_at(events, at=space.now)
    settings, profiles = space.settings, profiles_in_use(space, line)
    year, window = season_window(space, asked)
    legal = legal_season(space, _somewhere(line), profiles, window)
    law = LawLimits(settings, line, profiles)
    question = Question(
        name=season_name(year)
        if not asked.first and not asked.last
        else f"{asked.first or '…'} to {asked.last or '…'}",
        window=window,
        legal=legal.span,
        before=(season_name(year - 1), season_days(space, year - 1)),
        convention=convention_named(asked.nights),
        exact=asked.exact,
        score=asked.score,
        zone=settings.zone,
        now=space.now,
        lengths=lambda metres: _length(metres, settings.units),
        law=law,
        own=own_limits(settings),
        has_own=settings.personal.hours is not None or bool(settings.personal.before),
        usual_look_h=(settings.time.look_s + settings.time.fix_share * settings.time.fix_s) / 3600.0,
        prices=Prices(asked.hour, asked.mile),
        protocol=_protocol(space, asked.injuries),
        until=_until(space, asked.until, legal.span),
    )
    found = review(entries, line, question)
    removal = removal_index(
        RemovalAsked(_numbers(asked.rounds, "--rounds"), _numbers(asked.effort, "--effort"), asked.removal),
        found,
    )
    doubt = _doubt(law)
    return Told(found, removal, settings, legal.said, doubt, line)


def _doubt(law: LawLimits) -> str:
    """Say for how many looks the legal limit rests on what nobody confirmed; empty for none."""
    if not law.doubtful:
        return ""
    return f"legal limits of {law.doubtful} looks are not verified: confirm the rule profile for the season"


def season_window(space: Workspace, asked: AskedSeason) -> tuple[int, Span]:
    """Give the year in which the season that was asked for begins, and its days.

    Raises
    ------
    Refused
        SEA-201, CORE-201.
    """
    zone = space.settings.zone
    year = season_year(local_day(space.now, zone))
    if asked.season:
        year = _season_asked(asked.season)
    whole = season_days(space, year)
    start = day_start(parse_day(asked.first, where="--from"), zone) if asked.first else whole.start
    end = day_end(parse_day(asked.last, where="--to"), zone) if asked.last else whole.end
    if end <= start:
        raise refuse(
            ASKED, f"{asked.last} lies before {asked.first}.", "--from, --to", "Give the earlier day first."
        )
    return year, Span(start, end)


def _season_asked(text: str) -> int:
    first, _, second = text.partition("-")
    if not (first.isdigit() and len(first) == 4 and second in ("", f"{(int(first) + 1) % 100:02d}")):
        raise refuse(ASKED, f"'{text}' is no season.", "--season", "Write it as 2026-27: July to June.")
    return int(first)


def _somewhere(line: LineState) -> LonLat | None:
    return next((one.fix.place for one in line.sets.values()), None)


def season_days(space: Workspace, year: int) -> Span:
    """Give the days of a season by the year in which it begins: July to June."""
    zone = space.settings.zone
    return Span(day_start(date(year, 7, 1), zone), day_start(date(year + 1, 7, 1), zone))


def convention_named(word: str) -> Convention:
    """Find a way to count nights by its word.

    Raises
    ------
    Refused
        SEA-201 when there is none by it.
    """
    try:
        return Convention(word)
    except ValueError:
        names = ", ".join(c.value for c in Convention)
        raise refuse(
            ASKED, f"there is no way '{word}' to count nights.", "--nights", f"One of: {names}."
        ) from None


def _until(space: Workspace, text: str, legal: Span | None) -> datetime | None:
    if text:
        return datetime.combine(parse_day(text, where="--until"), time(12), tzinfo=space.settings.zone)
    return legal.end if legal is not None and legal.end > space.now else None


def _length(metres: float, units: Units) -> str:
    """Word a loop or a height in steps of half an inch or a centimetre, so that near sizes fall together."""
    step = 0.0127 if units is Units.US else 0.01
    return format_small(round(metres / step) * step, units)


def _numbers(text: str, where: str) -> tuple[float, ...]:
    parts = [part.strip() for part in text.replace(";", ",").split(",") if part.strip()]
    try:
        return tuple(float(part) for part in parts)
    except ValueError:
        raise refuse(ASKED, f"'{text}' is no list of numbers.", where, "Write 38,26,12.") from None


def _protocol(space: Workspace, given: str) -> Protocol:
    own = space.folder / OWN_POINTS
    path = Path(given) if given else own if own.is_file() else None
    try:
        text = (
            path.read_text(encoding="utf-8")
            if path is not None
            else (files("tendline.season") / "injury_points.toml").read_text(encoding="utf-8")
        )
        raw = tomllib.loads(text)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as problem:
        do = "Give a TOML file with a table [points]; docs/how-to/season.md shows one."
        raise refuse(POINTS, f"it cannot be read ({problem}).", str(path), do) from problem
    return protocol_from(raw, str(path or "the shipped list"))
