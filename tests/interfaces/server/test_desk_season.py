"""The season of the desk page: the figures of the command, every plot with its numbers, plans."""

from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import jsonschema
import pytest

from tendline.jobs.season_drawn import season_drawn
from tendline.jobs.serve import Desk, open_desk
from tendline.server import desk_season
from tests.asgi import Browser
from tests.desk_browser import DEMO_ROUND, EVENING, demo_line
from tests.interfaces.server.test_desk import ask, let_in, refused, schema
from tests.journeys.run import done


@pytest.fixture
def desk(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Desk:
    folder = demo_line(tmp_path / "line", tmp_path_factory.getbasetemp())
    return open_desk(folder, at=EVENING, units=None, asked=DEMO_ROUND)


@pytest.fixture
def browser(desk: Desk) -> Browser:
    return let_in(desk)


def season(browser: Browser, **body: Any) -> tuple[dict[str, Any], dict[str, dict[str, Any]]]:
    found = ask(browser, "season", **body)
    jsonschema.validate(found["answer"], schema("jobs/schemas/season-drawn"))
    drawn = {one["name"]: one for one in found["answer"]["drawn"]}
    assert all(ET.fromstring(one["svg"]).tag.endswith("svg") for one in drawn.values())
    return found["answer"]["season"], drawn


def said(desk: Desk, *words: str) -> dict[str, Any]:
    return dict(done("season", *words, "--line", str(desk.folder), "--at", EVENING, "--json").data)


_GOING_ON = ("now", "not_counted_yet_nights", "study")
"""What goes on with the clock of the server."""


def _still(told: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in told.items() if key not in _GOING_ON}


def test_the_figures_are_those_of_the_command(desk: Desk, browser: Browser) -> None:
    told, _ = season(browser)
    assert _still(told) == _still(said(desk))
    told, _ = season(browser, first="2027-01-05", nights="raw", exact=True, hour=25.0)
    by_command = said(desk, "--from", "2027-01-05", "--nights", "raw", "--exact", "--hour", "25")
    assert _still(told) == _still(by_command)
    assert refused(browser, "season", season="next") == ["SEA-201"]
    assert refused(browser, "season", first="2027-01-05", last="2027-01-01") == ["SEA-201"]


def test_every_plot_has_its_numbers(browser: Browser) -> None:
    told, drawn = season(browser, by=["property", "weather"])
    assert set(drawn) == {"rates-by-property", "rates-by-weather", "nights-by-week", "waits", "misses"}
    for name, by in (("rates-by-property", "property"), ("rates-by-weather", "weather")):
        rows = {row[0]: dict(zip(drawn[name]["columns"], row, strict=True)) for row in drawn[name]["rows"]}
        assert rows.keys() == told["by"][by].keys()
        for group, tally in told["by"][by].items():
            assert rows[group]["device_nights"] == tally["device_nights"]
            assert rows[group]["high"] == pytest.approx(tally["rate_target_per_100"]["high"], rel=1e-5)
    misses = {row[0]: row[1] for row in drawn["misses"]["rows"]}
    assert misses == {one["cause"]: one["events"] for one in told["misses"] if one["events"]}
    assert list(misses.values()) == sorted(misses.values(), reverse=True)
    weeks = drawn["nights-by-week"]["rows"]
    assert sum(row[2] for row in weeks) == pytest.approx(told["total"]["device_nights"], abs=0.01)


def test_a_season_without_effort_withholds_its_rates(browser: Browser) -> None:
    found = ask(browser, "season", season="2020-21")
    jsonschema.validate(found["answer"], schema("jobs/schemas/season-drawn"))
    assert found["bad_news"]
    assert (found["answer"]["season"]["has_effort"], found["answer"]["drawn"]) == (False, [])


def test_a_season_is_drawn_once_until_the_record_grows(
    desk: Desk, browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = []

    def counted(*asked: Any, **by: Any) -> Any:
        made.append(by)
        return season_drawn(*asked, **by)

    monkeypatch.setattr(desk_season, "season_drawn", counted)
    season(browser)
    season(browser)
    assert len(made) == 1
    season(browser, nights="raw")
    assert len(made) == 2
    done("note", "check", "N1", "--fine", "--line", str(desk.folder), "--at", EVENING)
    season(browser, nights="raw")
    assert len(made) == 3


def test_plans_are_held_against_what_was_done(desk: Desk, browser: Browser) -> None:
    found = ask(browser, "season-plans")
    jsonschema.validate(found["answer"], schema("jobs/schemas/season-plans"))
    assert found["answer"] == said(desk, "--plans")
    assert ask(browser, "season-plans", season="2020-21")["bad_news"]
