"""Single values of `line.toml` changed: the rest stays to the last letter, the old line as a comment."""

from datetime import date
from pathlib import Path

import pytest

from tendline.core.errors import Refused
from tendline.jobs.settings_change import Change, change_settings, changed
from tendline.jobs.settings_file import read_settings
from tests.unit.jobs.test_settings_file import first

DAY = date(2027, 1, 20)
OWN = Change("walk", "own", "1.18", "learned: 7 outings")


def test_only_the_line_of_the_key_changes(tmp_path: Path) -> None:
    path = first(tmp_path)
    before = path.read_text(encoding="utf-8").splitlines()
    change_settings(path, [OWN], day=DAY)
    after = path.read_text(encoding="utf-8").splitlines()
    assert read_settings(path).walk.own == 1.18
    new = [line for line in after if line not in before]
    (old,) = [line for line in before if line not in after]
    assert new == [f"# until 2027-01-20: {old}", "own = 1.18   # learned: 7 outings"]
    change_settings(path, [Change("walk", "own", "1.3", "again")], day=DAY)
    assert read_settings(path).walk.own == 1.3
    assert path.read_text().count("# until 2027-01-20: ") == 2


def test_a_key_or_table_that_is_not_there_is_added() -> None:
    text = 'name = "x"\n\n[walk]\nsnow = 1.0\n\n[time]\nlook_min = 1\n'
    found = changed(text, OWN, day=DAY)
    assert found.splitlines()[2:5] == ["[walk]", "own = 1.18   # learned: 7 outings", "snow = 1.0"]
    found = changed('name = "x"\n', OWN, day=DAY)
    assert found.splitlines()[-2:] == ["[walk]", "own = 1.18   # learned: 7 outings"]


def test_a_key_of_the_same_name_in_another_table_is_left_alone() -> None:
    text = "[drive]\ndetour = 1.4\n[walk]\ndetour = 1.3\n"
    found = changed(text, Change("walk", "detour", "1.5", "learned"), day=DAY)
    assert found.splitlines()[1] == "detour = 1.4"


def test_what_says_the_same_thing_is_turned_into_a_comment(tmp_path: Path) -> None:
    path = first(tmp_path)
    path.write_text(path.read_text().replace("# sink_in = 8 ", "sink_in = 8 "), encoding="utf-8")
    assert read_settings(path).walk.sink_m == pytest.approx(0.2032)  # 8 x 25.4 mm
    change_settings(path, [Change("walk", "snow", "1.6", "learned", ("sink_cm", "sink_in"))], day=DAY)
    found = read_settings(path).walk
    assert (found.snow, found.sink_m) == (1.6, None)


def test_a_value_that_cannot_be_is_refused_and_nothing_is_written(tmp_path: Path) -> None:
    path = first(tmp_path)
    before = path.read_bytes()
    with pytest.raises(Refused, match="JOB-203"):
        change_settings(path, [OWN, Change("walk", "snow", "0.2", "learned")], day=DAY)
    assert path.read_bytes() == before


def test_two_keys_that_say_the_same_are_told(tmp_path: Path) -> None:
    path = first(tmp_path)
    text = path.read_text().replace("# load_lb = 30 ", "load_lb = 30\nload_kg = 14 ")
    path.write_text(text.replace("snow = 1.0 ", "snow = 1.4\nsink_cm = 20 "), encoding="utf-8")
    with pytest.raises(Refused) as caught:
        read_settings(path)
    assert [fault.code.id for fault in caught.value.faults] == ["JOB-203", "JOB-203"]
    assert "walk.snow and walk.sink_cm" in caught.value.faults[0].what


def test_a_key_at_the_head_is_changed_added_and_taken_away() -> None:
    text = 'name = "x"\nprofiles = [\n  "a",\n]\n# home = [0, 0]\n\n[walk]\nname = "y"\n'
    found = changed(text, Change("", "profiles", '["b"]', "asked"), day=DAY).splitlines()
    assert found[1:5] == [
        "# until 2027-01-20: profiles = [",
        '# until 2027-01-20: "a",',
        "# until 2027-01-20: ]",
        'profiles = ["b"]   # asked',
    ]
    found = changed(text, Change("", "home", "[1, 2]", "asked"), day=DAY).splitlines()
    assert found[-4:] == ["# home = [0, 0]", "", "[walk]", 'name = "y"']
    assert "home = [1, 2]   # asked" in found[:6]
    gone = changed(text, Change("", "name", None, "asked"), day=DAY).splitlines()
    assert (gone[0], gone[-1]) == ('# until 2027-01-20: name = "x"', 'name = "y"')
    assert changed(text, Change("drive", "detour", None, "asked"), day=DAY) == text
