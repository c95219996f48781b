"""Owns what a season for devices means for one set: lawfully out, set too early, to be out by when.

Does not own whether the season is open (`rules.seasons`).
"""

from datetime import datetime

from tendline.rules.outcome import Met, Outcome, idle, no, unknown
from tendline.rules.rule import Gear, Rule
from tendline.rules.scene import Scene
from tendline.rules.seasons import Opened, open_at


def set_in_season(rule: Rule, scene: Scene) -> Outcome:
    """Say whether a set may be out under the season of one rule, now and when it was made."""
    held = scene.facts.set
    if held is None:
        return idle("no device is out there")
    found = open_at(rule, scene.now, scene)
    if found.met is Met.UNKNOWN:
        return Outcome(Met.UNKNOWN, found.said, (f"find out the dates of '{rule.id}'",))
    if found.met is Met.NO:
        return _out_of_season(rule, found, working=held.working)
    early = _too_early(rule, held.made_at, scene)
    if early is not None:
        return early
    end = found.span.end if found.span is not None and found.span.end.year < _FAR else None
    said = (*found.said, f"out by {scene.told(end)}") if end is not None else found.said
    return Outcome(Met.YES, said, due_at=end)


_FAR = 9000
"""A season that ends in a later year has no end."""


def _out_of_season(rule: Rule, found: Opened, *, working: bool) -> Outcome:
    if working or rule.gear is Gear.SET_OR_SPRUNG:
        state = "set" if working else "closed, which counts as well"
        return no(*found.said, f"it is out ({state}): take it up")
    if rule.gear is Gear.OPEN:
        return idle(*found.said, "it is closed, and closed gear does not count")
    ask = "take it up, or find out whether closed gear counts out of season"
    return unknown(ask, *found.said, "it is closed; the text seen does not say whether closed gear counts")


def _too_early(rule: Rule, made: datetime | None, scene: Scene) -> Outcome | None:
    if made is None or made > scene.now:
        return None
    then = open_at(rule, made, scene)
    if then.met is not Met.NO:
        return None
    return no(*then.said, f"it was set on {scene.told(made)}, when '{rule.id}' was not open")
