"""Owns telling which rule profiles there are to choose from, and how surely the values of each are known.

Does not own what a profile says (`rules`), nor the person's word on it (`confirm`).
"""

from collections.abc import Iterator
from datetime import date
from typing import Any

from tendline.core.source import Status
from tendline.jobs.answer import Answer
from tendline.jobs.profile_values import ProfileValue, values_of
from tendline.jobs.profiles import OWN, known_profile
from tendline.jobs.workspace import Workspace
from tendline.rules.load import load_profile, shipped_profiles
from tendline.rules.shape import Profile


def profile_list(day: date, space: Workspace | None = None) -> Answer:
    """List every profile: the shipped ones, and the person's own once there is a line.

    Parameters
    ----------
    day
        Values are told as they stand on it.
    space
        The opened line; None when there is none yet.

    Raises
    ------
    Refused
        RULE-1xx for a profile of one's own that cannot be read.
    """
    data = [profile_data(profile, day, own=own) for profile, own in _profiles(space)]
    lines = [f"{one['id']}  {one['title']}: {one['unsure']} of {one['values']} not seen" for one in data]
    return Answer("\n".join(lines), {"profiles": data})


def profile_data(profile: Profile, day: date, *, own: bool) -> dict[str, Any]:
    """Tell one profile as JSON can hold it."""
    values = values_of(profile, day)
    unsure = [value for value in values if not _seen(value)]
    return {
        "id": profile.id,
        "title": profile.title,
        "about": " ".join(profile.about.split()),
        "state": profile.state.value,
        "good_until": profile.good_until.isoformat(),
        "invented": profile.invented,
        "own": own,
        "values": len(values),
        "unsure": len(unsure),
        "unsure_words": [value.words for value in unsure],
    }


def _seen(value: ProfileValue) -> bool:
    """Say whether the value was read in the law's own text or on a page of the agency, or is invented."""
    return any(cite.status in (Status.TEXT, Status.AGENCY, Status.INVENTED) for cite in value.citations)


def _profiles(space: Workspace | None) -> Iterator[tuple[Profile, bool]]:
    files = sorted((space.folder / OWN).glob("*.toml")) if space is not None else []
    own = {file.stem for file in files}
    for file in files:
        yield load_profile(file), True
    for name in shipped_profiles():
        if name not in own:
            yield known_profile(name), False
