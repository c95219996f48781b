"""The document of a round against its published shape. JSON Schema 2020-12, RFC 3339."""

import json
from copy import deepcopy
from dataclasses import replace
from datetime import datetime
from importlib.resources import files
from typing import Any

import jsonschema
import pytest

from tendline.core.errors import Refused
from tendline.plan.itinerary import Verdict
from tendline.report.itinerary_json import round_document
from tests.unit.report.example_round import example_facts, example_short, example_verdict


def schema() -> dict[str, Any]:
    """The shape as it is shipped."""
    text = files("tendline").joinpath("report", "schemas", "round.schema.json").read_text(encoding="utf-8")
    shape: dict[str, Any] = json.loads(text)
    return shape


def check(document: object) -> None:
    """Check through a round trip of text, as a reader would meet it."""
    validator = jsonschema.Draft202012Validator(schema())
    validator.validate(json.loads(json.dumps(document, allow_nan=False)))


def test_the_shape_itself_is_a_json_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())


def test_rounds_that_fit_and_rounds_that_do_not_have_the_shape() -> None:
    check(round_document(example_verdict(), example_facts()))
    check(round_document(example_short(), example_facts()))


def test_unknowns_have_the_shape_and_are_null() -> None:
    facts, verdict = example_facts(), example_verdict()
    sets = {
        name: replace(known, last_look=None, tag=None, verified=False) for name, known in facts.sets.items()
    }
    stops = tuple(
        replace(stop, visits=tuple(replace(v, due=None, slack_s=None) for v in stop.visits))
        for stop in verdict.plan.stops
    )
    document = round_document(
        Verdict(replace(verdict.plan, stops=stops), fits=True, proven=True),
        replace(facts, sets=sets, sun=None, rules=(replace(facts.rules[0], confirmed=None, until=None),)),
    )
    check(document)
    visit = document["stops"][0]["visits"][0]
    assert [visit[key] for key in ("last_look", "due", "slack_min", "share_left", "tag", "dark")] == [
        None
    ] * 6
    assert visit["reading"] == "not verified"
    assert document["sun"] is None
    assert document["rules"][0]["verified"] is False


def test_times_in_the_document_add_up() -> None:
    document = round_document(example_verdict(), example_facts())
    order = 0
    for stop in document["stops"]:
        before = datetime.fromisoformat(stop["arrive"])
        for visit in stop["visits"]:
            order += 1
            look, leave = datetime.fromisoformat(visit["look"]), datetime.fromisoformat(visit["leave"])
            assert visit["order"] == order
            assert (look - before).total_seconds() / 60 >= visit["walk_min"] + visit["wait_min"]
            assert visit["slack_min"] == (datetime.fromisoformat(visit["due"]) - look).total_seconds() / 60
            before = leave
        gone = datetime.fromisoformat(stop["depart"])
        assert (gone - before).total_seconds() / 60 == stop["back_min"]
    assert document["leave"] == "2026-01-15T04:50:00-05:00"
    assert document["total_min"] == 168.0  # 04:50 to 07:38


@pytest.mark.parametrize("key", ["fits", "leave", "stops", "left_out", "invented"])
def test_the_shape_misses_what_is_left_out(key: str) -> None:
    document = deepcopy(round_document(example_verdict(), example_facts()))
    del document[key]
    with pytest.raises(jsonschema.ValidationError):
        check(document)


def test_the_shape_refuses_an_instant_without_offset_and_an_unknown_key() -> None:
    document = round_document(example_verdict(), example_facts())
    for change in ({"leave": "2026-01-15T04:50:00"}, {"extra": 1}, {"dark_looks": -1}):
        with pytest.raises(jsonschema.ValidationError):
            check({**document, **change})


def test_a_set_without_facts_is_refused() -> None:
    with pytest.raises(Refused) as refused:
        round_document(example_verdict(), replace(example_facts(), sets={}))
    assert {fault.code.id for fault in refused.value.faults} == {"REP-101"}
    assert len(refused.value.faults) == 18
