"""Laws of the record: the fold does not mind the order of events; an event survives its journey to disk."""

from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.line import DeviceState
from tendline.logbook.audit import check_chains, ledger
from tendline.logbook.events import chain, instant_text
from tendline.logbook.fold import line_at
from tendline.logbook.store import Store
from tests.unit.logbook.made import FINE, MONDAY, Book

NAMES = st.sampled_from(["N1", "N2", "N3"])
TAGS = st.sampled_from(["1", "2", "3", "4"])
WORDS = st.text(min_size=1, max_size=20).filter(lambda text: text.strip())


@st.composite
def diaries(draw: st.DrawFn) -> Book:
    """A diary of up to a dozen events, sensible or not."""
    book = Book()
    for hour in range(draw(st.integers(1, 12))):
        at = MONDAY + timedelta(hours=draw(st.integers(0, 40)), seconds=hour)
        kind = draw(
            st.sampled_from(
                ["made", "check", "pulled", "lost", "found", "void", "correction", "built", "bench", "parts"]
            )
        )
        name, tag = draw(NAMES), draw(TAGS)
        if kind == "made":
            book.note("set-made", {"set": name, "tag": tag}, at=at, place=(-78.0, 41.5))
        elif kind == "check":
            left = draw(st.sampled_from(["working", "unset", "pulled", "as-found"]))
            book.note("check", {"set": name, **FINE, "left_as": left}, at=at)
        elif kind == "built":
            book.note("device-built", {"tag": tag, "parts": {"cable": 1}}, at=at)
        elif kind == "bench":
            more = draw(st.sampled_from([{"cable": "frayed"}, {"cable": "sound"}, {}]))
            book.note("device-inspected" if more else "device-rebuilt", {"tag": tag, **more}, at=at)
        elif kind == "parts":
            name = draw(st.sampled_from(["parts-received", "parts-used", "stock-count"]))
            book.note(name, {"part": "cable", "count": draw(st.integers(1, 9))}, at=at)
        elif kind in ("void", "correction") and book.events:
            target = draw(st.sampled_from(book.events))
            body: dict[str, Any] = {"of": target.id, "why": "x"}
            if kind == "correction":
                body["happened_at"] = (MONDAY + timedelta(hours=draw(st.integers(0, 40)))).isoformat()
            book.note(kind, body, at=at)
        elif kind in ("pulled", "lost", "found"):
            book.note(kind, {"set": name, "why": "x"} if kind == "lost" else {"set": name}, at=at)
    return book


@settings(max_examples=150, deadline=None)
@given(diaries(), st.data())
def test_the_fold_does_not_mind_the_order_of_events(book: Book, data: st.DataObject) -> None:
    mixed = data.draw(st.permutations(book.events))
    at = MONDAY + timedelta(days=9)
    assert line_at(mixed, at=at) == line_at(book.events, at=at)


@settings(max_examples=150, deadline=None)
@given(diaries())
def test_every_device_is_in_exactly_one_place(book: Book) -> None:
    line = line_at(book.events, at=MONDAY + timedelta(days=9))
    assert sum(ledger(line).values()) == len(line.devices)
    in_field = [d.tag for d in line.devices.values() if d.state is DeviceState.FIELD]
    if not line.unbalanced:
        assert sorted(in_field) == sorted(s.tag for s in line.in_field if s.tag is not None)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["in", "out", "count"]), st.integers(0, 9)), max_size=12))
def test_loose_parts_balance_from_count_to_count(said: list[tuple[str, int]]) -> None:
    book, there, known = Book(), 0, False
    kinds = {"in": "parts-received", "out": "parts-used", "count": "stock-count"}
    for hour, (word, number) in enumerate(said):
        count = number if word == "count" else max(1, number)
        book.note(kinds[word], {"part": "stop", "count": count}, at=MONDAY + timedelta(hours=hour))
        if word == "count":
            there, known = count, True
        elif word == "in":
            there, known = there + count, True
        elif known:
            there -= count
    parts = line_at(book.events, at=MONDAY + timedelta(days=9)).parts
    assert [part.count for part in parts] == ([there] if known else [])


@settings(max_examples=100, deadline=None)
@given(diaries(), st.integers(0, 40), st.integers(0, 40))
def test_what_was_known_then_does_not_change_with_what_came_later(book: Book, cut: int, extra: int) -> None:
    moment = MONDAY + timedelta(hours=cut)
    before = [e for e in book.events if e.recorded_at <= moment]
    at = moment + timedelta(hours=extra)
    assert line_at(book.events, at=at, known_at=moment) == line_at(before, at=at)


@settings(max_examples=25, deadline=None)
@given(st.lists(WORDS, min_size=1, max_size=5))
def test_an_event_survives_its_journey_to_disk(notes: list[str]) -> None:
    book = Book()
    drafts = [book.draft("device-built", {"tag": str(i), "note": text}) for i, text in enumerate(notes)]
    with TemporaryDirectory() as folder:
        path = Path(folder) / "logbook.db"
        with Store(path, now_text=instant_text(MONDAY), create=True) as store:
            with store.transaction():
                kept = store.append(drafts)
            assert store.events() == kept
            assert check_chains(store.raw_rows()).faults == ()
    assert kept[0] == chain(drafts[0], "")
