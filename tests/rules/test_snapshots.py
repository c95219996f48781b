"""What each shipped profile says of one standard set on 400 days, against the answers kept from before.

A difference is not an error by itself: it is a change of answers, to be read and then kept with
`python -m tools.make_rule_snapshots`. What the answers should be stands in the case files beside this one.
"""

import json
from datetime import date
from pathlib import Path

import pytest

from tendline.rules.load import load_profile, read_profile, shipped_profiles
from tools.make_rule_snapshots import COUNT, FIRST, FOLDER, snapshot, text_of
from tools.rule_standard import SPOTS

PACKS = Path(__file__).parents[2] / "src" / "tendline" / "rules" / "packs"


@pytest.mark.parametrize("name", shipped_profiles())
def test_no_answer_of_the_standard_days_has_changed_unread(name: str) -> None:
    kept = (FOLDER / f"{name}.json").read_text(encoding="utf-8")
    now = text_of(snapshot(load_profile(name)))
    assert json.loads(kept)["changes"] == json.loads(now)["changes"], f"{name}: read what changed"
    assert kept == now


def test_every_shipped_profile_has_its_snapshot_and_its_place() -> None:
    assert set(shipped_profiles()) == {path.stem for path in FOLDER.glob("*.json")} == set(SPOTS)


def test_the_standard_days_run_from_before_the_reading_through_a_winter_and_both_changes_of_the_clocks() -> (
    None
):
    last = date.fromordinal(FIRST.toordinal() + COUNT - 1)
    assert COUNT == 400
    assert FIRST < date(2026, 11, 1) < date(2026, 11, 25) < date(2027, 3, 14) < last


def test_a_limit_an_hour_shorter_shows_as_a_difference() -> None:
    text = (PACKS / "us" / "nj.toml").read_text(encoding="utf-8")
    altered = read_profile(text.replace('limit = "24 h"', 'limit = "23 h"', 1), file="altered.toml")
    kept = json.loads((FOLDER / "us-nj.json").read_text(encoding="utf-8"))
    found = snapshot(altered)
    assert found["sha256"] != kept["sha256"]
    assert "due at, visit, 23 h" in json.dumps(found["changes"])
    assert "due at, visit, 23 h" not in json.dumps(kept["changes"])
