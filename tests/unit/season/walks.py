"""Short ways for the tests of the season from a diary to its stretches."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from tendline.core.when import Span
from tendline.logbook.corrected import effective
from tendline.logbook.events import Event
from tendline.logbook.fold import line_at
from tendline.season.groups import grouping
from tendline.season.walk import Walked, walked
from tests.unit.logbook.made import MONDAY, Book

ZONE = ZoneInfo("America/New_York")
YEAR = Span(datetime(2026, 7, 1, 4, tzinfo=UTC), datetime(2027, 7, 1, 4, tzinfo=UTC))

CLOSED = {"found_as": "closed", "what_happened": "fired-empty", "done": "rehung", "left_as": "working"}
DOWN = {"found_as": "knocked-down", "what_happened": "deer", "done": "rehung", "left_as": "working"}
COYOTE = {
    "found_as": "holding",
    "what_happened": "caught-kept",
    "done": "remade",
    "left_as": "working",
    "species": "coyote",
}
RACCOON = {**COYOTE, "what_happened": "nontarget-released", "species": "raccoon"}
GONE = {"found_as": "gone", "what_happened": "missing", "done": "none", "left_as": "as-found"}


def walk(
    events: Book | Sequence[Event], *, hours: float = 24 * 60, window: Span = YEAR, zone: ZoneInfo = ZONE
) -> Walked:
    """Cut a diary into stretches, as it stands so many hours after `MONDAY`."""
    told = events.events if isinstance(events, Book) else events
    now = MONDAY + timedelta(hours=hours)
    line, entries = line_at(told, at=now), effective(told)
    said = grouping(line, entries, lambda metres: f"{metres / 0.0254:.0f} in")
    return walked(entries, line, window=window, zone=zone, grouping=said, now=now)


def codes(found: Walked) -> list[str]:
    """Give the codes of what was named."""
    return [fault.code.id for fault in found.faults]
