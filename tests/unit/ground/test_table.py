"""Tables of places: what is read, and every way in which they can be wrong."""

from datetime import UTC, datetime

import pytest

from tendline.core.place import LonLat
from tendline.ground.brought import Brought, BroughtKind
from tendline.ground.table import COLUMNS, read_table
from tests.unit.ground.support import NOW, ZONE, codes_of, faults_of


def read(text: str | bytes, *, default_kind: BroughtKind | None = None) -> Brought:
    data = text.encode() if isinstance(text, str) else text
    return read_table(data, file_name="line.csv", zone=ZONE, now=NOW, default_kind=default_kind)


FULL = (
    "kind,name,lon,lat,set_at,tag,parcel,landmark,loop_in,bottom_cm,surface,device_class,target,note,"
    "accuracy_ft,parcels,owner,phone\n"
    'set,N3,-78.1,41.2,2026-12-20 05:40,T-07,north,"oak, split",10,25,Packed Snow,live-restraint,coyote,'
    "by gate,16,,,\n"
    "parking,lot,-78.2,41.3,,,,,,,,,,,,north south,,\n"
    "landmark,oak,-78.3,41.4,,,,,,,,,,,,,,\n"
    "parcel,north,,,,,,,,,,,,,,,Ann Example,555 0100\n"
    "device,,,,,T-08,,,,,,cage,,,,,,\n"
)


def test_every_column_ends_up_in_its_place_in_si() -> None:
    brought = read(FULL)
    one = brought.things[0]
    assert one.kind is BroughtKind.SET
    assert one.wanted_name == "N3"
    assert one.place == LonLat(-78.1, 41.2)
    # 05:40 in New York in December is five hours behind UTC.
    assert one.at == datetime(2026, 12, 20, 10, 40, tzinfo=UTC)
    # 10 in x 0.0254 = 0.254 m; 16 ft x 0.3048 = 4.8768 m: NIST SP 811 (2008), appendix B.8.
    assert one.facts == {
        "tag": "T-07",
        "parcel": "north",
        "landmark": "oak, split",
        "loop_m": pytest.approx(0.254, abs=1e-15),
        "bottom_m": pytest.approx(0.25, abs=1e-15),
        "surface": "packed-snow",
        "device_class": "live-restraint",
        "target": "coyote",
        "note": "by gate",
        "accuracy_m": pytest.approx(4.8768, abs=1e-12),
    }
    assert one.where == "line.csv, row 2"
    assert brought.things[1].facts == {"parcels": "north;south"}
    assert brought.things[3].facts == {"owner": "Ann Example", "phone": "555 0100"}
    assert brought.things[3].place is None
    assert brought.things[4].facts == {"tag": "T-08", "device_class": "cage"}
    assert [thing.key for thing in brought.things] == [
        "set:N3",
        "parking:lot",
        "landmark:oak",
        "parcel:north",
        "device:tag T-08",
    ]
    assert brought.warnings == ()
    assert brought.file_name == "line.csv"
    assert len(brought.sha256) == 64


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_separator_line_ending_and_byte_order_mark_do_not_matter(
    separator: str, ending: str, mark: bytes
) -> None:
    rows = [["Kind", " LON ", "lat", "name"], ["set", "-78.1", "41.2", "Bär"], ["", "", "", ""]]
    text = ending.join(separator.join(row) for row in rows) + ending
    thing = read(mark + text.encode()).things[0]
    assert (thing.kind, thing.place, thing.wanted_name) == (BroughtKind.SET, LonLat(-78.1, 41.2), "Bär")


def test_a_circumference_becomes_the_width_of_the_circle() -> None:
    # A loop of 31.4159265... in round is a circle 10 in wide: 10 pi / pi = 10.
    thing = read("kind,lon,lat,loop_circ_in\nset,-78,41,31.41592653589793\n").things[0]
    assert thing.facts["loop_m"] == pytest.approx(0.254, rel=1e-15)


@pytest.mark.parametrize(("text", "inches"), [("9 1/2", 9.5), ("19/2", 9.5), ("9.5", 9.5), ("+9.5e0", 9.5)])
def test_a_measure_may_be_a_fraction(text: str, inches: float) -> None:
    thing = read(f"kind,lon,lat,loop_in\nset,-78,41,{text}\n").things[0]
    assert thing.facts["loop_m"] == pytest.approx(inches * 0.0254, rel=1e-14)


