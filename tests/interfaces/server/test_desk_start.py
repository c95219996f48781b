"""Beginning a line and noting from the desk page: the same jobs as the command line, and kept once."""

from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tendline.core.settings import Settings
from tendline.jobs.serve import Desk, open_desk
from tendline.jobs.settings_file import read_settings
from tendline.logbook.kinds import KINDS
from tests.asgi import Browser
from tests.interfaces.server.test_desk import ASKED, ask, browser, desk, let_in, refused, schema  # noqa: F401
from tests.journeys.run import done
from tests.lines import MORNING

ID = "0194a3c0-0000-7000-8000-00000000000{}".format


@pytest.fixture
def empty(tmp_path: Path) -> Desk:
    """An empty folder that waits for its line."""
    return open_desk(str(tmp_path / "new"), at=MORNING, units=None, asked=ASKED)


def settings(desk: Desk) -> Settings:  # noqa: F811
    return read_settings(desk.folder / "line.toml")


def test_a_line_begins_as_the_command_begins_one(empty: Desk, tmp_path: Path) -> None:
    browser = let_in(empty)  # noqa: F811
    found = ask(
        browser,
        "start",
        zone="America/New_York",
        name="Test line",
        handler="Ann Example",
        units="metric",
        home=[-78.02, 41.505],
        profiles=["xx-demo"],
    )
    jsonschema.validate(found["answer"], schema("jobs/schemas/start"))
    done(
        *("start", str(tmp_path / "other"), "--zone", "America/New_York", "--name", "Test line"),
        *("--handler", "Ann Example", "--home=-78.02,41.505", "--profile", "xx-demo", "--units", "metric"),
    )
    assert settings(empty) == read_settings(tmp_path / "other" / "line.toml")
    assert ask(browser, "line")["answer"]["begun"] is True
    assert refused(browser, "start", zone="America/New_York") == ["JOB-102"]


def test_a_line_that_cannot_be_is_not_begun(empty: Desk) -> None:
    browser = let_in(empty)  # noqa: F811
    assert refused(browser, "start", zone="Nowhere/Town") == ["CORE-202"]
    assert refused(browser, "start", zone="UTC", profiles=["us-zz"]) == ["RULE-102"]
    assert refused(browser, "start", zone="UTC", home=[-78.0, 95.0]) == ["CORE-301"]
    assert not (empty.folder / "line.toml").exists()


def test_every_profile_says_what_of_it_was_not_seen(empty: Desk, browser: Browser) -> None:  # noqa: F811
    for one in (let_in(empty), browser):
        profiles = ask(one, "profiles", zone="America/New_York")["answer"]["profiles"]
        packs = Path(__file__).parents[3] / "src/tendline/rules/packs"
        assert {p["id"] for p in profiles} == {f"{f.parent.name}-{f.stem}" for f in packs.glob("*/*.toml")}
        for profile in profiles:
            assert profile["unsure"] == len(profile["unsure_words"]) <= profile["values"]
            assert all(profile["unsure_words"])
    pa = next(p for p in profiles if p["id"] == "us-pa")
    assert pa["unsure"] > 0  # its interval comes from a summary: docs/reference/rule-profiles.md


def test_the_first_steps_are_ticked_off_by_the_record(empty: Desk) -> None:
    browser = let_in(empty)  # noqa: F811
    ask(browser, "start", zone="America/New_York", profiles=["xx-demo"])

    def open_steps() -> list[str]:
        return [s["step"] for s in ask(browser, "first-steps")["answer"]["steps"] if not s["done"]]

    steps = ["parcel", "permission", "parking", "home", "set-made", "heights", "confirm"]
    assert open_steps() == steps
    square = "-78.02,41.50 -78.00,41.50\n-78.00,41.52 -78.02,41.52"
    note(browser, 1, "parcel", "mill", {"outline": square})
    assert open_steps() == steps[1:]
    note(browser, 2, "permission", "mill", {"given_by": "Jo Mill (invented)", "written": "yes"})
    note(browser, 3, "parking", "gate", {"parcels": "mill"}, place="-78.009,41.509")
    note(browser, 4, "set-made", "N1", {"parcel": "mill"}, place="-78.01,41.51,5")
    assert open_steps() == ["home", "heights", "confirm"]


def note(browser: Browser, number: int, kind: str, subject: str, given: dict[str, str], **more: Any) -> Any:  # noqa: F811
    return ask(browser, "note", id=ID(number), kind=kind, subject=subject, given=given, **more)["answer"]


def test_every_kind_and_field_has_its_form(browser: Browser) -> None:  # noqa: F811
    kinds = {one["kind"]: one for one in ask(browser, "kinds")["answer"]["kinds"]}
    assert set(kinds) == set(KINDS)
    for name, kind in KINDS.items():
        fields = {one["field"]: one for one in kinds[name]["fields"]}
        assert set(fields) == {field.name for field in kind.fields} - {"source"}
        assert all(one["words"] for one in fields.values())
        assert [f for f, one in fields.items() if one["required"]] == [
            f.name for f in kind.fields if f.required
        ]


def test_a_note_sent_twice_is_kept_once(desk: Desk, browser: Browser) -> None:  # noqa: F811
    before = len(desk.space().events())
    given = {"found_as": "working", "what_happened": "nothing", "done": "looked", "left_as": "working"}
    first = note(browser, 1, "check", "N1", given, by="Ben Example")
    assert note(browser, 1, "check", "N1", given, by="Ben Example") == first
    assert len(desk.space().events()) == before + 1
    assert (first["kept"][0]["id"], first["kept"][0]["by"]) == (ID(1), "Ben Example")
    said = done("note", "list", "N1", "--line", str(desk.folder), "--at", MORNING, "--json").data["events"]
    assert said[-1]["id"] == ID(1)


def test_a_correction_sent_twice_is_kept_once_and_shows_what_it_replaces(
    desk: Desk,  # noqa: F811
    browser: Browser,  # noqa: F811
) -> None:
    note(browser, 1, "check", "N1", {}, fine=True)
    asked = {"id": ID(2), "of": ID(1), "changes": {"note": "fox track beside it"}, "why": "forgotten"}
    first = ask(browser, "correct", **asked)["answer"]
    assert ask(browser, "correct", **asked)["answer"] == first
    assert sum(event.kind == "correction" for event in desk.space().events()) == 1


def test_what_cannot_be_noted_is_told_and_nothing_is_kept(desk: Desk, browser: Browser) -> None:  # noqa: F811
    before = len(desk.space().events())
    assert refused(browser, "note", id=ID(1), kind="dance") == ["JOB-301"]
    assert refused(browser, "note", id="no-id", kind="check") == ["SRV-105"]
    for given in ({"bottom_m": "a lot"}, {"snow_m": "3 yards of it"}):
        codes = refused(browser, "note", id=ID(1), kind="adjusted", subject="N1", given=given)
        assert codes == ["CORE-101"]
    assert refused(browser, "note", id=ID(1), kind="set-made", subject="N9", place="somewhere") == ["JOB-301"]
    assert refused(browser, "correct", id=ID(1), of="ffffffff", why="no") == ["JOB-302"]
    assert len(desk.space().events()) == before


def test_the_names_on_record_are_offered(browser: Browser) -> None:  # noqa: F811
    names = ask(browser, "names")["answer"]["names"]
    assert (names["set"], names["parcel"], names["parking"]) == (
        ["N1", "N2", "N3", "S1"],
        ["kiln", "mill"],
        ["gate", "road"],
    )
