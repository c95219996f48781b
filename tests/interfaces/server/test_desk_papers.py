"""Papers and files from the desk page: the same bytes as the command writes, looked at page by page."""

# ruff: noqa: F811 - fixtures

import base64
import gzip
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import jsonschema
import pypdfium2
import pytest

from tendline.cli.commands.paper import command
from tendline.jobs.paper_shown import PAPERS
from tendline.jobs.serve import Desk
from tests.asgi import Browser
from tests.interfaces.server.test_desk import (  # noqa: F401 - fixtures
    ask,
    browser,
    desk,
    finished,
    refused,
    schema,
)
from tests.journeys.run import done
from tests.lines import MORNING

NEEDED = {"parcel": "mill", "items": "visits;12;35.00", "start": "06:10", "back": "12:00"}


def made(browser: Browser, paper: str, **options: str) -> dict[str, Any]:
    begun = ask(browser, "work-begin", job="paper", asked={"paper": paper, "options": options})
    return finished(browser, begun["answer"]["id"])


def test_every_paper_of_the_command_is_there() -> None:
    assert set(PAPERS) == set(command.commands)


def test_a_paper_is_drawn_as_its_pdf_holds_it(browser: Browser) -> None:
    work = made(browser, "set-card", sets="N1, N2")
    assert (work["state"], work["faults"]) == ("done", [])
    jsonschema.validate(work["answer"], schema("jobs/schemas/paper-shown"))
    pdf = browser.post("/api/desk/paper", json={"name": work["answer"]["file"]})
    assert pdf.headers["content-type"] == "application/pdf"
    pages = work["answer"]["pages"]
    assert len(pypdfium2.PdfDocument(pdf.content)) == len(pages) == 2
    for page in pages:
        assert ET.fromstring(gzip.decompress(base64.b64decode(page))).tag == "{http://www.w3.org/2000/svg}svg"
    assert [one["name"] for one in ask(browser, "papers")["answer"]["files"]] == [work["answer"]["file"]]


def test_what_a_paper_lacks_is_told_together(browser: Browser) -> None:
    work = made(browser, "invoice", colour="red")
    assert [(f["code"], f["where"]) for f in work["faults"]] == [
        ("JOB-301", "colour"),
        ("JOB-301", "parcel"),
        ("JOB-301", "items"),
    ]


def test_no_path_is_taken_for_a_file(desk: Desk, browser: Browser) -> None:
    (desk.folder / "papers" / "notes.txt").write_text("not a paper")
    for name in ("../line.toml", "notes.txt", f"{desk.folder}/line.toml", "/etc/hosts", "", "."):
        assert refused(browser, "paper", name=name) == ["JOB-611"]
        assert refused(browser, "sent", name=name) == ["JOB-611"]


@pytest.mark.parametrize("form", ["gpx", "geojson", "kml", "csv", "ics"])
def test_a_file_is_the_one_the_command_writes(
    desk: Desk, browser: Browser, tmp_path: Path, form: str
) -> None:
    told = ask(browser, "send", form=form)["answer"]
    jsonschema.validate(told, schema("jobs/schemas/send"))
    out = tmp_path / f"out.{form}"
    done("send", form, "--out", str(out), "--line", str(desk.folder), "--at", MORNING)
    sent = browser.post("/api/desk/sent", json={"name": told["file"]}).content
    assert _timeless(sent) == _timeless(out.read_bytes())
    assert told["exact"] is False


def _timeless(content: bytes) -> list[bytes]:
    """The served clock runs on from the morning, by seconds."""
    return [
        line for line in content.splitlines() if b"2027-01-12T11:00" not in line and b"DTSTAMP" not in line
    ]
