"""The ground inside a round: small enough, a picture any reader opens, redrawn only when it must be."""

import io
import json
import urllib.request
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tendline.field.carry_relief import MOST_BYTES, OF_THEM, carried_relief
from tendline.jobs import carry_relief
from tendline.jobs.carry_relief import ReliefKept
from tendline.jobs.relief import relief_for
from tendline.jobs.round import Asked
from tendline.jobs.serve import open_desk
from tendline.jobs.workspace import Workspace, open_workspace
from tests.hills import hills_file
from tests.interfaces.field.test_wire_fixtures import FIXTURES, _lacks, _shape
from tests.journeys.run import done
from tests.lines import MORNING, SETS, small_line


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("carried")
    made = small_line(folder / "line")
    done("bring", str(hills_file(folder)), "--line", made)
    return made


@pytest.fixture
def space(line: str) -> Workspace:
    return open_workspace(line, at=MORNING)


@pytest.fixture(scope="module")
def relief(line: str) -> dict[str, Any]:
    desk = open_desk(line, at=MORNING, units=None, asked=Asked("06:10", "12:00", seconds=None, iterations=50))
    assert desk.plan() == ""
    carried = json.loads(json.dumps(desk.carried()))
    assert carried["why_no_relief"] == ""
    found: dict[str, Any] = carried["relief"]
    return found


def test_it_keeps_to_its_bytes(relief: dict[str, Any]) -> None:
    assert 20_000 < len(json.dumps(relief, separators=(",", ":"))) <= MOST_BYTES


def test_the_picture_is_read_by_others_and_lies_under_every_set(relief: dict[str, Any]) -> None:
    # RFC 2397 as the standard library reads it, RFC 9649 as Pillow does.
    with urllib.request.urlopen(relief["picture"]) as answer:
        assert answer.headers.get_content_type() == "image/webp"
        image = Image.open(io.BytesIO(answer.read()))
    assert image.format == "WEBP"
    low, high = image.convert("L").getextrema()
    assert high - low > 50  # type: ignore[operator]  # ridges, not a grey card
    for place in SETS.values():
        lon, lat = map(float, place.split(","))
        assert relief["west"] < lon < relief["east"]
        assert relief["south"] < lat < relief["north"]


def test_lines_and_heights_are_those_drawn(space: Workspace, relief: dict[str, Any]) -> None:
    drawn = relief_for(
        space,
        bounds=carry_relief._bounds(space.line()),
        max_bytes=OF_THEM,
    )
    assert drawn is not None
    features = drawn.contours["features"]
    lines = [f for f in features if f["geometry"]["type"] == "LineString"]
    assert [one["places"] for one in relief["lines"]] == [f["geometry"]["coordinates"] for f in lines]
    assert {one["main"] for one in relief["lines"]} == {True, False}
    assert len(relief["labels"]) == len(features) - len(lines) > 0
    # 0.3048 m in a foot, exactly (NIST SP 811); the line is in feet.
    heights = {f"{round(one['height_m'] / 0.3048)} ft" for one in relief["lines"] if one["main"]}
    assert {label["text"] for label in relief["labels"]} <= heights


def test_a_page_that_knows_this_ground_can_read_the_next(relief: dict[str, Any]) -> None:
    old = json.loads((FIXTURES / "carried-relief-1.json").read_text(encoding="utf-8"))
    assert _lacks(_shape(old), _shape(relief)) == []


def test_it_is_drawn_again_only_when_places_or_heights_change(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = small_line(tmp_path / "line")
    done("bring", str(hills_file(tmp_path)), "--line", line)
    space = open_workspace(line, at=MORNING)
    drawn: list[object] = []

    def count(*words: Any, **more: Any) -> Any:
        drawn.append(more["bounds"])
        return relief_for(*words, **more)

    monkeypatch.setattr(carry_relief, "relief_for", count)
    kept = ReliefKept()
    first = kept.of(space, space.line())
    assert kept.of(space, space.line()) == first
    assert len(drawn) == 1
    done("note", "landmark", "gap", "--at-place=-78.03,41.53", "--line", line, "--at", MORNING)
    later = open_workspace(line, at=MORNING)
    assert kept.of(later, later.line()) != first
    assert len(drawn) == 2


def test_a_round_goes_out_without_ground_and_says_why(tmp_path: Path) -> None:
    made = small_line(tmp_path / "line")
    space = open_workspace(made, at=MORNING)
    assert ReliefKept().of(space, space.line()) == (None, "no heights were brought in for this ground.")
    done("bring", str(hills_file(tmp_path)), "--line", made)
    for kept in (tmp_path / "line" / "ground").iterdir():
        kept.write_bytes(b"no longer a raster")
    space = open_workspace(made, at=MORNING)
    nothing, why = ReliefKept().of(space, space.line())
    assert nothing is None
    assert why
    assert why != "no heights were brought in for this ground."


def test_the_worst_mix_of_picture_and_lines_keeps_to_the_bytes() -> None:
    """Base64 makes 4 bytes of 3 (RFC 4648 section 4), so a document that is all picture is the largest."""
    all_picture = carried_relief(
        b"\0" * OF_THEM,
        (-78.1, 41.4, -78.0, 41.5),
        {"features": []},
        step_m=6.096,
        said=("heights from a file",),
    )
    assert len(json.dumps(all_picture)) <= MOST_BYTES
