"""Owns going through a rule profile in a form: its values with their sources, and the answers to all of them.

Does not own keeping what was said (`confirm`).
"""

from collections.abc import Mapping

from tendline.core.when import local_day
from tendline.jobs.answer import Answer
from tendline.jobs.confirm import confirm, said_of, season_end
from tendline.jobs.profile_values import values_of
from tendline.jobs.profiles import profile_named
from tendline.jobs.workspace import Workspace


def confirm_form(space: Workspace, name: str) -> Answer:
    """Give every value of a profile as it stands today, each with where it was read, and the word given last.

    Raises
    ------
    Refused
        RULE-102.
    """
    profile = profile_named(space, name)
    day = local_day(space.now, space.settings.zone)
    values = [
        {"rule": one.rule, "words": one.words, "sources": [str(cite) for cite in one.citations]}
        for one in values_of(profile, day)
    ]
    word = space.settings.word_on(name)
    given = None
    if word is not None:
        given = {
            "on": word.confirmed.isoformat(),
            "until": word.until.isoformat(),
            "note": word.note,
            "doubts": dict(word.doubts),
            "holds": word.confirmed <= day <= word.until,
        }
    data = {
        "profile": name,
        "title": profile.title,
        "until": season_end(day, profile).isoformat(),
        "values": values,
        "word": given,
    }
    return Answer("\n".join(f"{one['rule']}: {one['words']}" for one in values), data)


def confirm_all(space: Workspace, name: str, answers: Mapping[str, str], *, note: str) -> Answer:
    """Keep what was said of every value.

    Raises
    ------
    Refused
        JOB-502 with every value that has no answer or is not in the profile; as `confirm.confirm`.
    """
    said = said_of(space, name, {rule: {"answer": answer} for rule, answer in answers.items()}, where=name)
    return confirm(space, name, lambda value, _number, _of: said[value.rule], note=note)
