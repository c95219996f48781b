"""Owns what rules on a catch mean for one animal: for this device, kept or not, what first, held how long.

Does not own deadlines of reports (`rules.reports`) or whether a season is open (`rules.seasons`).
"""

from collections.abc import Callable, Mapping
from datetime import timedelta
from typing import Any

from tendline.core.when import day_end
from tendline.rules.facts import CatchFacts
from tendline.rules.outcome import Met, Outcome, all_of, idle, no, unknown, yes
from tendline.rules.rule import (
    AtOnce,
    CatchForm,
    KeepIf,
    MayNot,
    OneOfActs,
    Order,
    PossessionEnd,
    Rule,
    Targets,
)
from tendline.rules.scene import Scene
from tendline.rules.seasons import on_year, own_season, season_at
from tendline.rules.shape import Fit

_SECOND = timedelta(seconds=1)
_AGAINST = {"release": ("keep", "dispatch"), "dispatch": ("release",), "keep": ("release",)}


def meet_catch(form: CatchForm, catch: CatchFacts, scene: Scene) -> Outcome:
    """Say what one rule on a catch means for it."""
    return _MEETERS[type(form)](form, catch, scene)


def is_target(catch: CatchFacts, scene: Scene) -> bool | None:
    """Say whether the animal is one the device is for; None where no list of targets is held."""
    lists = [form.species for _, form in _forms(scene, Targets)]
    if not lists:
        return None
    return any(catch.species in species for species in lists)


def _targets(form: Targets, catch: CatchFacts, scene: Scene) -> Outcome:
    listed = ", ".join(form.species)
    if is_target(catch, scene):
        return yes(f"{catch.species} is one of: {listed}")
    said = f"{catch.species} is none of those this device is for: {listed}"
    if any(form.incidental for _, form in _forms(scene, KeepIf)):
        return idle(said, "what else is caught has a rule of its own")
    return no(said, "it may not be kept")


def _keep_if(form: KeepIf, catch: CatchFacts, scene: Scene) -> Outcome:
    if form.incidental and is_target(catch, scene):
        return idle(f"{catch.species} is one of those this device is for")
    outcomes = [_season(name, catch, scene) for name in form.seasons]
    outcomes += [_paper(catch.species if kind == "own" else kind, catch, scene) for kind in form.papers]
    found = all_of(outcomes)
    if found.met is Met.YES:
        return yes(*found.said, "it may be kept")
    let_go = catch.wish == "release" or _was_done(catch, "release")
    if let_go and not _was_done(catch, "keep"):
        return idle(*found.said, "it is not kept")
    return found if found.met is not Met.NO else no(*found.said, "it may not be kept")


def _season(name: str, catch: CatchFacts, scene: Scene) -> Outcome:
    at = catch.harvested_at or catch.found_at
    if at is None:
        return unknown("record when it was found", "when it was found is not recorded")
    found = own_season(catch.species, at, scene) if name == "own" else season_at(name, at, scene)
    whose = catch.species if name == "own" else f"'{name}'"
    if found.met is Met.UNKNOWN:
        return unknown(f"find out whether {whose} is in season", *found.said)
    return yes(*found.said) if found.met is Met.YES else no(*found.said, f"{whose} is not in season")


def _paper(kind: str, catch: CatchFacts, scene: Scene) -> Outcome:
    person = scene.facts.person
    held = {p.kind for p in person.papers} if person is not None else set()
    lacks = catch.lacks | (person.lacks if person is not None else frozenset())
    if kind in catch.permits | held:
        return yes(f"a licence or permit for {kind} is held")
    if kind in lacks:
        return no(f"no licence or permit for {kind} is held")
    return unknown(
        f"record every licence and permit for {kind}", f"whether a permit for {kind} is held is not recorded"
    )


def _at_once(form: AtOnce, catch: CatchFacts, scene: Scene) -> Outcome:  # noqa: ARG001  all are called alike
    against = [act for act in _AGAINST.get(form.act, ()) if _was_done(catch, act)]
    if against:
        return no(f"to be done at once: {form.act}; done instead: {', '.join(against)}")
    if _was_done(catch, form.act):
        return yes(f"{form.act}: done")
    if catch.wish in _AGAINST.get(form.act, ()):
        return no(f"to be done at once: {form.act}; meant instead: {catch.wish}")
    return Outcome(Met.DUE, (f"{form.act}, at once: the text gives no number, so it is never late by guess",))


