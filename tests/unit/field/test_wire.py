"""A phone's message is read whatever it holds; one bad entry never costs the others."""

import json
from typing import Any

import pytest

from tendline.core.errors import Refused
from tendline.field.wire import MAX_DEPTH, MAX_EVENTS, read_entry, read_message, same_event, well_named
from tests.unit.field.told import PHONE, entry, message, told


def test_a_message_is_read_with_every_entry() -> None:
    read = read_message(message(entry(1), entry(2, place=None)))
    assert read.via == PHONE
    assert [one.draft is not None for one in read.entries] == [True, True]
    draft = read.entries[0].draft
    assert draft is not None
    assert (draft.kind, draft.via, draft.by, draft.body["set"]) == ("check", PHONE, "Ann", "N3")


def test_what_the_server_knows_of_the_phone_goes_before_what_the_phone_says() -> None:
    assert read_message(message(entry(1)), via="phone-1").entries[0].via == "phone-1"


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "FLD-101"),
        (b"\xff\xfe", "FLD-101"),
        (b'{"tendline": "phone-events", "version": 1, "via": "p", "events": [NaN]}', "FLD-101"),
        (b"[" * 100_000, "FLD-101"),
        (b"[]", "FLD-102"),
        (b'{"tendline": "round"}', "FLD-102"),
        (message(version=2), "FLD-102"),
        (message(version=True), "FLD-102"),
        (message(via="../x"), "FLD-102"),
        (message(events={}), "FLD-102"),
        (message(events=[{}] * (MAX_EVENTS + 1)), "FLD-103"),
    ],
)
def test_what_is_no_message_is_refused_whole(content: bytes, code: str) -> None:
    with pytest.raises(Refused) as caught:
        read_message(content)
    assert caught.value.faults[0].code.id == code


def test_a_file_may_hold_more_than_a_message_over_the_air() -> None:
    assert len(read_message(message(events=[{}] * 600), most=None).entries) == 600


@pytest.mark.parametrize(
    "change",
    [
        {"id": "1"},
        {"id": "01a21fee-35eb-4000-8501-71f9719fba78"},  # version 4
        {"kind": "Check!"},
        {"version": 0},
        {"version": True},
        {"by": " "},
        {"by": "x" * 81},
        {"body": []},
        {"happened_at": "2027-01-12T05:40"},  # no offset
        {"happened_at": "0001-01-01T00:00:00+14:00"},
        {"recorded_at": None},
        {"place": [1]},
        {"place": [True, 2, 3]},
        {"place": [181.0, 2.0, 3.0]},
        {"place": [1.0, 2.0, -1.0]},
        {"body": {"note": "\ud800"}},
        {"body": {"note": "a\0b"}},
        {"body": {"note": "\x1b[2J"}},  # wipes a terminal (ECMA-48, 8.3.39)
        {"by": "Ann\x9b2J"},
        {"body": {"loop_m": 10**40}},
    ],
    ids=str,
)
def test_an_entry_that_is_no_event_is_kept_as_it_came(change: dict[str, Any]) -> None:
    odd = {**entry(1), **change}
    read = read_entry(odd, via=PHONE)
    assert read.draft is None
    assert read.faults
    assert json.loads(read.raw) == odd


def test_nesting_and_length_have_an_end() -> None:
    deep: Any = []
    for _ in range(MAX_DEPTH):
        deep = [deep]
    assert read_entry({**entry(1), "body": {"x": deep}}, via=PHONE).faults[0].code.id == "FLD-104"
    long = read_entry(entry(1, note="x" * 40_000), via=PHONE)
    assert long.faults[0].code.id == "FLD-103"
    assert "x" * 40_000 in long.raw


def test_the_same_event_by_another_phone_is_the_same() -> None:
    one, other = told(1).draft, read_entry(entry(1), via="phone-2").draft
    changed = told(1, note="x").draft
    assert one is not None
    assert other is not None
    assert changed is not None
    assert same_event(one, other)
    assert not same_event(one, changed)


def test_a_name_of_a_machine_is_no_path() -> None:
    assert well_named("phone-00c0ffee")
    assert not well_named("../../etc")
    assert not well_named("")
