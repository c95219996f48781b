"""Owns the animals held, while the fold runs: what a check, a catch and what was done about it add up to.

Does not own effort or what a law makes of a catch (`rules`).
"""

from collections.abc import Mapping
from dataclasses import replace

from tendline.core.line import ActSeen, Catch
from tendline.core.words import Fate, Happened, Standing
from tendline.logbook.corrected import Effective
from tendline.logbook.law_fields import CATCH_FIELDS
from tendline.logbook.measured import told_of

CAUGHT: Mapping[Happened, tuple[Standing, Fate]] = {
    Happened.CAUGHT_KEPT: (Standing.TARGET, Fate.KEPT),
    Happened.CAUGHT_RELEASED: (Standing.TARGET, Fate.RELEASED),
    Happened.NONTARGET_RELEASED: (Standing.NONTARGET, Fate.RELEASED),
    Happened.NONTARGET_INJURED: (Standing.NONTARGET, Fate.RELEASED_INJURED),
    Happened.NONTARGET_DEAD: (Standing.NONTARGET, Fate.DEAD),
    Happened.DOMESTIC_RELEASED: (Standing.DOMESTIC, Fate.RELEASED),
    Happened.FOUND_DEAD: (Standing.TARGET, Fate.DEAD),
}
"""What happened, for the checks that found an animal held, with its standing and what became of it."""


class Catches:
    """Every catch so far, each once: under the check that found it, else under its own event."""

    def __init__(self) -> None:
        self._by_key: dict[str, Catch] = {}

    def seen(self, entry: Effective, *, tag: str | None) -> None:
        """Let a check say that an animal was held; `tag` is the device that held it."""
        what = Happened(entry.body["what_happened"])
        if what not in CAUGHT:
            return
        standing, fate = CAUGHT[what]
        self._by_key[entry.event.id] = Catch(
            entry.happened_at,
            entry.body["set"],
            entry.body.get("species", "unknown"),
            standing.value,
            fate.value,
            entry.event.id,
            tag=tag,
            by=entry.event.by,
        )

    def noted(self, entry: Effective, *, tag: str | None) -> Catch:
        """Let a catch say more than its check did; the time of the check and its device stand."""
        body = entry.body
        key = body.get("check", entry.event.id)
        before = self._by_key.get(key)
        self._by_key[key] = Catch(
            before.at if before is not None else entry.happened_at,
            body["set"],
            body["species"],
            body["standing"],
            body["fate"],
            entry.event.id,
            body.get("note", ""),
            tag=before.tag if before is not None else tag,
            by=entry.event.by,
            told=told_of(CATCH_FIELDS, body),
            acts=before.acts if before is not None else (),
        )
        return self._by_key[key]

    def done(self, entry: Effective) -> bool:
        """Let something be done about the last catch at a set; False where none is on record."""
        body = entry.body
        at_set = [key for key, catch in self._by_key.items() if catch.set_name == body["set"]]
        if not at_set:
            return False
        key = max(at_set, key=lambda k: self._by_key[k].at)
        act = ActSeen(body["act"], entry.happened_at, body.get("to", ""))
        self._by_key[key] = replace(self._by_key[key], acts=(*self._by_key[key].acts, act))
        return True

    def in_order(self) -> tuple[Catch, ...]:
        """Give every catch, oldest first."""
        return tuple(sorted(self._by_key.values(), key=lambda c: (c.at, c.event)))
