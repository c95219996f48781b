"""Owns the job behind the first view of the desk page: everything that matters before bed, on cards.

Does not own the answers (`due`, `lawful`, `weather`, ...), nor the wording of the cards (`report.tonight`).
"""

from collections.abc import Mapping
from typing import Any

from tendline.core.when import rfc3339
from tendline.jobs.answer import Answer
from tendline.jobs.due import due_data
from tendline.jobs.forecast_kept import weather_kept
from tendline.jobs.lawful import lawful_data
from tendline.jobs.workspace import Workspace
from tendline.report.stock_text import out_devices
from tendline.report.tonight import balance_card, due_card, law_card, stock_card, weather_card


def tonight(space: Workspace, round_: Mapping[str, Any] | None, why: str, *, odd: int = 0) -> Answer:
    """Put up the cards that are told at once, and tomorrow's round.

    Parameters
    ----------
    space
        The opened line.
    round_
        The document of the planned round; None when there is none.
    why
        Why there is none.
    odd
        How many messages of phones are held apart.

    Returns
    -------
    Answer
        Bad news when something has to be done.
    """
    line, board = space.line(), due_data(space)
    cards = [
        due_card(board, round_),
        stock_card(line.parts, line.devices.values(), out_devices(line.devices.values()), round_),
        balance_card(line.unbalanced, line.warnings, odd),
    ]
    data = {
        "now": rfc3339(space.now, space.settings.zone),
        "in_field": len(line.in_field),
        "round": None if round_ is None else dict(round_),
        "why": why,
        "cards": cards,
    }
    return Answer("", data, bad_news=any(card["state"] == "act" for card in cards))


def tonight_law(space: Workspace) -> Answer:
    """Put up the card of the law."""
    return _one(law_card(lawful_data(space)))


def tonight_weather(space: Workspace) -> Answer:
    """Put up the card of the weather, from the forecast that was handed in last."""
    found = weather_kept(space)
    return _one(weather_card(None, found) if isinstance(found, str) else weather_card(found.data))


def _one(card: Mapping[str, Any]) -> Answer:
    return Answer("", {"cards": [dict(card)]}, bad_news=card["state"] == "act")
