"""The desk page's addresses: who may ask, one shape of answers and faults, long work that can be stopped."""

import json
import time
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tendline.jobs.answer import Answer
from tendline.jobs.round import Asked
from tendline.jobs.serve import Desk, open_desk
from tendline.jobs.tonight import tonight_law
from tendline.jobs.workspace import Workspace
from tendline.server import desk_tonight, works
from tendline.server.app import make_app
from tendline.server.desk_asks import ASKS
from tendline.server.guard import Guard
from tests.asgi import Browser
from tests.interfaces.server.test_app import HERE, OURS, PAGES
from tests.journeys.run import done
from tests.lines import MORNING, small_line

FAULTS = {
    "type": "object",
    "properties": {
        "faults": {
            "type": "array",
            "minItems": 1,
            "items": {
                "type": "object",
                "properties": {key: {"type": "string"} for key in ("code", "what", "where", "do")},
                "required": ["code", "what", "where", "do"],
                "additionalProperties": False,
            },
        }
    },
    "required": ["faults"],
    "additionalProperties": False,
}
ASKED = Asked(start="06:10", back="12:00", seconds=None, iterations=50)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A small line, opened at six on Tuesday."""
    return open_desk(small_line(tmp_path / "line"), at=MORNING, units=None, asked=ASKED)


@pytest.fixture
def browser(desk: Desk) -> Browser:
    """A browser that was let in to the desk page."""
    return let_in(desk)


def let_in(desk: Desk, *, to_desk: bool = True) -> Browser:
    browser = Browser(Guard(make_app(desk, PAGES), ("localhost",)), base_url=HERE)
    word = desk.offer(desk=to_desk).word
    browser.headers.update(OURS)
    key = browser.post("/api/pair", json={"word": word}).json()["key"]
    browser.headers["authorization"] = f"Bearer {key}"
    return browser


def ask(browser: Browser, name: str, /, **body: Any) -> dict[str, Any]:
    answer = browser.post(f"/api/desk/{name}", json=body)
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def refused(browser: Browser, name: str, /, **body: Any) -> list[str]:
    answer = browser.post(f"/api/desk/{name}", json=body)
    assert answer.status_code == 400
    jsonschema.validate(answer.json(), FAULTS)
    return [fault["code"] for fault in answer.json()["faults"]]


def finished(browser: Browser, name: str) -> dict[str, Any]:
    end = time.monotonic() + 60
    while (work := ask(browser, "work", id=name)["answer"])["state"] in ("waiting", "running"):
        assert time.monotonic() < end
        time.sleep(0.1)
    return dict(work)


def test_an_answer_is_what_the_command_says(desk: Desk, browser: Browser) -> None:
    found = ask(browser, "due")
    said = done("due", "--line", str(desk.folder), "--at", MORNING, "--json")
    assert {**found["answer"], "now": ""} == {**said.data, "now": ""}
    line = ask(browser, "line")["answer"]
    assert (line["begun"], line["invented"]) == (True, False)


def test_the_line_is_read_again_when_it_grew(desk: Desk, browser: Browser) -> None:
    before = ask(browser, "line")["answer"]["stamp"]
    rows = {one["set"]: one["due_at"] for one in ask(browser, "due")["answer"]["sets"]}
    name = next(iter(rows))
    done("note", "check", name, "--fine", "--line", str(desk.folder), "--at", MORNING)
    assert ask(browser, "line")["answer"]["stamp"] > before
    after = {one["set"]: one["due_at"] for one in ask(browser, "due")["answer"]["sets"]}
    assert after[name] != rows[name]


def test_settings_are_read_again_when_their_file_changed(desk: Desk, browser: Browser) -> None:
    file = desk.folder / "line.toml"
    name = ask(browser, "line")["answer"]["name"]
    file.write_text(file.read_text().replace(f'name = "{name}"', 'name = "Renamed"'))
    assert ask(browser, "line")["answer"]["name"] == "Renamed"


def test_nobody_but_a_browser_let_in_to_the_desk_asks(desk: Desk) -> None:
    stranger = Browser(Guard(make_app(desk, PAGES), ("localhost",)), base_url=HERE)
    phone = let_in(desk, to_desk=False)
    for caller, status in ((stranger, 401), (phone, 403)):
        for one in ASKS:
            answer = caller.post(f"/api/desk/{one.name}", json={}, headers=OURS)
            assert answer.status_code in (status, 429)
            jsonschema.validate(answer.json(), FAULTS)
    assert phone.get("/api/round").status_code == 200


def test_what_has_the_wrong_form_is_named(browser: Browser) -> None:
    assert refused(browser, "revoke") == ["SRV-105"]
    assert refused(browser, "revoke", via=3, more=1) == ["SRV-105", "SRV-105"]
    assert refused(browser, "work-begin", job="round", asked={"seconds": "long"}) == ["SRV-105"]
    assert refused(browser, "work", id="work-99") == ["SRV-106"]
    answer = browser.post("/api/desk/nothing", json={})
    assert answer.status_code == 404
    jsonschema.validate(answer.json(), FAULTS)


def test_long_work_is_done_beside_the_page(browser: Browser) -> None:
    begun = ask(
        browser, "work-begin", job="round", asked={"start": "06:10", "back": "12:00", "iterations": 50}
    )
    work = finished(browser, begun["answer"]["id"])
    assert work["state"] == "done", work
    jsonschema.validate(work["answer"], schema("report/schemas/round"))
    bad = ask(
        browser, "work-begin", job="round", asked={"start": "12:00", "back": "nonsense", "iterations": 50}
    )
    work = finished(browser, bad["answer"]["id"])
    assert (work["state"], work["faults"][0]["code"]) == ("failed", "CORE-201")
    assert [one["state"] for one in ask(browser, "works")["answer"]["works"]] == ["failed", "done"]


def test_long_work_ends_with_its_best_when_asked_to(browser: Browser) -> None:
    begun = ask(
        browser, "work-begin", job="round", asked={"start": "06:10", "back": "12:00", "seconds": 3000}
    )
    name = begun["answer"]["id"]
    while not ask(browser, "work", id=name)["answer"]["told"]:
        time.sleep(0.1)
    ask(browser, "work-stop", id=name)
    work = finished(browser, name)
    assert work["state"] == "done"
    jsonschema.validate(work["answer"], schema("report/schemas/round"))


def test_work_that_dies_is_told(desk: Desk, browser: Browser, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(works, "run", _die)
    begun = ask(browser, "work-begin", job="round")
    work = finished(browser, begun["answer"]["id"])
    assert (work["state"], work["faults"][0]["code"]) == ("failed", "SRV-107")


def _die(*_: object) -> None:
    raise SystemExit(3)


def test_no_more_work_is_taken_than_can_be_done(browser: Browser, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(works, "_WAITING", 0)
    assert refused(browser, "work-begin", job="round") == ["SRV-108"]


def test_an_empty_folder_waits_for_its_line(tmp_path: Path) -> None:
    desk = open_desk(str(tmp_path / "new"), at=None, units=None, asked=ASKED)
    browser = let_in(desk)
    assert ask(browser, "line")["answer"] == {"begun": False, "folder": "new"}
    assert refused(browser, "due") == ["JOB-101"]


def test_a_pairing_address_for_the_desk_opens_the_desk(desk: Desk, browser: Browser) -> None:
    url = ask(browser, "offer", **{"for": "desk"})["answer"]["url"]
    word = url.split("#pair=")[1]
    assert "desk#pair=" in url
    answer = browser.post("/api/pair", json={"word": word})
    assert desk.phone_with(answer.json()["key"]) is not None
    code = browser.post("/api/desk/code", json={"text": url})
    assert code.headers["content-type"].startswith("image/svg+xml")
    assert len(ask(browser, "phones")["answer"]["phones"]) == 2


def schema(name: str) -> dict[str, Any]:
    file = Path(__file__).parents[3] / "src/tendline" / f"{name}.schema.json"
    return dict(json.loads(file.read_text(encoding="utf-8")))


def test_tonight_is_put_up_from_the_same_answers(desk: Desk, browser: Browser) -> None:
    before = ask(browser, "tonight")["answer"]
    assert (before["round"], before["why"]) == (None, "the round is still being planned.")
    assert ask(browser, "plan")["answer"] == {"why": ""}
    after = ask(browser, "tonight")["answer"]
    jsonschema.validate(after["round"], schema("report/schemas/round"))
    for name in ("tonight", "tonight-law", "tonight-weather"):
        found = ask(browser, name)
        jsonschema.validate(found["answer"], schema("jobs/schemas/tonight"))
        assert found["bad_news"] == any(card["state"] == "act" for card in found["answer"]["cards"])
    said = done("lawful", "--line", str(desk.folder), "--at", MORNING, "--json").data["summary"]
    wrong = sum(said[key] for key in ("fail", "overdue since", "prohibited outright"))
    law = ask(browser, "tonight-law")["answer"]["cards"][0]
    assert (law["state"] == "act") == (wrong > 0)


def test_a_forecast_handed_in_is_kept_and_one_that_is_nonsense_is_not(desk: Desk, browser: Browser) -> None:
    def card() -> dict[str, Any]:
        return dict(ask(browser, "tonight-weather")["answer"]["cards"][0])

    assert card()["said"] == ["no forecast was handed in: what the weather spoils is not known"]
    assert refused(browser, "forecast", words="a lot of snow, or none") == ["GND-709", "GND-709"]
    assert not (desk.folder / "forecast").exists()
    ask(browser, "forecast", words="6 in tonight, 20 to 34 F")
    assert "not a measurement" in card()["said"][-1]
    (desk.folder / "forecast" / "forecast.json").write_text("{")
    ask(browser, "forecast", words="6 in tonight, 20 to 34 F")
    assert "not a measurement" in card()["said"][-1]


def test_a_kept_answer_is_made_anew_when_the_record_grew(
    desk: Desk, browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = []

    def counted(space: Workspace) -> Answer:
        calls.append(1)
        return tonight_law(space)

    monkeypatch.setattr(desk_tonight, "tonight_law", counted)
    for _ in range(3):
        ask(browser, "tonight-law")
    assert len(calls) == 1
    name = ask(browser, "due")["answer"]["sets"][0]["set"]
    done("note", "check", name, "--fine", "--line", str(desk.folder), "--at", MORNING)
    ask(browser, "tonight-law")
    assert len(calls) == 2
