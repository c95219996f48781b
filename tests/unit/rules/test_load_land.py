"""Rules on devices, places, seasons, persons and catches are read whole or refused, each fault by its key."""

from pathlib import Path

import pytest

from tendline.core.errors import Refused
from tendline.rules.facts_ask import QUALITIES, WORDS
from tendline.rules.load import read_profile
from tendline.rules.load_needs import NEEDS
from tendline.rules.nouns import EDGES, FEATURES, TAG_WORDS, WAIVERS

ROOT = Path(__file__).parents[3]
HEAD = (ROOT / "tests/data/rules/kinds/head.toml").read_text(encoding="utf-8")
PAGE = (ROOT / "docs/reference/rule-profiles.md").read_text(encoding="utf-8")


def _device(value: str, *, kinds: str = "[25]", more: str = "") -> str:
    return (
        f'[device.a]\nmeaning = "A."\nkinds = {kinds}\nclasses = ["live-restraint"]\n{more}\n'
        f'[[device.a.since]]\nday = 2020-01-01\n{value}\ncite = ["act"]\n'
    )


def _season(name: str, value: str, more: str = 'use = "other"') -> str:
    return (
        f'[season.{name}]\nmeaning = "A."\nkinds = [15]\nclasses = ["live-restraint"]\n{more}\n'
        f'[[season.{name}.since]]\nday = 2020-01-01\n{value}\ncite = ["act"]\n'
    )


def _faults(law: str) -> list[tuple[str, str, str]]:
    with pytest.raises(Refused) as refused:
        read_profile(f"{HEAD}\n{law}", file="own.toml")
    return [(f.code.id, f.where.removeprefix("own.toml: "), f"{f.what} {f.do}") for f in refused.value.faults]


def _one(law: str) -> tuple[str, str, str]:
    found = _faults(law)
    assert len(found) == 1, found
    return found[0]


def test_a_part_that_tendline_does_not_know_is_refused_with_what_is_allowed() -> None:
    code, where, told = _one(_device('measure = "loop-length"\nat_most = "38 in"'))
    assert (code, where) == ("RULE-114", "device.a.since[0].measure")
    assert "loop-open" in told
    assert "[question.ID]" in told


@pytest.mark.parametrize(
    ("value", "code", "key"),
    [
        ('quality = "shiny"\nis = true', "RULE-114", "quality"),
        ('part = "handle"\ncount_at_least = 1', "RULE-114", "part"),
        ('distance = ["castle"]\nat_least = "1 ft"', "RULE-114", "distance"),
        ('height = "middle"\nabove = "ground"\nat_most = "1 ft"', "RULE-114", "height"),
        ('word = "colour"\none_of = ["dull"]', "RULE-114", "word"),
        ('quality = "drag"', "RULE-104", "is"),
        ('measure = "cable-diameter"\nat_least = "3/32 lb"', "RULE-105", "at_least"),
        ('measure = "breakaway"\nat_most = "350 in"', "RULE-105", "at_most"),
        ('measure = "cable-diameter"\nat_least = "3/32 furlong"', "RULE-105", "at_least"),
        ('measure = "loop-open"\nat_most = "38 in"', "RULE-104", "across"),
        ('measure = "cable-diameter"', "RULE-113", "at_most"),
        ('height = "top"\nabove = "moss"\nat_most = "1 ft"', "RULE-106", "above"),
        ('length = ["anchor", "anchor"]\nat_most = "7 ft"', "RULE-113", "length"),
        ('word = "land-class"\none_of = ["swamp"]', "RULE-106", "one_of"),
        ('word = "lock"', "RULE-113", "one_of"),
        ('answer = "weather"\none_of = ["fine"]', "RULE-110", "answer"),
        ('season = "deer"\nopen = true', "RULE-110", "season"),
        ('part = "swivel"', "RULE-113", "part"),
        ('tag = [["shoe size"]]', "RULE-106", "tag"),
        ('tag = "name"', "RULE-105", "tag"),
        ('clear_circle = false', "RULE-105", "clear_circle"),
        ('any_of = [{ quality = "drag", is = false }]', "RULE-113", "any_of"),
        ('quality = "drag"\nis = false\nsurprise = 1', "RULE-103", "surprise"),
    ],
)  # fmt: skip
def test_a_faulty_need_is_told_by_its_key(value: str, code: str, key: str) -> None:
    assert _one(_device(value))[:2] == (code, f"device.a.since[0].{key}")


