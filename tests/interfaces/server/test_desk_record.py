"""The record on the desk page: every event, what was changed of it and what that replaced; photos bare."""

import hashlib
import io
import time
from typing import Any

import jsonschema
import pytest
from PIL import Image

from tendline.jobs.record_page import MOST, Index, Sought, record_page
from tendline.jobs.serve import Desk
from tests.asgi import Browser
from tests.interfaces.server.test_desk import ask, browser, desk, refused, schema  # noqa: F401 - fixtures
from tests.interfaces.server.test_desk_start import ID, note
from tests.journeys.run import done
from tests.lines import MORNING


def page(browser: Browser, **sought: Any) -> list[dict[str, Any]]:  # noqa: F811
    found = ask(browser, "record", **sought)["answer"]
    jsonschema.validate(found, schema("jobs/schemas/record-page"))
    return list(found["events"])


def correct(browser: Browser, number: int, of: int, **changed: Any) -> None:  # noqa: F811
    ask(browser, "correct", id=ID(number), of=ID(of), why="misread", **changed)


def test_it_holds_what_the_command_lists(desk: Desk, browser: Browser) -> None:  # noqa: F811
    note(browser, 1, "check", "N1", {}, fine=True)
    said = done("note", "list", "--line", str(desk.folder), "--at", MORNING, "--json").data["events"]
    found = page(browser)
    assert len(found) == len(said)
    assert found == [
        {**one, **other, "changes": []} for one, other in zip(found, reversed(said), strict=True)
    ]


def test_a_correction_is_shown_with_what_it_replaced(browser: Browser) -> None:  # noqa: F811
    given = {"bottom_m": "10 in", "surface": "packed-snow"}
    note(browser, 1, "adjusted", "N1", given, happened="2027-01-12 05:00")
    correct(browser, 2, 1, changes={"bottom_m": "12 in"})
    correct(browser, 3, 1, changes={"bottom_m": "11 in"}, happened_at="2027-01-12 05:10")
    (one,) = page(browser, identity=ID(1))
    first, second = one["changes"]
    assert one["body"]["bottom_m"] == first["was"]["bottom_m"] == 0.254  # an inch is 0.0254 m exactly (1959)
    assert second["was"]["bottom_m"] == pytest.approx(0.3048)
    assert second["was"]["happened_at"] == one["happened_at"] == "2027-01-12T05:00:00-05:00"
    assert one["now"]["body"]["bottom_m"] == pytest.approx(0.2794)
    assert one["now"]["happened_at"] == "2027-01-12T05:10:00-05:00"
    assert [change["standing"] for change in one["changes"]] == [True, True]


def test_a_correction_is_undone_and_an_event_made_void(browser: Browser) -> None:  # noqa: F811
    note(browser, 1, "check", "N1", {"note": "one"}, fine=True)
    correct(browser, 2, 1, changes={"note": "two"})
    note(browser, 3, "void", ID(2), {"why": "it was right"})
    (one,) = page(browser, identity=ID(2))  # a change leads to what it changes
    assert one["now"]["body"]["note"] == "one"
    assert [(c["kind"], c["standing"]) for c in one["changes"]] == [("correction", False), ("void", True)]
    note(browser, 4, "void", ID(1), {"why": "never there"})
    assert page(browser, identity=ID(1))[0]["void"] is True
    note(browser, 5, "void", ID(4), {"why": "it was there"})
    (one,) = page(browser, identity=ID(1))
    assert (one["void"], one["now"]["body"]["note"]) == (False, "one")
    assert [change["standing"] for change in one["changes"]] == [False, True, False, True]


def test_events_are_found_by_set_kind_person_day_and_words(browser: Browser) -> None:  # noqa: F811
    note(browser, 1, "check", "N1", {"note": "Fox track, fresh"}, fine=True, by="Ben Example")
    note(browser, 2, "weather-seen", "", {"snow_m": "6 in"}, happened="2027-01-11 23:59")
    note(browser, 3, "check", "N2", {}, fine=True)
    correct(browser, 4, 3, changes={"note": "the gate was open"})

    def ids(**sought: str) -> list[str]:
        return [one["id"] for one in page(browser, **sought) if one["id"].startswith("0194a3c0")]

    assert ids(about="n1") == [ID(1)]
    assert ids(kind="weather-seen") == [ID(2)]
    assert ids(by="Ben Example") == [ID(1)]
    assert ids(first="2027-01-12") == [ID(3), ID(1)]
    assert ids(last="2027-01-11") == [ID(2)]
    assert ids(words="track FOX") == [ID(1)]
    assert ids(words="gate open") == [ID(3)]  # what a correction says is found as well
    assert ids(words="nothing of the sort") == []
    assert refused(browser, "record", first="the other day") == ["CORE-201"]


def test_photographs_are_given_bare_and_by_key_only(desk: Desk, browser: Browser) -> None:  # noqa: F811
    """CIPA DC-008 (Exif 2.32), 4.6.6: where it was taken stands in the fields of a picture."""
    exif = Image.Exif()
    exif[0x8825] = {1: "N", 2: (41.0, 30.0, 0.0), 3: "W", 4: (78.0, 0.0, 0.0)}
    out = io.BytesIO()
    Image.new("RGB", (2000, 1000), "#8899aa").save(out, "JPEG", exif=exif)
    sha256 = hashlib.sha256(out.getvalue()).hexdigest()
    for file in (desk.folder / f"photos/from-phones/{sha256}.jpg", desk.folder / "photos/N1_2.jpg"):
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(out.getvalue())
    note(browser, 1, "check", "N1", {"photos": f"{sha256}, {'0' * 64}"}, fine=True)
    assert page(browser, identity=ID(1))[0]["photos"] == [sha256]
    assert page(browser, kind="set-made", about="N1")[0]["photos"] == ["N1_2.jpg"]
    for key in (sha256, "N1_2.jpg"):
        answer = browser.post("/api/desk/picture", json={"key": key, "longest": 400})
        assert answer.headers["content-type"] == "image/jpeg"
        with Image.open(io.BytesIO(answer.content)) as picture:
            assert picture.size == (400, 200)
            assert not picture.getexif()
    for key in ("../line.toml", "photos/N1_2.jpg", f"{desk.folder}/photos/N1_2.jpg", "line.toml", ""):
        assert refused(browser, "picture", key=key) == ["JOB-612"]


def test_a_long_record_stays_quick(desk: Desk, browser: Browser) -> None:  # noqa: F811
    """50,000 events: a page in well under a second of work, also when words are looked for."""
    note(browser, 1, "check", "N1", {"note": "a plain note"}, fine=True)
    space = desk.space()
    events = list(space.events())
    model = events[-1]
    many = [
        type(model)(**{**vars(model), "id": f"0194a3c0-0000-7000-8000-{number:012x}"})
        for number in range(10, 50_010)
    ]
    index = Index([*events, *many])
    began = time.process_time()
    found = record_page(space, Sought(words="plain note"), start=49_900, index=index).data
    first = time.process_time() - began
    began = time.process_time()
    record_page(space, Sought(words="plain note", about="N1"), index=index)
    second = time.process_time() - began
    assert (found["total"], len(found["events"])) == (50_001, 101)
    assert len(record_page(space, Sought(), index=index).data["events"]) == MOST
    assert first < 3.0
    assert second < 1.0
