"""Owns the job `tendline lawful --new`: a rule profile of one's own, from a shipped one or a guided blank.

Does not own the format (`rules`, docs/reference/rule-profiles.md); what is written is read back first.
"""

from pathlib import Path

from tendline.core.errors import refuse
from tendline.core.when import local_day
from tendline.jobs.answer import Answer
from tendline.jobs.faults import CANNOT_WRITE, PROFILE_EXISTS
from tendline.jobs.files import write_whole
from tendline.jobs.profiles import OWN, shipped_text
from tendline.jobs.workspace import Workspace
from tendline.rules.load import read_profile, shipped_profiles


def new_profile(space: Workspace, name: str) -> Answer:
    """Write `rules/NAME.toml` into the line folder.

    Parameters
    ----------
    space
        The opened line.
    name
        ``us-xy``; a shipped profile of that name is copied, to be put right; else a guided blank is written.

    Raises
    ------
    Refused
        JOB-503 when there is one already; RULE-1xx for a name that cannot be; JOB-104.
    """
    path = space.folder / OWN / f"{name}.toml"
    if path.exists():
        raise refuse(PROFILE_EXISTS, "it is there already.", str(path), "Edit it; every command reads it.")
    copied = name in shipped_profiles()
    text = shipped_text(name) if copied else _blank(space, name)
    read_profile(text, file=str(path))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, text.encode())
    except OSError as problem:
        raise refuse(
            CANNOT_WRITE, f"{problem.strerror}.", str(path), "Free some space and do it again."
        ) from problem
    return _answer(path, name, copied=copied)


def _answer(path: Path, name: str, *, copied: bool) -> Answer:
    what = "a copy of the shipped profile" if copied else "a guided blank"
    text = (
        f"Written: {path}, {what}. Put in what the official text says, each value with its source; "
        f"docs/reference/rule-profiles.md tells every key. Then name it in line.toml: "
        f'profiles = ["{name}"], and confirm it: tendline lawful --confirm {name}'
    )
    return Answer(text, {"file": str(path), "copied": copied})


def _blank(space: Workspace, name: str) -> str:
    country, _, region = name.partition("-")
    day = local_day(space.now, space.settings.zone).isoformat()
    return f"""# A rule profile of your own. Every value needs a source; what you do not know stays out,
# and is then "not verified". Words that start with # explain; take them out as you go.
format = 1

[profile]
id = "{name}"
title = "{name}: put the name of the place here"
about = "Written by hand; not legal advice. Say here what a person must know before going by it."
country = "{country}"
region = "{region}"
state = "draft"
reviewed = {day}
good_until = {space.now.year + 1}-06-30

[legal_time]
zone = "place"

# One source. status: "text seen", "agency page", "secondary", "from memory" or "unknown".
[cite.code]
title = "Name of the law or page"
section = "the paragraph"
address = "where you read it"
retrieved = {day}
status = "unknown"

# How often a set must be looked at. With a source that is "unknown" every answer is "not verified".
[check.visit]
meaning = "Every device is visited at least once in 24 hours: put the law's own rule here."
severity = "duty"
classes = ["live-restraint"]
[[check.visit.since]]
seen = {day}
form = "elapsed-hours"
limit = "24 h"
cite = ["code"]
"""
