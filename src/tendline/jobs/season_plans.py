"""Owns `tendline season --plans`: kept route cards and plans of days, held against the record.

Does not own the comparison (`season.planned`), the files (`kept_plans`) or the wording.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from tendline.core.words import FoundAs, LeftAs
from tendline.jobs.answer import Answer
from tendline.jobs.kept_plans import read_kept
from tendline.jobs.season import AskedSeason, season_window
from tendline.jobs.workspace import Workspace
from tendline.logbook.corrected import Effective, effective
from tendline.report.season_plans_text import AgainstPlans, plans_document, plans_text
from tendline.season.planned import Seen, card_done, days_done, pace
from tendline.season.stretches import confirms


def against_plans(
    space: Workspace, *, season: str = "", first: str = "", last: str = "", width: int = 100
) -> Answer:
    """Say what was planned and what was done.

    Parameters
    ----------
    space
        The opened line.
    season, first, last
        As of `AskedSeason`: cards that start, and plans of days that begin, in these days.
    width
        Of the terminal [characters].

    Returns
    -------
    Answer
        Bad news when no plan is kept for these days.

    Raises
    ------
    Refused
        JOB-613 for every file that cannot be used; SEA-201, CORE-201.
    """
    _, window = season_window(space, AskedSeason(season=season, first=first, last=last))
    kept, looks, zone = read_kept(space), seen_on_record(effective(space.events())), space.settings.zone
    cards = tuple(
        card_done(card, looks, zone=zone, now=space.now) for card in kept.cards if window.holds(card.leave)
    )
    days = tuple(
        one for one in days_done(kept.days, looks, now=space.now) if window.holds(one.days.span.start)
    )
    told = AgainstPlans(space.settings, cards, pace(cards), days)
    return Answer(plans_text(told, width=width), plans_document(told), bad_news=not (cards or days))


def seen_on_record(entries: Iterable[Effective]) -> tuple[Seen, ...]:
    """Give the looks on record that count as looks, by whomever; a set that was not reached is none.

    Who takes a set up was at it, so that counts as a look.
    """
    return tuple(
        Seen(one.body["set"], one.happened_at, taken_up=one.event.kind == "pulled")
        for one in entries
        if one.event.kind == "pulled" or (one.event.kind == "check" and _looked(one.body))
    )


def _looked(body: Mapping[str, Any]) -> bool:
    far = bool(body.get("from_distance", False))
    return confirms(FoundAs(body["found_as"]), LeftAs(body["left_as"]), from_distance=far)
