"""Messages that have shipped are read for ever, and both sides mean the same by them."""

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from tendline.field.intake import Became, sort_phone
from tendline.field.wire import VERSIONS, read_message
from tendline.jobs.round import Asked
from tendline.jobs.serve import open_desk
from tendline.logbook.admit import Gate
from tendline.logbook.fold import line_at
from tests.lines import MORNING, small_line
from tests.unit.logbook.made import MONDAY, Book
from tools import build_web

FIXTURES = Path(__file__).parents[3] / "wire" / "fixtures"


def test_there_is_a_fixture_of_every_version() -> None:
    assert {f"phone-events-{version}.json" for version in VERSIONS} <= {f.name for f in FIXTURES.iterdir()}


@pytest.mark.parametrize("version", VERSIONS)
def test_every_entry_of_every_version_is_still_entered(version: int) -> None:
    message = read_message((FIXTURES / f"phone-events-{version}.json").read_bytes())
    book = Book()
    for number, name in enumerate(("N1", "N2", "N3")):
        book.made(name, str(101 + number))
    now = MONDAY + timedelta(hours=30)
    gate = Gate(line_at(book.events, at=now), book.events, now=now)
    known = {event.id: event for event in book.events}
    outcomes = sort_phone(message.entries, known=known, gate=gate, gate_then=lambda _: gate)
    assert [o.became for o in outcomes] == [Became.ENTERED] * len(message.entries)


def _shape(found: Any) -> Any:
    """Boil a document down to its keys; lists to their first entry."""
    if isinstance(found, dict):
        return {key: _shape(value) for key, value in found.items()}
    return [_shape(found[0])] if isinstance(found, list) and found else None


def _lacks(old: Any, new: Any, at: str = "") -> list[str]:
    """Name the keys of an old document that a new one no longer has."""
    if isinstance(old, dict) and isinstance(new, dict):
        gone = [f"{at}.{key}" for key in old if key not in new]
        return gone + [g for key in old if key in new for g in _lacks(old[key], new[key], f"{at}.{key}")]
    if isinstance(old, list) and isinstance(new, list) and old and new:
        return _lacks(old[0], new[0], f"{at}[]")
    return []


def test_the_round_an_old_page_knows_is_still_carried(tmp_path: Path) -> None:
    """Keys are only ever added: a phone that was not updated for a season can still read tomorrow's round."""
    asked = Asked(start="06:10", back="12:00", seconds=None, iterations=50)
    desk = open_desk(small_line(tmp_path / "line"), at=MORNING, units=None, asked=asked)
    assert desk.plan() == ""
    old = json.loads((FIXTURES / "carried-round-1.json").read_text(encoding="utf-8"))
    assert _lacks(_shape(old), _shape(desk.carried())) == []


def test_the_page_agrees() -> None:
    """The tests of the page's own rules, which read the same fixtures, run by the node that builds it."""
    try:
        tests = sorted(str(path) for path in (build_web.WEB / "tests").glob("*.test.ts"))
        build_web.run_node(["--test", "--disable-warning=ExperimentalWarning", *tests])
    except RuntimeError as problem:
        pytest.fail(str(problem))
