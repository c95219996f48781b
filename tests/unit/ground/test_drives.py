"""Tables of driving minutes."""

import pytest

from tendline.ground.drives import Drives, read_drives
from tests.unit.ground.support import codes_of, faults_of


def read(text: str) -> Drives:
    return read_drives(text.encode(), file_name="drives.csv")


def test_one_row_gives_both_directions() -> None:
    drives = read("from,to,minutes,miles\nhome,mill,12,5\n").drives
    # 12 min = 720 s; 5 mi x 1609.344 = 8046.72 m (NIST SP 811, appendix B.8).
    there, back = drives["home", "mill"], drives["mill", "home"]
    assert len(drives) == 2
    assert (there.seconds, there.told, back.seconds, back.told) == (720.0, True, 720.0, False)
    assert there.length_m == pytest.approx(8046.72)
    assert back.length_m == pytest.approx(8046.72)


def test_a_row_for_the_way_back_counts_whichever_comes_first() -> None:
    for text in ("from,to,minutes\na,b,10\nb,a,14\n", "from,to,minutes\nb,a,14\na,b,10\n"):
        drives = read(text).drives
        assert drives["a", "b"].seconds == 600.0
        assert drives["b", "a"].seconds == 840.0
        assert drives["a", "b"].told
        assert drives["b", "a"].told


def test_a_one_way_row_gives_one_direction() -> None:
    assert list(read("from,to,minutes,both\na,b,10,no\n").drives) == [("a", "b")]
    assert len(read("from,to,minutes,both\na,b,10,YES\n").drives) == 2


def test_names_are_told_apart_without_regard_to_case() -> None:
    drives = read("from;to;minutes;km\nHome;N 1;10;8\nn 1;mill;5;\n")
    assert drives.names == ("N 1", "home", "mill")
    assert drives.drives["home", "N 1"].length_m == 8000.0
    assert drives.drives["N 1", "mill"].length_m is None
    assert drives.drives["N 1", "mill"].where == "drives.csv, row 3"


def test_all_faults_of_a_drive_table_are_told_in_one_go() -> None:
    text = (
        "from,to,minutes,miles,both\n"
        "a,,10,,\n"
        "a,a,10,,\n"
        "a,b,-1,,\n"
        "a,b,nan,,\n"
        "a,b,601,,\n"
        "a,c,10,60,\n"  # 360 miles an hour
        "a,d,10,,perhaps\n"
        "b,d,10,,\n"
        "b,d,11,,\n"
    )
    assert [(fault.code.id, fault.where) for fault in faults_of(lambda: read(text))] == [
        ("GND-601", "drives.csv, row 2, column to"),
        ("GND-601", "drives.csv, row 3"),
        ("GND-602", "drives.csv, row 4, column minutes"),
        ("GND-602", "drives.csv, row 5, column minutes"),
        ("GND-602", "drives.csv, row 6, column minutes"),
        ("GND-602", "drives.csv, row 7, column miles"),
        ("GND-604", "drives.csv, row 8, column both"),
        ("GND-603", "drives.csv, row 10"),
    ]


def test_the_same_row_twice_is_no_fault() -> None:
    assert len(read("from,to,minutes\na,b,10\na,b,10\n").drives) == 2


@pytest.mark.parametrize(
    ("header", "codes"),
    [
        ("from,to", ["GND-301"]),
        ("minutes", ["GND-301", "GND-301"]),
        ("from,to,minutes,miles,km", ["GND-017"]),
        ("from,to,minutes,hours", ["GND-302"]),
    ],
)
def test_a_header_that_lacks_or_doubles_something_is_refused(header: str, codes: list[str]) -> None:
    assert codes_of(lambda: read(f"{header}\n")) == codes
