"""Owns finding and opening the rule profiles that a line uses: shipped ones by name, own ones as files.

Does not own what a profile says (`rules`).
"""

from collections.abc import Mapping
from importlib.resources import files

from tendline.core.errors import FaultList, Refused
from tendline.core.line import LineState
from tendline.jobs.workspace import Workspace
from tendline.plan.due import PROFILE_ANSWER
from tendline.rules.load import load_profile
from tendline.rules.shape import Profile

OWN = "rules"
"""Folder inside the line folder where the person's own profiles lie."""


def known_profile(name: str) -> Profile:
    """Open a shipped profile.

    Raises
    ------
    Refused
        RULE-1xx, RULE-102 when there is none by that name.
    """
    return load_profile(name)


def shipped_text(name: str) -> str:
    """Give the text of a shipped profile, as it lies in the package."""
    country, _, region = name.partition("-")
    file = files("tendline.rules") / "packs" / country / f"{region}.toml"
    return file.read_text(encoding="utf-8")


def profile_named(space: Workspace, name: str) -> Profile:
    """Open one profile: the person's own before a shipped one of that name.

    Raises
    ------
    Refused
        RULE-1xx, RULE-102 when there is none by that name.
    """
    own = space.folder / OWN / f"{name}.toml"
    return load_profile(own) if own.is_file() else load_profile(name)


def profiles_in_use(space: Workspace, line: LineState) -> Mapping[str, Profile]:
    """Open every profile that the settings or a parcel name.

    Raises
    ------
    Refused
        RULE-1xx, with every fault of every profile.
    """
    named = set(space.settings.profiles)
    named |= {p.zones[PROFILE_ANSWER] for p in line.parcels.values() if PROFILE_ANSWER in p.zones}
    faults, found = FaultList(), {}
    for name in sorted(named):
        try:
            found[name] = profile_named(space, name)
        except Refused as problem:
            faults.extend(problem.faults)
    faults.refuse()
    return found
