"""The cold of a round: by a forecast, by what was noted, on screen, as JSON and on the card."""

from pathlib import Path

import pypdfium2
import pytest

from tests.journeys.run import done, run

AT = "2027-01-14T20:30-05:00"
ROUND = ("--start", "05:00", "--back", "10:00", "--iterations", "50", "--at", AT)
COLD = "tonight 0 to 5 F, wind 15 mph; tomorrow -10 to 5 F, wind 20 mph"


@pytest.fixture
def line(tmp_path: Path) -> str:
    folder = str(tmp_path / "line")
    zone = ("--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    done("start", folder, *zone, "--profile", "us-pa")
    at = ("--line", folder, "--at", "2027-01-14T06:00-05:00")
    done("note", "parcel", "mill", "--outline", "-78.02,41.5 -78,41.5 -78,41.52 -78.02,41.52", *at)
    done("note", "parking", "P1", "--parcels", "mill", "--at-place=-78.01,41.51", *at)
    done("note", "set-made", "N1", "--tag", "1", "--parcel", "mill", "--at-place=-78.011,41.511", *at)
    return folder


def cautions(line: str, *words: str) -> str:
    return " ".join(done("round", *ROUND, "--line", line, *words, "--json").data["cautions"])


def test_a_forecast_puts_the_cold_on_the_round_and_on_the_card(line: str, tmp_path: Path) -> None:
    assert "Cold" not in cautions(line)
    said = cautions(line, "--weather", COLD)
    # National Weather Service chart: 0 F and 15 mph is -19 F; -10 F and 20 mph is -35 F.
    assert "forecast, not measured" in said
    assert "bare skin can freeze in 10 to 30 minutes" in said
    shown = " ".join(done("round", *ROUND, "--line", line, "--weather", COLD).out.split())
    assert "bare skin can freeze" in shown
    card = tmp_path / "card.pdf"
    done("paper", "route-card", *ROUND, "--line", line, "--weather", COLD, "--out", str(card))
    document = pypdfium2.PdfDocument(card)
    text = " ".join(document[0].get_textpage().get_text_range().split())
    document.close()
    assert "bare skin can freeze" in text


def test_a_saved_table_is_read_and_a_wrong_one_is_named(line: str, tmp_path: Path) -> None:
    table = tmp_path / "ahead.csv"
    rows = ("14 20:00,10,0,5", "14 23:00,10,0,5", "15 02:00,5,0,5", "15 05:00,0,0,15", "15 08:00,20,0,5")
    text = "\n".join(["time,temp_f,snow_in,wind_mph", *(f"2027-01-{row}" for row in rows), ""])
    table.write_text(text, encoding="utf-8")
    assert "wind chill -19 F" in cautions(line, "--forecast", str(table))
    for words in (("--forecast", str(tmp_path / "none.csv")), ("--weather", "much")):
        assert run("round", *ROUND, "--line", line, *words).code == 2, words
    both = run("round", *ROUND, "--line", line, "--forecast", str(table), "--weather", COLD)
    assert (both.code, "JOB-301" in both.err) == (2, True)


def test_air_and_wind_that_somebody_noted_do_as_well(line: str) -> None:
    at = ("--line", line, "--at", "2027-01-14T20:00-05:00")
    done("note", "weather-seen", "--air", "-20F", *at)
    assert "no wind told" in cautions(line)
    later = ("--line", line, "--at", "2027-01-14T20:10-05:00")
    done("note", "weather-seen", "--air", "-20F", "--wind", "15 mph", *later)
    # National Weather Service chart: -20 F and 15 mph is -45 F.
    assert "wind chill -45 F (noted)" in cautions(line)
    assert run("note", "weather-seen", "--wind", "15", *at).code == 2
