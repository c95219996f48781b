"""The ground on the desk page: what stands on it, putting down, correcting a place, drawing, measuring."""

import json
import os
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from pyproj import Geod

from tendline.core.ids import uuid7
from tendline.core.words import FeatureClass
from tendline.jobs.serve import Desk, open_desk
from tests.asgi import Browser
from tests.hills import hills_file
from tests.interfaces.server.test_desk import ASKED, ask, finished, let_in, refused, schema
from tests.journeys.run import done
from tests.lines import MORNING, small_line

EARTH = Geod(ellps="WGS84")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return open_desk(small_line(tmp_path / "line"), at=MORNING, units=None, asked=ASKED)


@pytest.fixture
def browser(desk: Desk) -> Browser:
    return let_in(desk)


def ground(browser: Browser) -> dict[str, Any]:
    found = dict(ask(browser, "ground")["answer"])
    jsonschema.validate(found, schema("jobs/schemas/ground"))
    return found


def new_id() -> str:
    return uuid7(datetime(2027, 1, 12, 11, tzinfo=UTC), os.urandom(8))


def note(browser: Browser, **asked: Any) -> None:
    ask(browser, "note", id=new_id(), **asked)


def set_of(told: dict[str, Any], name: str) -> dict[str, Any]:
    return next(one for one in told["sets"] if one["set"] == name)


def test_the_ground_says_what_due_and_the_record_say(desk: Desk, browser: Browser) -> None:
    told = ground(browser)
    due = done("due", "--line", str(desk.folder), "--at", MORNING, "--json").data["sets"]
    assert [(one["set"], one["clock"]["due_at"]) for one in told["sets"]] == [
        (row["set"], row["due_at"]) for row in due
    ]
    assert set(told["classes"]) == {one.value for one in FeatureClass} - {"other-set"}
    assert set_of(told, "N1")["place"] == [-78.010, 41.510]
    assert set_of(told, "N1")["stands"]["side"] == "right side"
    assert [one["parking"] for one in told["parkings"]] == ["gate", "road"]
    assert not told["heights"]
    mill = next(one for one in told["parcels"] if one["parcel"] == "mill")
    assert mill["leave"] == {"stands": False, "words": "no leave on record"}
    assert any(one["holds"] in ("fail", "not verified") for one in mill["law"])
    ring = mill["area"][0][0]
    area = abs(EARTH.polygon_area_perimeter([p[0] for p in ring], [p[1] for p in ring])[0])
    assert mill["area_m2"] == pytest.approx(area, rel=1e-6)


def test_leave_that_is_noted_stands_until_its_last_day(browser: Browser) -> None:
    given = {"first": "2027-01-01", "last": "2027-01-12", "written": "yes"}
    note(browser, kind="permission", subject="mill", given=given)
    leave = next(one for one in ground(browser)["parcels"] if one["parcel"] == "mill")["leave"]
    assert leave == {"stands": True, "words": "leave on record until 2027-01-12"}
    note(browser, kind="permission", subject="kiln", given={"last": "2027-01-11"})
    leave = next(one for one in ground(browser)["parcels"] if one["parcel"] == "kiln")["leave"]
    assert leave == {"stands": False, "words": "leave lapsed on 2027-01-11"}


def test_a_set_is_put_down_and_its_place_corrected_never_silently(desk: Desk, browser: Browser) -> None:
    asked = {"kind": "set-made", "subject": "N9", "place": "-78.011,41.508,6"}
    note(browser, **asked, given={"tag": "190", "parcel": "mill", "loop_m": "10 in"})
    made = set_of(ground(browser), "N9")
    assert (made["place"], made["accuracy_m"]) == ([-78.011, 41.508], 6.0)
    why = "read off the wrong line"
    ask(browser, "correct", id=new_id(), of=made["event"], place="-78.012,41.507", why=why)
    moved = set_of(ground(browser), "N9")
    assert (moved["place"], moved["accuracy_m"]) == ([-78.012, 41.507], None)
    told = done("note", "list", "--line", str(desk.folder), "--at", MORNING, "--json").data
    assert "read off the wrong line" in json.dumps(told)
    assert "41.508" in json.dumps(told)


HOUSE = "-78.0103,41.5101"