def test_two_needs_in_one_and_none_at_all_are_refused() -> None:
    two = _one(_device('quality = "drag"\nis = false\nproduce = "it"'))
    assert two[0] == "RULE-113"
    assert "2 things" in two[2]
    assert _one(_device(""))[0] == "RULE-113"


def test_a_fault_deep_in_alternatives_has_its_whole_path() -> None:
    then = 'then = [{ quality = "shiny", is = true }]'
    value = f'any_of = [{{ quality = "drag", is = false }}, {{ produce = "it", {then} }}]'
    assert _one(_device(value))[1] == "device.a.since[0].any_of[1].then[0].quality"


def test_a_limit_without_a_citation_and_dates_that_run_backwards_are_refused() -> None:
    uncited = _device('quality = "drag"\nis = false').replace('cite = ["act"]\n', "")
    assert [f[0] for f in _faults(uncited)] == ["RULE-107", "RULE-108"]  # and nothing rests on the citation
    later = '[[device.a.since]]\nday = 2019-01-01\nquality = "drag"\nis = true\ncite = ["act"]\n'
    assert _one(_device('quality = "drag"\nis = false') + later)[:2] == ("RULE-109", "device.a.since[1].day")


def test_a_kind_that_does_not_belong_in_the_table_is_refused() -> None:
    assert _one(_device('quality = "drag"\nis = false', kinds="[63]"))[:2] == ("RULE-106", "device.a.kinds")
    assert _one(_device('quality = "drag"\nis = false', kinds='["25"]'))[:2] == ("RULE-105", "device.a.kinds")


def test_rules_are_called_by_names_that_are_there_and_only_once() -> None:
    value = 'quality = "drag"\nis = false'
    assert _one(_device(value, more='rival = "b"'))[:2] == ("RULE-110", "device.a.rival")
    assert _one(_device(value, more='replaces = ["b"]'))[:2] == ("RULE-110", "device.a.replaces")
    twice = _device(value) + _device(value).replace("device.a", "tag.a").replace("[25]", "[56]")
    assert _one(twice)[0] == "RULE-113"


@pytest.mark.parametrize(
    ("value", "code", "key"),
    [
        ('form = "sometimes"', "RULE-106", "form"),
        ('form = "window"\nfrom = "12-01"', "RULE-113", "to"),
        ('form = "window"\nfrom = "02-30"\nto = "03-01"', "RULE-105", "from"),
        ('form = "window"\nfrom = "12-01"\nto_season = "b"', "RULE-110", "to_season"),
        ('form = "window"\nfrom = "12-01"\nto = "02-15"\nopens = 7', "RULE-105", "opens"),
        ('form = "window"\nfrom = "12-01"\nto = "02-15"\ninside = ["b"]', "RULE-110", "inside"),
        ('form = "dates"\nopen = [{ from = 2026-02-22, to = 2025-10-25 }]', "RULE-109", "open[0].from"),
        ('form = "quota"\nseason = "b"\ncount = 1\ndays_after = 0', "RULE-110", "season"),
    ],
)  # fmt: skip
def test_a_faulty_season_is_told_by_its_key(value: str, code: str, key: str) -> None:
    assert _one(_season("a", value))[:2] == (code, f"season.a.since[0].{key}")


def test_a_season_for_taking_names_its_animals() -> None:
    assert _one(_season("a", 'form = "all-year"', 'use = "take"'))[:2] == ("RULE-113", "season.a.species")