def test_a_row_without_a_kind_takes_the_kind_that_was_told() -> None:
    brought = read("lon,lat\n-78,41\n-78.5,41\n", default_kind=BroughtKind.LANDMARK)
    assert [thing.kind for thing in brought.things] == [BroughtKind.LANDMARK, BroughtKind.LANDMARK]
    assert brought.things[0].key == "landmark@-78.0000000,41.0000000"


def test_rows_without_a_kind_are_told_together() -> None:
    (fault,) = faults_of(lambda: read("lon,lat\n-78,41\n-78,42\n\n-78,43\n"))
    assert fault.code.id == "GND-011"
    assert "3 rows without a kind: rows 2-3, 5." in fault.what
    assert "--as set" in fault.do


def test_an_unknown_kind_is_told_with_the_nearest_known() -> None:
    (fault,) = faults_of(lambda: read("kind,lon,lat\nparkin,-78,41\n"))
    assert (fault.code.id, fault.where) == ("GND-012", "line.csv, row 2, column kind")
    assert "Did you mean 'parking'?" in fault.do


@pytest.mark.parametrize(
    ("lon", "lat", "said"),
    [
        ("", "41", "is not a number of degrees"),
        ("nan", "41", "'nan' is not a number of degrees"),
        ("inf", "41", "'inf' is not a number of degrees"),
        ("-78,1", "41", "'-78,1' is not a number of degrees"),
        ("1_0", "41", "'1_0' is not a number of degrees"),
        ("41.2", "-78.1", "look swapped"),
        ("41.2", "-98.1", "look swapped"),
        ("0", "0", "without a fix"),
        ("431000", "4518000", "map projection"),
        ("181", "41", "Longitude runs from -180 to 180"),
        ("1e400", "41", "longitude inf"),
    ],
)
def test_a_place_that_cannot_be_right_is_refused(lon: str, lat: str, said: str) -> None:
    (fault,) = faults_of(lambda: read(f"kind;lon;lat\nset;{lon};{lat}\n"))
    assert fault.code.id == "GND-013"
    assert fault.where.startswith("line.csv, row 2")
    assert said in fault.what + fault.do


def test_a_set_without_a_place_is_refused() -> None:
    assert codes_of(lambda: read("kind,name\nset,N1\n")) == ["GND-013"]


@pytest.mark.parametrize(
    ("text", "code", "said"),
    [
        ("1926-11-20", "GND-014", "a date in 1926"),
        ("1979-12-31T23:59Z", "GND-014", "a date in 1979"),
        ("2027-01-15T12:01Z", "GND-014", "a date in the future"),
        ("05:40", "GND-015", "has no date"),
        ("11/20/2026", "CORE-201", "is not a time"),
        ("2026-03-08 02:30", "CORE-203", "does not exist"),
        ("2026-11-01 01:30", "CORE-204", "comes twice"),
    ],
)
def test_a_date_that_cannot_be_right_is_refused(text: str, code: str, said: str) -> None:
    (fault,) = faults_of(lambda: read(f"kind,lon,lat,set_at\nset,-78,41,{text}\n"))
    assert (fault.code.id, fault.where) == (code, "line.csv, row 2, column set_at")
    assert said in fault.what


def test_the_present_itself_and_the_first_of_1980_are_good_dates() -> None:
    brought = read("kind,lon,lat,set_at\nset,-78,41,2027-01-15T12:00Z\nset,-78,42,1980-01-01T00:00Z\n")
    assert [thing.at for thing in brought.things] == [NOW, datetime(1980, 1, 1, tzinfo=UTC)]


def test_a_date_without_a_time_is_the_start_of_that_day_and_says_so() -> None:
    brought = read("kind,lon,lat,set_at\nset,-78,41,2026-12-20\n")
    assert brought.things[0].at == datetime(2026, 12, 20, 5, 0, tzinfo=UTC)
    (warning,) = brought.warnings
    assert warning.startswith("line.csv, row 2, column set_at: 2026-12-20 has no clock time; taken as 00:00")


