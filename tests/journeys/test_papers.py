"""Every paper from the example line: complete, dated, readable, never with another owner's ground on it."""

import csv
import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pypdfium2
import pytest
from PIL import Image

from tests.journeys.run import Seen, done, run

AT = "2027-01-15T20:30"
SCHEMAS = Path(__file__).parents[2] / "src/tendline/jobs/schemas"


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The example line."""
    folder = str(tmp_path_factory.mktemp("papers") / "line")
    done("demo", folder, "--at", AT)
    return folder


def paper(line: str, *words: str) -> tuple[dict[str, Any], str]:
    """Write a paper; give its JSON document and its text, pages one after the other."""
    seen = done("paper", *words, "--line", line, "--at", AT, "--json")
    schema = json.loads((SCHEMAS / "paper-page.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(seen.data)
    document = pypdfium2.PdfDocument(seen.data["file"])
    text = " ".join(" ".join(p.get_textpage().get_text_range().split()) for p in document)
    document.close()
    assert "made Fri 15 Jan 2027 20:30 (AST)" in text
    assert "INVENTED EXAMPLE" in text
    assert "Made by tendline from logbook of" in text
    return seen.data, text


def names(line: str) -> set[str]:
    """Every set in the field."""
    return {s["set"] for s in done("due", "--line", line, "--at", AT, "--json").data["sets"]}


def test_the_finder_sheet_has_every_device_with_its_tag(line: str, tmp_path: Path) -> None:
    data, text = paper(line, "finder-sheet", "--call", "agency: 555-0100")
    assert set(data["sets"]) == names(line)
    assert len(data["sets"]) == len(set(data["sets"]))
    table = tmp_path / "sets.csv"
    done("send", "csv", "--exact", "--line", line, "--at", AT, "--out", str(table))
    with table.open(encoding="utf-8", newline="") as rows:
        tags = [row["tag"] for row in csv.DictReader(rows) if row["kind"] == "set"]
    assert len(tags) >= 50
    for number in tags:
        assert f"tag {number}" in text, number
    assert "agency 555-0100" in text
    assert text.count("taken up") >= 50
    assert any("NOT VERIFIED" in law for law in data["law"])


def test_a_part_of_the_line_says_that_it_is_a_part(line: str) -> None:
    data, text = paper(line, "finder-sheet", "--sets", "m1,M4", "--sets", "O2")
    assert sorted(data["sets"]) == ["M1", "M4", "O2"]
    assert "Not the whole line: 47 other devices" in text
    assert "Heron" not in text
    assert "tag 210" not in text


def test_a_wrong_name_is_refused_and_nothing_written(line: str, tmp_path: Path) -> None:
    out = tmp_path / "x.pdf"
    seen = run("paper", "finder-sheet", "--sets", "M1,Q9,Q8", "--line", line, "--at", AT, "--out", str(out))
    assert seen.code == 2
    assert seen.err.count("JOB-301") == 2
    assert not out.exists()


def test_a_photograph_is_printed_without_its_place(line: str, tmp_path: Path) -> None:
    photos = Path(line) / "photos"
    photos.mkdir()
    exif = Image.Exif()
    exif.get_ifd(0x8825)[1] = "N"
    Image.new("RGB", (80, 60), (90, 90, 90)).save(photos / "m4.jpg", exif=exif)
    data, text = paper(line, "finder-sheet", "--sets", "M4", "--out", str(tmp_path / "m4.pdf"))
    assert data["photos"] == ["M4"]
    assert re.search(r"Photographs M4, tag \d+", text)
    written = pypdfium2.PdfDocument(tmp_path / "m4.pdf")
    assert any(piece.type == 3 for page in written for piece in page.get_objects(max_depth=10))
    assert b"Exif" not in (tmp_path / "m4.pdf").read_bytes()
    (photos / "barn.jpg").write_bytes(b"not a picture")
    refused = run("paper", "finder-sheet", "--line", line, "--at", AT)
    assert refused.code == 2
    assert "JOB-612 photos/barn.jpg" in refused.err
    for path in photos.iterdir():
        path.unlink()
    photos.rmdir()


def empty(tmp_path: Path) -> str:
    """A line with nothing on record."""
    folder = str(tmp_path / "empty")
    done("start", folder, "--zone", "America/New_York")
    return folder


def test_a_line_without_devices_has_no_finder_sheet(tmp_path: Path) -> None:
    seen: Seen = run("paper", "finder-sheet", "--line", empty(tmp_path))
    assert seen.code == 2
    assert "JOB-611" in seen.err


KINDS = {
    "farm-sheet": (),
    "set-card": ("M4", "H2"),
    "incident": ("--set", "M4"),
    "warden": (),
    "agency": (),
    "fur-list": (),
    "study": (),
    "season": (),
}


@pytest.mark.parametrize("kind", KINDS)
def test_every_paper_is_written_dated_and_read_back(line: str, kind: str) -> None:
    data, text = paper(line, kind, *KINDS[kind])
    assert data["paper"] == kind
    assert Path(data["file"]).name.startswith(f"{kind}-")
    assert len(text) > 400


FARMS = {"mill": "M", "heron": "H", "nook": "N", "tollgate": "T", "ridge": "R", "orchard": "O", "kiln": "K"}
TITLES = {
    "mill": ("Mill Farm", "Ostrander"),
    "heron": ("Heron", "Tamsin"),
    "nook": ("Nook", "Ellery"),
    "tollgate": ("Tollgate", "Abara"),
    "ridge": ("Ridge", "Whitlow"),
    "orchard": ("Orchard", "Quill"),
    "kiln": ("Kiln", "Brandt"),
}


@pytest.mark.parametrize("kind", ["landowner", "damage", "farm-sheet"])
def test_a_paper_of_one_property_names_no_other(line: str, kind: str) -> None:
    for parcel in list(FARMS)[:4]:
        _, text = paper(line, kind, parcel)
        words = set(text.replace(",", " ").replace(":", " ").split())
        for other, first in FARMS.items():
            names = {f"{first}{number}" for number in range(1, 11)}
            assert other == parcel or not words & names
            assert all((word in text) is (other == parcel) for word in TITLES[other]), (parcel, other)
        tags = {f"tag {n}" for n in range(201, 251) if f"tag {n}" in text}
        assert len(tags) <= 9


def test_the_landowner_is_told_of_the_raccoon_and_the_agency_too(line: str) -> None:
    _, note = paper(line, "landowner", "heron")
    assert "What you should know" in note
    assert "raccoon, non-target released" in note
    assert "Days on your ground: 14" in note
    _, mill = paper(line, "landowner", "mill")
    assert "No incident is on record" in mill
    data, returned = paper(line, "agency")
    assert data["animals"] == 6
    assert "raccoon" in returned
    # The cell is narrow: the word may be broken at its hyphen.
    assert re.search(r"released \(non.{0,3}target\)", returned)
    # 50 sets made on 1 January, 14 nights over on the 15th.
    assert "live restraint 50 700 700 6" in returned


def test_sets_stand_as_people_count(line: str) -> None:
    data, _ = paper(line, "farm-sheet", "ridge")
    assert data["sets"] == [f"R{number}" for number in range(1, 11)]


def test_days_narrow_what_is_told(line: str) -> None:
    data, text = paper(line, "season", "--from", "2027-01-04", "--to", "2027-01-08")
    assert (data["first"], data["last"], data["animals"]) == ("2027-01-04", "2027-01-08", 3)
    assert "looks 250" in text
    seen = run("paper", "season", "--from", "2027-02-04", "--to", "2027-01-08", "--line", line, "--at", AT)
    assert seen.code == 2
    assert "SEA-201" in seen.err


def test_the_season_review_shows_the_figures_of_the_season(line: str) -> None:
    _, text = paper(line, "season")
    told = done("season", "--line", line, "--at", AT, "--json").data
    rate = told["total"]["rate_target_per_100"]
    assert f"{told['total']['device_nights']:,.1f} counted" in text
    assert f"{rate['value']:.2f} per 100 device-nights (95 % range {rate['low']:.2f}" in text
    for share in told["shares"]:
        assert f"{share['name']} {share['part']}/{share['whole']} {100 * share['value']:.0f} %" in text
    assert told["earning"]["ranked"] is False
    assert f"No ranking: {told['earning']['why_not']}" in text
    assert f"worst {told['waits']['all']['worst_h']:.1f} h" in text


def test_a_season_review_withholds_rates_where_there_is_no_effort(line: str) -> None:
    # The line begins in January 2027: the season before it holds nothing.
    data, text = paper(line, "season", "--season", "2025-26")
    assert (data["first"], data["last"], data["animals"]) == ("2025-07-01", "2026-06-30", 0)
    assert "there is no effort on record, so there is no rate to tell" in text
    assert "per 100" not in text


def test_a_warden_sees_papers_builds_and_a_leave_that_has_run_out(line: str) -> None:
    _, text = paper(line, "warden", "--parcels", "kiln")
    for words in (
        "cable restraint course",
        "trapping licence",
        "HAS RUN OUT",
        "breakaway 285 lb",
        "cable 3/32 in",
    ):
        assert words in text
    assert "name, address" in text
    assert "Mill" not in text


def test_an_invoice_adds_up_to_the_cent(line: str) -> None:
    items = ("--item", "visits;12;35.00", "--item", "miles;87.5;0.655", "--item", "nothing;0;9")
    data, text = paper(line, "invoice", "mill", *items, "--currency", "USD", "--number", "7")
    # 12 x 35.00 = 420.00; 87.5 x 0.655 = 57.3125, 57.31 to the cent.
    assert data["total"] == "477.31"
    assert "420.00" in text
    assert "57.31" in text
    seen = run("paper", "invoice", "mill", "--item", "x;y;z", "--item", "a;1", "--line", line, "--at", AT)
    assert seen.code == 2
    assert seen.err.count("JOB-301") == 2
