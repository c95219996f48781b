"""Settings and the word on the law, changed from the desk page: the file stays what a person wrote."""

# ruff: noqa: F811 - fixtures

from pathlib import Path
from typing import Any

from tendline.jobs.serve import Desk
from tendline.jobs.settings_edit import OFFERED
from tendline.jobs.settings_file import read_settings
from tendline.jobs.settings_keys import KEYS
from tests.asgi import Browser
from tests.interfaces.server.test_desk import ask, browser, desk, refused  # noqa: F401 - fixtures
from tests.journeys.run import done
from tests.lines import MORNING


def now(browser: Browser) -> dict[str, str]:
    return {one["key"]: one["value"] for one in ask(browser, "settings")["answer"]["settings"]}


def change(browser: Browser, **values: str) -> None:
    ask(browser, "settings-change", values={key.replace("__", "."): value for key, value in values.items()})


def file_of(desk: Desk) -> Path:
    return desk.folder / "line.toml"


def test_every_setting_offered_is_a_key_of_the_file(browser: Browser) -> None:
    for one in OFFERED:
        table, _, key = one.key.rpartition(".")
        assert key in KEYS[table], one.key
    assert set(now(browser)) <= {one.key for one in OFFERED}


def test_settings_are_changed_and_the_old_ones_kept_as_comments(desk: Desk, browser: Browser) -> None:
    before = file_of(desk).read_text()
    values = {
        "home": "-78.03, 41.5",
        "personal__hours": "20",
        "walk__sink_in": "8",
        "person__landowner": "no",
    }
    change(browser, **values)
    found = read_settings(file_of(desk))
    assert found.home is not None
    assert (found.home.lon, found.home.lat) == (-78.03, 41.5)
    assert (found.personal.hours, found.person.landowner) == (20, False)
    assert found.walk.sink_m == 8 * 0.0254  # an inch is 0.0254 m exactly (1959)
    assert now(browser)["walk.sink_in"] == "8"
    old = [line for line in before.splitlines() if line.startswith(("home =", "hours =", "snow ="))]
    assert len(old) == 3
    for line in old:
        assert f"# until 2027-01-12: {line}" in file_of(desk).read_text().splitlines()


def test_an_empty_value_lets_the_default_hold_again(desk: Desk, browser: Browser) -> None:
    change(browser, personal__before="", home="")
    found = read_settings(file_of(desk))
    assert (found.home, now(browser)["home"], now(browser)["personal.before"]) == (None, "", "")
    assert found.personal == type(found.personal)(hours=found.personal.hours)


def test_a_list_written_over_several_lines_is_replaced_whole(desk: Desk, browser: Browser) -> None:
    text = file_of(desk).read_text().replace('profiles = ["xx-demo"]', 'profiles = [\n  "xx-demo", # ours\n]')
    file_of(desk).write_text(text)
    change(browser, profiles="us-pa, xx-demo")
    assert read_settings(file_of(desk)).profiles == ("us-pa", "xx-demo")


def test_every_fault_is_told_and_nothing_is_changed(desk: Desk, browser: Browser) -> None:
    before = file_of(desk).read_bytes()
    wrong = {"time.look_min": "soon", "walk.own": "-1", "colour": "red", "home": "here", "profiles": "us-zz"}
    codes = refused(browser, "settings-change", values={**wrong, "personal.hours": "20"})
    assert sorted(codes) == ["JOB-202", "JOB-203", "JOB-203", "JOB-203", "RULE-102"]
    assert refused(browser, "settings-change", values={"zone": "Nowhere/Town"}) == ["CORE-202"]
    assert refused(browser, "settings-change", values={"name": ""}) == ["JOB-204"]
    assert file_of(desk).read_bytes() == before


def test_the_word_on_a_profile_is_kept_as_the_command_keeps_it(desk: Desk, browser: Browser) -> None:
    sheet = ask(browser, "profile-values", profile="xx-demo")["answer"]
    assert sheet["word"] is None
    answers: dict[str, Any] = {one["rule"]: "agree" for one in sheet["values"]}
    first, second, *_ = answers
    assert refused(browser, "confirm", profile="xx-demo", answers={first: "agree"}) == ["JOB-502"] * (
        len(answers) - 1
    )
    answers |= {first: "don't know", second: "48 hours"}
    told = ask(browser, "confirm", profile="xx-demo", answers=answers, note="read the digest")["answer"]
    assert told["agreed"] == len(answers) - 2
    word = ask(browser, "profile-values", profile="xx-demo")["answer"]["word"]
    assert (word["holds"], word["note"], set(word["doubts"])) == (True, "read the digest", {first, second})
    said = done("lawful", "--line", str(desk.folder), "--at", MORNING, "--json").data
    assert "xx-demo" in str(said)
    steps = {one["step"]: one for one in ask(browser, "first-steps")["answer"]["steps"]}
    assert steps["confirm"]["done"] is True
