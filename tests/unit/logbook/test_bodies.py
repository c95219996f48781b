"""What the body of each kind of event may hold, and the published schema of the same."""

import json
from typing import Any

import jsonschema
import pytest

from tendline.logbook.bodies import body_faults
from tendline.logbook.kinds import KINDS
from tendline.logbook.schema import event_schema
from tests.unit.logbook.made import FINE, Book


def codes(kind: str, body: dict[str, Any], *, place: bool = True) -> list[str]:
    return [fault.code.id for fault in body_faults(kind, body, has_place=place, where="test")]


def test_every_kind_of_the_design_is_there() -> None:
    wanted = (
        "parcel permission parking landmark device-built device-inspected device-rebuilt device-scrapped "
        "parts-received parts-used stock-count set-made check adjusted catch "
        "catch-done pulled lost found sign-seen weather-seen available money handover correction void"
    )
    assert wanted.split() == list(KINDS)


def test_an_unknown_kind_is_named_with_the_nearest() -> None:
    faults = body_faults("chek", {}, has_place=False, where="")
    assert [f.code.id for f in faults] == ["LOG-101"]
    assert "check" in faults[0].do


def test_all_faults_of_a_body_are_told_together() -> None:
    found = codes("check", {"set": "N3", "found_as": "sideways", "loop": 3}, place=False)
    assert sorted(found) == ["LOG-102", "LOG-103", "LOG-103", "LOG-103", "LOG-104"]


@pytest.mark.parametrize("loop", [-0.1, 0, 1.5, float("nan"), "10in", True])
def test_a_loop_that_cannot_be_is_refused(loop: Any) -> None:
    assert codes("set-made", {"set": "N3", "loop_m": loop}) == ["LOG-104"]


def test_a_set_needs_a_place() -> None:
    assert codes("set-made", {"set": "N3"}, place=False) == ["LOG-105"]
    assert codes("set-made", {"set": "N3"}) == []


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("parcel", {"name": "mill", "outline": [[[[0, 0], [1, 0], [1, 1]]]]}),
        ("parcel", {"name": "mill", "outline": "round"}),
        ("parking", {"name": "P1", "parcels": "mill"}),
        ("permission", {"parcel": "mill", "first": "1.11.2026"}),
        ("available", {"who": "Ann", "start": "2027-01-11T05:00", "end": "2027-01-11T07:00Z"}),
        ("catch", {"set": "N3", "species": " ", "standing": "target", "fate": "kept"}),
        ("parcel", {"name": "mill", "outline": [[[[0, 0], [1, 0], [1, 1], [0, 0]]]], "zones": {"side": 3}}),
    ],
)
def test_a_value_of_the_wrong_sort_is_refused(kind: str, body: dict[str, Any]) -> None:
    assert "LOG-104" in codes(kind, body)


def test_the_schema_and_the_check_agree() -> None:
    schema = event_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    judge = jsonschema.Draft202012Validator(schema)
    good = document(Book().note("check", {"set": "N3", **FINE}))
    assert not list(judge.iter_errors(good))
    bad = {**good, "body": {**good["body"], "found_as": "sideways"}}
    assert list(judge.iter_errors(bad))
    assert list(judge.iter_errors({**good, "body": {**good["body"], "colour": "red"}}))


def document(event: Any) -> dict[str, Any]:
    from tendline.logbook.events import canonical

    found: dict[str, Any] = json.loads(canonical(event, event.prev))
    return {**found, "hash": event.hash}


def test_a_stretch_that_ends_before_it_starts_is_refused() -> None:
    """Five in New York is ten in London: instants are compared, not their words."""
    body = {"who": "Ann", "start": "2027-01-16T05:00:00-05:00", "end": "2027-01-16T10:00:01+00:00"}
    assert codes("available", body) == []
    assert codes("available", {**body, "end": "2027-01-16T09:59:00+00:00"}) == ["LOG-104"]
