"""A build told in words, over a file, with a table of one's own pulls; its breakaway beside the law."""

import json
from pathlib import Path

import jsonschema
import pytest

from tests.journeys.run import Seen, run

SCHEMAS = Path(__file__).parents[2] / "src/tendline/jobs/schemas"
AT = "2027-01-12T06:00-05:00"
POUND = 4.4482216152605

WORDS = (
    *("cable.make=7x7", "cable.material=galvanised", "cable.diameter=3/32 in", "cable.length=60 in"),
    *("loop.largest_across=12 in", "loop.smallest_across=4.25 in", "breakaway.label=285 lb"),
    *("end.kind=swaged-sleeve", "swivel.count=2", "swivel.at=anchor,halfway", "lock.relaxing=yes"),
)


def sets(*words: str) -> list[str]:
    return [part for word in words for part in ("--set", word)]


@pytest.fixture
def line(tmp_path: Path) -> str:
    folder = str(tmp_path / "line")
    zone = ("--zone", "America/Detroit", "--handler", "Ann", "--home=-84,44")
    assert run("start", folder, *zone, "--profile", "us-mi").code == 0
    return folder


def valid(seen: Seen, name: str) -> dict:
    schema = json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(seen.data)
    return seen.data


def test_words_alone_make_a_build(line: str) -> None:
    at = ("--line", line, "--at", AT)
    data = valid(run("gear", "build", *sets(*WORDS), *at, "--json"), "gear-build")
    # 12 in and 4 1/4 in across are 37.70 in and 13.35 in round.
    assert data["largest"]["around_m"] / 0.0254 == pytest.approx(37.699, abs=1e-3)
    assert data["smallest"]["around_m"] / 0.0254 == pytest.approx(13.352, abs=1e-3)
    assert run("gear", "parts", *sets(*WORDS), "--devices", "5", *at).code in (0, 1)


def test_a_breakaway_stands_beside_the_most_of_the_law(line: str) -> None:
    at = ("--line", line, "--at", AT)
    data = valid(run("gear", "chain", *sets(*WORDS), *at, "--json"), "gear-chain")["chain"]
    (limit,) = data["legal"]
    # Michigan: at most 285 lb.
    assert (limit["profile"], limit["stands"]) == ("us-mi", "within")
    assert limit["most_n"] == pytest.approx(285 * POUND)
    over = run("gear", "chain", *sets(*WORDS, "breakaway.label=350 lb"), *at)
    assert over.code == 1
    assert "us-mi: at most 285 lb: over" in over.out
    metric = run("gear", "chain", *sets(*WORDS), "--units", "metric", *at).out
    assert "opens at 1268 N" in metric
    assert "at most 1268 N: within" in metric


def test_pulls_in_a_table_beat_the_label(line: str, tmp_path: Path) -> None:
    at = ("--line", line, "--at", AT)
    pulls = [270.0, 281.0, 277.0, 290.0, 268.0]
    rows = "\n".join(f"2026-11-01,{load}" for load in pulls)
    (tmp_path / "pulls.csv").write_text(f"date,load_lb\n{rows}\n\n", encoding="utf-8")
    build = tmp_path / "fox.toml"
    build.write_text(
        '[cable]\nmake = "7x7"\nmaterial = "galvanised"\ndiameter = "3/32 in"\nlength = "60 in"\n'
        '[loop]\nlargest_across = "12 in"\n[end]\nkind = "swaged-sleeve"\n'
        '[breakaway]\nlabel = "350 lb"\npulls_file = "pulls.csv"\n',
        encoding="utf-8",
    )
    opens = valid(run("gear", "chain", str(build), *at, "--json"), "gear-chain")["chain"]["breakaway"]
    assert (opens["pulls"], opens["label_n"]) == (5, pytest.approx(350 * POUND))
    assert opens["low_n"] == pytest.approx(min(pulls) * POUND)
    assert opens["high_n"] == pytest.approx(max(pulls) * POUND)
    assert opens["mean_n"] == pytest.approx(277.2 * POUND)  # their sum, 1386, by five
    assert opens["next_within"] == pytest.approx(4 / 6)
    seen = run("gear", "chain", str(build), *at)
    # The most of the law, 285 lb, lies between the weakest and the strongest that were pulled.
    assert "us-mi: at most 285 lb: may be over" in seen.out
    assert "5 pulled: mean 277 lb" in seen.out
    other = run("gear", "chain", str(build), "--set", "breakaway.pulls_file=", *at)
    assert "350 lb by its label" in other.out


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("date,load_lb\n1,270\n2,strong\n3,-\n", ("row 3", "row 4")),
        ("date,pull\n1,270\n", ("no column holds loads",)),
        ("load_lb,load_n\n1,2\n", ("two columns hold loads",)),
        ("load_lb\n", ("holds no load",)),
        ("", ("no column holds loads",)),
        ("date,load_lb\nMonday,\n", ("row 2",)),
        ("load\n270 stone\n", ("row 2",)),
        (None, ("No such file",)),
    ],
)
def test_a_table_of_pulls_that_cannot_be_read_is_named(
    line: str, tmp_path: Path, text: str | None, wanted: tuple[str, ...]
) -> None:
    path = tmp_path / "pulls.csv"
    if text is not None:
        path.write_text(text, encoding="utf-8")
    seen = run("gear", "chain", *sets(*WORDS, f"breakaway.pulls_file={path}"), "--line", line)
    assert (seen.code, seen.out) == (2, "")
    for words in wanted:
        assert words in seen.err
    assert "pulls.csv" in seen.err


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ((), "there is no build"),
        (("cable.make",), "cannot be read"),
        (("cable.make=6x6",), "6x6"),
        (("wheel.size=3",), "no table [wheel]"),
        (("cable.mke=7x7",), "Did you mean 'make'"),
        (("swivel.count=many",), "no count"),
        (("lock.relaxing=perhaps",), "neither true nor false"),
        (("name=fox", "name.first=x"), "name is no table"),
    ],
)
def test_words_that_make_no_build_are_named(line: str, words: tuple[str, ...], wanted: str) -> None:
    seen = run("gear", "build", *sets(*words), "--line", line)
    assert (seen.code, seen.out) == (2, "")
    assert wanted in seen.err
