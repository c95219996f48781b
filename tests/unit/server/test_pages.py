"""The built pages: there, small enough, whole, and asking nobody for anything."""

import gzip
import re
from pathlib import Path

import pytest

from tendline.core.errors import Refused
from tendline.server import pages as pages_module
from tendline.server.pages import INDEX, Pages, is_desk, load_pages

BUDGET = 60_000
"""Bytes over the air for the page without its map (from the plan of the work)."""
BUDGET_WITH_MAP = 130_000
MAP = ("/ground-", "/relief-")
"""Parts that are loaded with the map."""
DESK_BUDGET = 250_000
"""Bytes over the air for the desk page in all, with what it shares."""


@pytest.fixture(scope="module")
def built() -> Pages:
    return load_pages()


def weight(content: bytes) -> int:
    return len(gzip.compress(content, 9))


def code(built: Pages, *, of_map: bool) -> int:
    return sum(
        weight(content)
        for name, content in built.content.items()
        if name.endswith((".js", ".css", ".html"))
        and not is_desk(name)
        and (of_map or not any(part in name for part in MAP))
    )


def test_the_page_is_light(built: Pages) -> None:
    for part in MAP:  # the map is a part of its own
        assert any(part in name for name in built.content)
        assert f'from"./{part[1:]}' not in next(
            content.decode() for name, content in built.content.items() if "/index-" in name and ".js" in name
        )
    assert code(built, of_map=False) + weight(built.worker) <= BUDGET
    assert code(built, of_map=True) + weight(built.worker) <= BUDGET_WITH_MAP


def test_the_desk_page_is_light_and_no_phone_keeps_it(built: Pages) -> None:
    desk = [name for name in built.content if is_desk(name)]
    assert len(desk) > 3
    own = sum(weight(built.content[name]) for name in desk)
    assert own + code(built, of_map=True) <= DESK_BUDGET
    assert not any(name.encode() in built.worker for name in desk)


def test_the_page_names_no_other_host(built: Pages) -> None:
    for name, content in built.content.items():
        if name.endswith((".js", ".css", ".html", ".webmanifest")):
            text = content.decode()
            found = set(re.findall(r"https?://[A-Za-z0-9.-]+", text))
            # Names of vocabularies, and where the map library says it comes from; neither is ever asked.
            assert found <= {"http://www.w3.org", "https://leafletjs.com"}, name


def test_the_page_runs_no_inline_code(built: Pages) -> None:
    text = built.content[INDEX].decode()
    assert re.findall(r"<script(?![^>]*\bsrc=)", text) == []
    assert "<style" not in text
    assert " style=" not in text
    assert " on" not in text.replace(" on your", "")


def test_the_version_changes_with_any_byte(built: Pages, monkeypatch: pytest.MonkeyPatch) -> None:
    other = {**built.content, INDEX: built.content[INDEX] + b" "}
    monkeypatch.setattr(pages_module, "_read", lambda *_: list(other.items()))
    assert load_pages().version != built.version


def test_pages_that_were_never_built_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pages_module, "files", lambda _: tmp_path)
    with pytest.raises(Refused) as caught:
        load_pages()
    assert caught.value.faults[0].code.id == "SRV-101"
    assert "make web" in str(caught.value)
