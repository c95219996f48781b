"""Whatever is sent: no answer says that something broke inside, and nothing is written without pairing.

Hypothesis makes the requests. `TENDLINE_FUZZ=20000` sends so many instead of the few of every day.
"""

import json
import os
from pathlib import Path
from typing import Any

import httpx
import pytest
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st

from tendline.jobs.round import Asked
from tendline.jobs.serve import Desk, open_desk
from tendline.server.app import make_app
from tendline.server.guard import Guard
from tendline.server.pages import Pages
from tests.asgi import Browser
from tests.lines import MORNING, small_line
from tests.unit.field.told import entry

OURS = {"origin": "http://localhost", "x-tendline": "1", "content-type": "application/json"}
MANY = int(os.environ.get("TENDLINE_FUZZ", "120"))
PAGES = Pages({"index.html": b"<!doctype html>"}, "0" * 64)

PLAIN = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20)
TREES = st.recursive(
    PLAIN, lambda t: st.lists(t, max_size=4) | st.dictionaries(st.text(max_size=8), t, max_size=4)
)
PATHS = st.sampled_from(
    ["/", "/api/pair", "/api/me", "/api/round", "/api/events", "/api/photos/x", "/ca.crt", "/sw.js"]
) | st.from_regex(r"/[a-zA-Z0-9%._/-]{0,30}", fullmatch=True)
ASCII = st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=30)
NAMES = st.sampled_from(
    ["host", "origin", "content-type", "authorization", "sec-fetch-site", "range", "cookie"]
)


@st.composite
def entries(draw: st.DrawFn) -> Any:
    """An entry that is nearly right: one of its values, or one of its body's, is anything at all."""
    made = entry(draw(st.integers(1, 40)), hours=24.5)
    made["kind"] = draw(
        st.sampled_from(["check", "catch", "void", "correction", "set-made", "parcel", "lost"])
    )
    if draw(st.booleans()):
        made["body"] |= {"of": entry(draw(st.integers(1, 40)))["id"], "why": "x"}
    inside = made["body"] if draw(st.booleans()) else made
    key = draw(st.sampled_from([*inside, "fields", "place", "happened_at", "outline", "loop_m", "photos"]))
    inside[key] = draw(TREES)
    return made


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    line = small_line(tmp_path_factory.mktemp("lines") / "line")
    return open_desk(line, at=MORNING, units=None, asked=Asked())


def browser(desk: Desk) -> Browser:
    return Browser(Guard(make_app(desk, PAGES), ("localhost",)), base_url="http://localhost")


@settings(max_examples=MANY, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    method=st.sampled_from(["GET", "HEAD", "POST", "PUT", "DELETE", "PATCH", "OPTIONS"]),
    path=PATHS,
    extra=st.dictionaries(NAMES, ASCII, max_size=3),
    body=st.binary(max_size=200) | TREES.map(lambda tree: json.dumps(tree).encode()),
)
def test_a_stranger_breaks_nothing_and_writes_nothing(
    desk: Desk, method: str, path: str, extra: dict[str, str], body: bytes
) -> None:
    before = {file: file.read_bytes() for file in desk.folder.rglob("*.db")}
    try:
        answer = browser(desk).request(method, path, headers={**OURS, **extra}, content=body)
    except httpx.InvalidURL:
        reject()  # no client can even ask that
    assert answer.status_code < 500
    assert {file: file.read_bytes() for file in desk.folder.rglob("*.db") if file in before} == before
    assert "content-security-policy" in answer.headers


@settings(max_examples=MANY, deadline=None, suppress_health_check=list(HealthCheck))
@given(told=st.lists(entries() | TREES, max_size=4))
def test_a_paired_phone_can_say_anything_and_the_record_stays_readable(desk: Desk, told: list[Any]) -> None:
    paired = desk.pair(desk.offer().word, "")
    assert paired is not None
    content = json.dumps({"tendline": "phone-events", "version": 1, "via": "x", "events": told}).encode()
    headers = {**OURS, "authorization": f"Bearer {paired[1]}"}
    answer = browser(desk).post("/api/events", headers=headers, content=content)
    assert answer.status_code in (200, 400)
    if answer.status_code == 200:
        found = answer.json()
        counted = sum(found[key] for key in ("entered", "known", "flagged", "held"))
        assert counted == len(told)  # every one is accounted for, none dropped
    desk.space().line()
    assert Path(desk.folder / "logbook.db").is_file()
