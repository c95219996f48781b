"""Owns the stock of loose parts while the fold runs: had, used, counted, and by how much a count was off.

Does not own tagged devices (`devices`) or how many parts are needed (`gear.parts`).

A part is in the ledger from the first time somebody noted having it or counted it. What was used before that
is not held against it, for nobody knows what there was.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from tendline.core.line import PartStock
from tendline.logbook.corrected import Effective

_Key = tuple[str, float | None]


@dataclass
class _Part:
    """A part while the fold runs."""

    name: str
    length_m: float | None
    count: int = 0
    received: int = 0
    used: int = 0
    counted_at: datetime | None = None
    off: int | None = None

    @property
    def words(self) -> str:
        """Name the part: ``swivel``, ``cable of 304.80 m``."""
        return self.name if self.length_m is None else f"{self.name} of {self.length_m:.2f} m"


class Stock:
    """Every loose part so far, and where its ledger does not add up, one sentence each."""

    def __init__(self) -> None:
        self._parts: dict[_Key, _Part] = {}
        self.unbalanced: list[str] = []

    def frozen(self) -> tuple[PartStock, ...]:
        """Give the stock as the rest of tendline sees it, in order of name and length."""
        parts = sorted(self._parts.values(), key=lambda p: (p.name, p.length_m or 0.0))
        return tuple(PartStock(**vars(part)) for part in parts)

    def received(self, entry: Effective) -> None:
        """Let parts come in: bought, found, or taken off a scrapped device."""
        part = self._parts.setdefault(_key(entry.body), _Part(*_key(entry.body)))
        part.count += int(entry.body["count"])
        part.received += int(entry.body["count"])

    def used(self, entry: Effective) -> None:
        """Let parts be used up, given away or thrown away."""
        self._take(_key(entry.body), int(entry.body["count"]), entry)

    def built_with(self, entry: Effective) -> None:
        """Let a device be built or rebuilt out of loose parts, as far as it says of which."""
        for name, count in entry.body.get("parts", {}).items():
            self._take((name, None), int(count), entry)

    def counted(self, entry: Effective) -> None:
        """Let somebody count: what was counted is what there is, and the difference is kept."""
        key = _key(entry.body)
        known = key in self._parts
        part = self._parts.setdefault(key, _Part(*key))
        part.off = int(entry.body["count"]) - part.count if known else None
        part.count, part.counted_at = int(entry.body["count"]), entry.happened_at

    def _take(self, key: _Key, count: int, entry: Effective) -> None:
        part = self._parts.get(key)
        if part is None:
            return
        part.used += count
        part.count -= count
        if part.count < 0 <= part.count + count:
            self.unbalanced.append(
                f"{part.words}: {-part.count} more used than there were, by event {entry.event.id}; "
                "count them: stock-count."
            )


def _key(body: Mapping[str, Any]) -> _Key:
    length = body.get("length_m")
    return body["part"], None if length is None else round(float(length), 4)