def test_seasons_that_rest_on_one_another_in_a_ring_are_refused() -> None:
    ring = _season("a", 'form = "all-year"\ninside = ["b"]') + _season(
        "b", 'form = "all-year"\ninside = ["a"]'
    )
    assert {f[:2] for f in _faults(ring)} == {("RULE-113", "season.a"), ("RULE-113", "season.b")}


WITHIN = 'form = "within"\nact = "report"\nto = "them"'


@pytest.mark.parametrize(
    ("table", "value", "code", "key"),
    [
        ("catch", 'form = "cuddle"', "RULE-106", "form"),
        ("catch", 'form = "at-once"\nact = "cuddle"', "RULE-106", "act"),
        ("catch", 'form = "order"\nacts = ["move"]', "RULE-113", "acts"),
        ("catch", 'form = "keep-if"\nwhich = "all"', "RULE-113", "seasons"),
        ("catch", 'form = "possession-end"\nheld = ["live"]', "RULE-113", "until"),
        ("catch", 'form = "possession-end"\nheld = ["frozen"]\nuntil = "03-15"', "RULE-106", "held"),
        ("report", 'form = "whenever"', "RULE-106", "form"),
        ("report", f'{WITHIN}\nlimit = "24 h"\nfrom = "season-close"', "RULE-113", "from"),
        ("report", f'{WITHIN}\nlimit = "a day"\nfrom = "found"', "RULE-105", "limit"),
    ],
)  # fmt: skip
def test_a_faulty_rule_on_a_catch_is_told_by_its_key(table: str, value: str, code: str, key: str) -> None:
    kinds = "[59]" if table == "catch" else "[63]"
    law = _device(value, kinds=kinds).replace("device.a", f"{table}.a")
    assert _one(law)[:2] == (code, f"{table}.a.since[0].{key}")


QUESTION = '[question.side]\nask = "Which?"\n[question.side.answers]\nwest = "West"\neast = "East"\n'


def _zone(name: str, answer: str, west: float, east: float) -> str:
    ring = [[west, 41.0], [east, 41.0], [east, 42.0], [west, 42.0], [west, 41.0]]
    return f'[zone.{name}]\nquestion = "side"\nanswer = "{answer}"\nring = {ring}\ncite = ["act"]\n'


def test_zones_may_share_a_border_and_not_overlap() -> None:
    side = QUESTION + _zone("w", "west", -79.0, -78.0)
    profile = read_profile(f"{HEAD}\n{side + _zone('e', 'east', -78.0, -77.0)}", file="own.toml")
    assert [area.answer for area in profile.areas] == ["west", "east"]
    code, where, told = _one(side + _zone("e", "east", -78.001, -77.0))
    assert (code, where) == ("RULE-115", "zone.e.ring")
    assert "'w' and 'e'" in told


def test_a_zone_that_is_open_or_answers_nothing_is_refused() -> None:
    side = QUESTION + _zone("w", "west", -79.0, -78.0)
    assert _one(side + _zone("e", "north", -78.0, -77.0))[:2] == ("RULE-110", "zone.e.answer")
    unclosed = side.replace(", [-79.0, 41.0]]", ", [-79.0, 41.5]]")
    assert _one(unclosed)[:2] == ("RULE-105", "zone.w.ring")


def test_the_reference_page_holds_every_word_and_its_examples_read() -> None:
    needs = [key for key in NEEDS if key not in ("any_of", "all_of")]
    for word in (*needs, *QUALITIES, *WORDS, *FEATURES, *EDGES, *WAIVERS, *TAG_WORDS):
        assert f"`{word}`" in PAGE, word
    head = HEAD.replace("cite.act", "cite.code-12")
    blocks = [block.split("```")[0] for block in PAGE.split("```toml\n")[1:]]
    new = [block for block in blocks if block.startswith(("[device", "[season", "[catch", "[zone"))]
    assert len(new) == 4
    question = next(block for block in blocks if block.startswith("[question"))
    read_profile("\n".join([head, question, *new]), file="page.toml")