def test_a_house_that_is_drawn_is_measured_from_by_the_law(desk: Desk, browser: Browser) -> None:
    def law() -> float | None:
        """Give how far N1 is from a dwelling, as `tendline lawful` measures it [m]."""
        found = done("lawful", "--line", str(desk.folder), "--at", MORNING, "--json", "--all").data
        measured = [one["measured"] for one in found["findings"] if one["rule"] == "dwelling"]
        return measured[0]["value_si"] if measured[0] else None

    assert law() is None
    asked = {"feature": "dwelling", "shape": "point", "places": [HOUSE]}
    named = {**asked, "name": "Old Farm", "given": {"consent": "no"}}
    key = browser.post("/api/desk/ground-draw", json=named).json()["answer"]["drawn"]
    assert law() == pytest.approx(EARTH.inv(-78.0103, 41.5101, -78.01, 41.51)[2], abs=0.01)
    told = ground(browser)
    assert [(one["name"], one["feature"], one["drawn"]) for one in told["features"]] == [
        ("Old Farm", "dwelling", key)
    ]
    kept = {one["rule"]: one for one in told["setbacks"]}
    near = kept["xx-demo: dwelling"]
    assert (near["distance_m"], near["law"]) == (pytest.approx(150 * 0.3048), "150 ft")
    assert "only in kiln" in kept["xx-demo: dwelling-kiln"]["words"]
    lon, lat = near["area"][0][0][0]
    assert EARTH.inv(lon, lat, -78.0103, 41.5101)[2] == pytest.approx(150 * 0.3048 + 15.0, abs=0.02)
    ask(browser, "ground-erase", drawn=key)
    assert ground(browser)["features"] == []
    assert law() is None
    assert len(list((desk.folder / "ground").glob("*drawn-at-the-desk.geojson"))) == 2
    again = ask(browser, "ground-draw", **asked)["answer"]["drawn"]
    assert [one["drawn"] for one in ground(browser)["features"]] == [again]


def test_what_cannot_be_drawn_is_told_by_field(desk: Desk, browser: Browser) -> None:
    def where(**asked: Any) -> list[str]:
        answer = browser.post("/api/desk/ground-draw", json=asked)
        assert answer.status_code == 400
        return [fault["where"] for fault in answer.json()["faults"]]

    line = {"feature": "trail", "shape": "line"}
    assert where(**line, places=[HOUSE]) == ["places"]
    assert where(**line, places=[HOUSE, "north"]) == ["places"]
    assert where(**line, places=[HOUSE, "-78.02,41.52"], given={"width_ft": "wide"}) == ["width_ft"]
    assert where(feature="castle", shape="point", places=[HOUSE]) == ["feature"]
    bow = ["-78.02,41.50", "-78.00,41.52", "-78.00,41.50", "-78.02,41.52"]
    assert where(feature="field", shape="area", places=bow) == ["places"]
    assert refused(browser, "ground-erase", drawn="d7") == ["JOB-301"]
    assert not list((desk.folder / "ground").glob("*"))
    assert not list(desk.folder.glob(".coming*"))


def test_ways_and_areas_are_measured_on_the_ellipsoid(browser: Browser) -> None:
    corners = [(-78.02, 41.50), (-78.0, 41.50), (-78.0, 41.52), (-78.02, 41.52)]
    found = ask(browser, "ground-measure", places=[f"{lon},{lat}" for lon, lat in corners])["answer"]
    lons, lats = zip(*corners, strict=True)
    assert found["distance_m"] == pytest.approx(EARTH.line_length(lons, lats), abs=0.01)
    assert found["area_m2"] == pytest.approx(abs(EARTH.polygon_area_perimeter(lons, lats)[0]), rel=1e-7)
    assert ask(browser, "ground-measure", places=["0,0", "0,1"])["answer"]["area_m2"] is None
    assert refused(browser, "ground-measure", places=["0,0"]) == ["JOB-301"]


def test_what_needs_heights_says_so_and_comes_when_they_are_there(
    desk: Desk, browser: Browser, tmp_path: Path
) -> None:
    assert ask(browser, "ground-relief")["answer"] == {
        "relief": None,
        "why": "no heights were brought in for this ground.",
    }
    begun = ask(browser, "work-begin", job="on-foot", asked={"starts": ["gate"]})["answer"]["id"]
    assert finished(browser, begun)["faults"][0]["code"] == "JOB-403"
    done("bring", str(hills_file(tmp_path)), "--line", str(desk.folder), "--at", MORNING)
    assert ground(browser)["heights"]
    relief = ask(browser, "ground-relief")["answer"]["relief"]
    assert relief["picture"].startswith("data:image/webp;base64,")
    assert relief["west"] < -78.03 < -78.009 < relief["east"]
    begun = ask(browser, "work-begin", job="on-foot", asked={"starts": ["gate"]})["answer"]["id"]
    work = finished(browser, begun)
    assert work["state"] == "done", work
    jsonschema.validate(work["answer"], schema("jobs/schemas/on-foot"))
    walks = {one["set"]: one["walk_min"] for one in work["answer"]["sets"]}
    assert 0 < walks["N1"] < walks["N3"]


def test_the_planned_ways_and_scouted_travel_are_there_when_they_were_made(
    desk: Desk, browser: Browser, tmp_path: Path
) -> None:
    assert ask(browser, "ground-walks")["answer"]["walks"] == []
    ask(browser, "plan")
    walks = ask(browser, "ground-walks")["answer"]["walks"]
    assert [-78.009, 41.509] in [walk[0] for walk in walks]
    assert ask(browser, "ground-scouted")["answer"] == {"layers": []}
    done("bring", str(hills_file(tmp_path)), "--line", str(desk.folder), "--at", MORNING)
    begun = ask(browser, "work-begin", job="scout", asked={"animal": "coyote"})["answer"]["id"]
    work = finished(browser, begun)
    assert work["state"] == "done", work
    (layer,) = ask(browser, "ground-scouted")["answer"]["layers"]
    whats = {one["properties"]["what"] for one in layer["layer"]["features"]}
    assert {"travel", "pinch point"} <= whats
