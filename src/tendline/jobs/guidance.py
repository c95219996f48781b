"""Owns what a rule profile holds of its agency's guidance on a held animal: how to release it, whom to call.

Does not own the law on a catch (`duties`), nor any advice: what no profile holds is "not verified".
"""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from tendline.core.settings import Settings
from tendline.rules.shape import Profile

STEPS = "release-steps"
CALL = "whom-to-call"
GUIDANCE = (STEPS, CALL)
"""Facts of a profile, each a list in the agency's own order."""


def carried_guidance(
    profiles: Mapping[str, Profile], *, settings: Settings, day: date
) -> list[dict[str, Any]]:
    """Give the guidance of every profile in use, as JSON can hold it.

    Parameters
    ----------
    profiles
        Rule profiles by id.
    settings
        For the person's own word on each.
    day
        The day of the round.

    Returns
    -------
    list of dict
        One for each profile with ``steps`` and ``call``, each ``{"lines", "verified", "citation", "note"}``;
        empty lines where the profile holds none on that day.
    """
    return [
        {
            "profile": name,
            "steps": _told(profiles[name], STEPS, settings, day),
            "call": _told(profiles[name], CALL, settings, day),
        }
        for name in sorted(profiles)
    ]


def _told(profile: Profile, fact: str, settings: Settings, day: date) -> dict[str, Any]:
    held = profile.facts.get(fact)
    term = held.history.on(day) if held is not None else None
    if term is None or term.value is None:
        return {"lines": [], "verified": False, "citation": "", "note": ""}
    word = settings.word_on(profile.id)
    doubt = word.doubts.get(f"fact.{fact}") if word is not None else None
    confirmed = word is not None and word.confirmed <= day <= word.until
    value = term.value
    lines: Sequence[str] = value if isinstance(value, tuple) else (str(value),)
    return {
        "lines": list(lines),
        "verified": confirmed and doubt is None and term.status.may_bind,
        "citation": str(term.cites[0]),
        "note": doubt or term.note,
    }