@pytest.mark.parametrize(
    ("column", "text"),
    [
        ("loop_in", "0"),
        ("loop_in", "-3"),
        ("loop_in", "40"),  # 1.016 m
        ("loop_m", "1.0001"),
        ("loop_m", "0.0199"),
        ("loop_circ_in", "124"),  # 124 / pi = 39.47 in = 1.0026 m
        ("loop_in", "ten"),
        ("loop_in", "nan"),
        ("loop_in", "1/0"),
        ("loop_in", "10in"),
        ("bottom_in", "-0.1"),
        ("bottom_m", "2.01"),
        ("accuracy_m", "0"),
    ],
)
def test_a_measure_that_cannot_be_right_is_refused(column: str, text: str) -> None:
    (fault,) = faults_of(lambda: read(f"kind,lon,lat,{column}\nset,-78,41,{text}\n"))
    assert (fault.code.id, fault.where) == ("GND-015", f"line.csv, row 2, column {column}")
    assert f"'{text}'" in fault.what


def test_the_limits_of_a_measure_are_told_in_the_unit_of_its_column() -> None:
    (fault,) = faults_of(lambda: read("kind,lon,lat,loop_in\nset,-78,41,-3\n"))
    # 0.02 m / 0.0254 = 0.7874 in; 1 m / 0.0254 = 39.37 in.
    assert fault.do == "Give the width of the loop as a circle in inches, from 0.7874 to 39.37."


def test_the_smallest_and_largest_measures_are_still_good() -> None:
    facts = read("kind,lon,lat,loop_m,bottom_m\nset,-78,41,1,2\nset,-78,41.1,0.02,0\n").things
    assert [thing.facts["bottom_m"] for thing in facts] == [2.0, 0.0]


@pytest.mark.parametrize("column", ["loop", "bottom", "accuracy", "loop_circ"])
def test_a_measure_without_a_unit_is_refused(column: str) -> None:
    (fault,) = faults_of(lambda: read(f"kind,lon,lat,{column}\nset,-78,41,10\n"))
    assert fault.code.id == "GND-016"
    assert fault.do.startswith(f"{column}: say the unit: {column}_in or {column}_cm")


@pytest.mark.parametrize("pair", ["loop_in,loop_cm", "loop_in,loop_circ_in", "seconds,crossing_seconds"])
def test_two_columns_for_one_measure_are_refused(pair: str) -> None:
    assert codes_of(lambda: read(f"kind,lon,lat,{pair}\nlandmark,-78,41,,\n")) == ["GND-017"]


def test_a_word_outside_its_list_is_refused_with_the_nearest() -> None:
    (fault,) = faults_of(lambda: read("kind,lon,lat,surface\nset,-78,41,crusty\n"))
    assert (fault.code.id, fault.where) == ("GND-018", "line.csv, row 2, column surface")
    assert "Did you mean 'crust'?" in fault.do
    assert codes_of(lambda: read("kind,lon,lat,device_class\nset,-78,41,snap\n")) == ["GND-018"]


def test_a_tag_given_twice_is_refused_with_both_rows() -> None:
    (fault,) = faults_of(lambda: read("kind,lon,lat,tag\nset,-78,41,T1\nset,-78,42,t1\n"))
    assert fault.code.id == "GND-019"
    assert "line.csv, row 2; line.csv, row 3" in fault.what


def test_a_device_without_a_tag_is_refused() -> None:
    (fault,) = faults_of(lambda: read("kind,device_class\ndevice,cage\n"))
    assert (fault.code.id, fault.where) == ("GND-021", "line.csv, row 2, column tag")


def test_a_name_given_twice_is_only_warned_of_and_gets_a_key_of_its_own() -> None:
    brought = read("kind,lon,lat,name\nset,-78,41,N1\nset,-78,42,N1\nset,-78,42,N1\n")
    assert [thing.key for thing in brought.things] == [
        "set:N1",
        "set:N1@-78.0000000,42.0000000",
        "set:N1@-78.0000000,42.0000000#2",
    ]
    assert brought.warnings == (
        "line.csv: 3 set entries are called 'N1'; each gets a short name of its own.",
    )