def _one_of(form: OneOfActs, catch: CatchFacts, scene: Scene) -> Outcome:  # noqa: ARG001
    done = [act for act in form.acts if _was_done(catch, act)]
    if done:
        return yes(f"{done[0]}: done")
    return Outcome(Met.DUE, (f"one of these: {', '.join(form.acts)}",))


def _may_not(form: MayNot, catch: CatchFacts, scene: Scene) -> Outcome:  # noqa: ARG001
    barred = f"barred: {', '.join(form.acts)}"
    done = [act for act in form.acts if _was_done(catch, act)]
    if done:
        return no(f"{barred}; done: {', '.join(done)}")
    if catch.wish in form.acts:
        return no(f"{barred}; meant: {catch.wish}")
    if catch.done is None:
        return unknown("record what was done with it", barred, "nothing about it is on record")
    return yes(barred)


def _order(form: Order, catch: CatchFacts, scene: Scene) -> Outcome:
    words = ", then ".join(form.acts)
    at = {act.act: act.at for act in catch.done or () if act.act in form.acts}
    for number, act in enumerate(form.acts[1:], start=1):
        for before in form.acts[:number]:
            if act not in at:
                continue
            if before not in at:
                return no(f"{words}; but {act} came without {before}")
            first, second = at[before], at[act]
            if first is None or second is None:
                return unknown(f"record when each was done: {words}", f"{words}: nobody recorded when")
            if second < first:
                return no(f"{words}; but {act} came first, {scene.told(second)}")
    if len(at) == len(form.acts):
        return yes(f"{words}: done in that order")
    following = next(act for act in form.acts if act not in at)
    return Outcome(Met.DUE, (f"{words}; next: {following}",))


def _possession_end(form: PossessionEnd, catch: CatchFacts, scene: Scene) -> Outcome:
    if not catch.held:
        ask = "record in what state it is held, or that it is not"
        return unknown(ask, "in what state it is held is not recorded")
    if catch.held not in form.held:
        return idle(f"it is held as {catch.held}; this is for {', '.join(form.held)}")
    when = catch.found_at
    if when is None:
        return unknown("record when it was found", "when it was found is not recorded")
    day = scene.day_of(when)
    if form.until is not None:
        until = form.until
        last = min(d for year in (day.year, day.year + 1) if (d := on_year(until, year)) >= day)
        said: tuple[str, ...] = ()
    else:
        name = form.season
        found = own_season(catch.species, when, scene) if name == "own" else season_at(name, when, scene)
        if found.met is not Met.YES or found.days is None or found.days.last is None:
            return unknown(f"find out when '{name}' closes", *found.said)
        last, said = found.days.last + timedelta(days=form.days), found.said
    end = day_end(last, scene.zone) - _SECOND
    told = f"it may be held as {catch.held} to {last}"
    if scene.now > end:
        return Outcome(Met.OVERDUE, (*said, told), due_at=end)
    return Outcome(Met.DUE, (*said, told), due_at=end)


def _was_done(catch: CatchFacts, act: str) -> bool:
    return any(done.act == act for done in catch.done or ())


def _forms(scene: Scene, kind: type[Any]) -> list[tuple[Rule, Any]]:
    """Give the rules of one form that look at this device today."""
    found = []
    for rule in scene.profile.rules:
        term = rule.history.on(scene.day)
        if term is not None and isinstance(term.value, kind) and scene.fit(rule) is not Fit.NO:
            found.append((rule, term.value))
    return found


_MEETERS: Mapping[type[CatchForm], Callable[[Any, CatchFacts, Scene], Outcome]] = {
    Targets: _targets,
    KeepIf: _keep_if,
    AtOnce: _at_once,
    OneOfActs: _one_of,
    MayNot: _may_not,
    Order: _order,
    PossessionEnd: _possession_end,
}
