"""What the desk page asks for its calendar: the days' light, windows on record, plans kept, windows tried."""

from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from pvlib import spa

from tendline.jobs.serve import Desk, open_desk
from tests.asgi import Browser
from tests.interfaces.server.test_desk import ASKED, ask, finished, let_in, refused
from tests.lines import MORNING, small_line


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A small line, opened at six on Tuesday."""
    return open_desk(small_line(tmp_path / "line"), at=MORNING, units=None, asked=ASKED)


@pytest.fixture
def browser(desk: Desk) -> Browser:
    return let_in(desk)


def test_the_sun_of_the_days_is_that_of_the_almanac_of_nrel(browser: Browser) -> None:
    told = ask(browser, "days", days=3)["answer"]["days"]
    assert [one["day"] for one in told] == ["2027-01-12", "2027-01-13", "2027-01-14", "2027-01-15"]
    # NREL's solar position algorithm (Reda and Andreas 2004) as pvlib has it, near the sets.
    days = np.array([datetime.fromisoformat(one["day"] + "T00:00Z").timestamp() for one in told])
    _, rise, down = spa.transit_sunrise_sunset(days, 41.51, -78.01, 69.0, 1)
    for name, right in (("sunrise", rise), ("sunset", down)):
        said = [datetime.fromisoformat(one[name]).timestamp() for one in told]
        assert np.abs(said - right).max() < 120, name


def test_a_window_is_put_down_changed_and_taken_off(desk: Desk, browser: Browser) -> None:
    ask(browser, "window-add", **{"who": "Ann Example", "from": "2027-01-13T05:00", "to": "2027-01-13T08:00"})
    (kept,) = ask(browser, "days")["answer"]["windows"]
    assert (kept["who"], kept["from"][:16], kept["to"][:16]) == (
        "Ann Example",
        "2027-01-13T05:00",
        "2027-01-13T08:00",
    )
    said = {"id": kept["id"], "from": "2027-01-13T05:30", "to": "2027-01-13T09:00"}
    ask(browser, "window-change", **said)
    (now,) = ask(browser, "days")["answer"]["windows"]
    assert (now["id"], now["from"][11:16], now["to"][11:16]) == (kept["id"], "05:30", "09:00")
    backward = {**said, "to": "2027-01-13T05:00"}
    assert refused(browser, "window-change", **backward) == ["JOB-301"]
    assert refused(browser, "window-add", **{"from": "2027-01-13T08:00", "to": "2027-01-13T05:00"}) == [
        "JOB-301"
    ]
    assert ask(browser, "days")["answer"]["windows"] == [now]
    ask(browser, "window-remove", id=kept["id"])
    assert ask(browser, "days")["answer"]["windows"] == []
    assert desk.space().line().available == ()


def test_windows_are_left_out_and_tried_without_being_written(desk: Desk, browser: Browser) -> None:
    before = len(desk.space().events())
    asked = {"days": 2, "mornings": "05:00-10:00", "seconds": 1}
    tried = {"apart": ["2027-01-13T05:00"], "also": ["2027-01-13T06:00/2027-01-13T09:30 Ann Example"]}
    begun = ask(browser, "work-begin", job="weeks", asked={**asked, **tried})["answer"]
    plan = finished(browser, begun["id"])["answer"]
    windows = {(one["window"]["from"][:16], one["window"]["to"][:16]) for one in plan["outings"]}
    assert ("2027-01-13T06:00", "2027-01-13T09:30") in windows
    assert not any(start == "2027-01-13T05:00" for start, _ in windows)
    assert len(desk.space().events()) == before


@pytest.mark.parametrize(
    "wrong",
    [
        {"also": ["2027-01-13T06:00 Ann Example"]},
        {"also": ["2027-01-13T06:00/2027-01-13T09:00 Nobody"]},
        {"also": ["2027-01-13T09:00/2027-01-13T06:00 Ann Example"]},
        {"also": ["2027-01-11T05:00/2027-01-11T06:00 Ann Example"]},
        {"apart": ["2027-01-13T04:00"]},
    ],
)
def test_a_window_that_is_none_is_named(browser: Browser, wrong: dict[str, list[str]]) -> None:
    asked = {"days": 2, "mornings": "05:00-10:00", "seconds": 1, **wrong}
    begun = ask(browser, "work-begin", job="weeks", asked=asked)["answer"]
    work = finished(browser, begun["id"])
    assert (work["state"], [one["code"] for one in work["faults"]]) == ("failed", ["JOB-301"])
    assert next(iter(wrong.values()))[0] in work["faults"][0]["what"]


def test_a_kept_plan_is_read_by_its_name_only(desk: Desk, browser: Browser) -> None:
    asked = {"days": 1, "mornings": "05:00-10:00", "seconds": 1, "record": True}
    begun = ask(browser, "work-begin", job="weeks", asked=asked)["answer"]
    plan = finished(browser, begun["id"])["answer"]
    (name,) = ask(browser, "days")["answer"]["kept"]
    assert ask(browser, "weeks-kept", name=name)["answer"]["outings"] == plan["outings"]
    (desk.folder / "papers" / "weeks-torn.json").write_text("{", encoding="utf-8")
    for other in ("../line.toml", "weeks-9.json", "weeks-torn.json"):
        assert refused(browser, "weeks-kept", name=other) == ["JOB-613"]