def test_a_track_cannot_stand_in_a_table() -> None:
    assert codes_of(lambda: read("kind,name\ntrack,walk\n")) == ["GND-020"]


def test_what_means_nothing_for_a_kind_is_left_out_and_told() -> None:
    brought = read("kind,lon,lat,loop_in,set_at\nparking,-78,41,10,2026-12-20 05:40\n")
    assert brought.things[0].facts == {}
    assert brought.things[0].at is None
    assert len(brought.warnings) == 2
    assert "column loop_in: '10' means nothing for a parking" in brought.warnings[1]


def test_an_unknown_column_is_refused_with_the_known_ones_and_the_nearest() -> None:
    (fault,) = faults_of(lambda: read("kind,lon,lat,landmrk\nset,-78,41,oak\n"))
    assert (fault.code.id, fault.where) == ("GND-302", "line.csv, row 1")
    assert "Did you mean 'landmark'?" in fault.do
    assert all(name in fault.do for name in COLUMNS)


def test_a_column_with_values_but_no_name_is_refused_and_an_empty_one_is_not() -> None:
    assert codes_of(lambda: read("kind,lon,lat,\nset,-78,41,oak\n")) == ["GND-302"]
    assert len(read("kind,lon,lat,\nset,-78,41,\n").things) == 1


def test_a_column_that_comes_twice_is_refused() -> None:
    assert codes_of(lambda: read("kind,lon,lat,Longitude\nset,-78,41,-79\n")) == ["GND-303"]


@pytest.mark.parametrize("row", ["set,-78", "set,-78,41,oak"])
def test_a_row_of_the_wrong_length_is_refused(row: str) -> None:
    (fault,) = faults_of(lambda: read(f"kind,lon,lat\n{row}\n"))
    assert (fault.code.id, fault.where) == ("GND-304", "line.csv, row 2")


@pytest.mark.parametrize(
    "data", [b'kind,lon,lat\nset,"-78,41\n', b"kind,lon,lat\nset,-78,41\0\n", b'kind,lon,lat\nset,"a"b,1\n']
)
def test_quotes_and_characters_that_make_no_sense_are_refused(data: bytes) -> None:
    (fault,) = faults_of(lambda: read(data))
    assert fault.code.id == "GND-305"
    assert "line.csv, line " in fault.where


@pytest.mark.parametrize("data", [b"\nkind,lon,lat\n", b",,\nset,1,2\n"])
def test_a_table_without_a_header_is_refused(data: bytes) -> None:
    assert codes_of(lambda: read(data)) == ["GND-301"]


def test_old_code_pages_are_refused_with_the_line() -> None:
    data = "kind,lon,lat,name\nset,-78,41,A\nset,-78,42,Müller\n".encode("cp1252")
    (fault,) = faults_of(lambda: read(data))
    assert (fault.code.id, fault.where) == ("GND-004", "line.csv, line 3")
    assert "0xfc" in fault.what
    assert codes_of(lambda: read("kind,lon,lat\n".encode("utf-16"))) == ["GND-004"]


def test_all_faults_of_a_table_are_told_in_one_go() -> None:
    text = (
        "kind,lon,lat,loop_in,bottom,set_at,colour\n"
        "set,-78,41,-3,10,2026-12-20 05:40,red\n"
        "set,-78,41,10,10,1926-12-20 05:40,red\n"
        "sett,-78,41,10,10,,red\n"
        "set,200,41,ten,10,,red\n"
        ",-78,41,10,10,,red\n"
    )
    found = [(fault.code.id, fault.where.removeprefix("line.csv").removeprefix(", ")) for fault in
             faults_of(lambda: read(text))]  # fmt: skip
    assert found == [
        ("GND-302", "row 1"),
        ("GND-016", "row 1"),
        ("GND-015", "row 2, column loop_in"),
        ("GND-014", "row 3, column set_at"),
        ("GND-012", "row 4, column kind"),
        ("GND-013", "row 5"),
        ("GND-015", "row 5, column loop_in"),
        ("GND-011", ""),
    ]


def test_a_header_alone_is_read_with_a_warning() -> None:
    assert read("kind,lon,lat\n").warnings == ("line.csv: the table has a header and no rows.",)
