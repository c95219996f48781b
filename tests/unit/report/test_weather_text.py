"""The outlook in words: tonight before tomorrow, sets by name, and plain about what is not known."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from tendline.almanac.datum import Base, Snow
from tendline.core.forecast import NOTHING, Between, Forecast, Step
from tendline.core.settings import Settings
from tendline.core.units import METRES_PER_INCH as INCH
from tendline.core.units import Units
from tendline.core.when import Span
from tendline.core.words import Surface
from tendline.plan.spoil import Asked, outlook
from tendline.plan.spoil_nouns import AtStake, Band, Point
from tendline.report.weather_json import weather_document
from tendline.report.weather_text import NOT_MEASURED, Told, weather_text

ZONE = ZoneInfo("America/New_York")
NOW = datetime(2026, 1, 15, 18, tzinfo=UTC)
LAW = Band(Point.BOTTOM, Base.FIRST_HARD, 6 * INCH, 12 * INCH, "us-pa bottom", "6 to 12 in", verified=False)


def told(
    *inches: float,
    air: float = -8.0,
    snow: float = 0.0,
    waters: tuple[str, ...] = (),
    units: Units = Units.US,
) -> Told:
    steps = []
    for i in range(6):
        span = Span(NOW + timedelta(hours=6 * i), NOW + timedelta(hours=6 * i + 6))
        falls = Between(snow, snow) if i == 1 else None
        steps.append(
            Step(span, Between(air, air), NOTHING if falls is None else None, falls, Between(30, 30))
        )
    made = Forecast("made up", tuple(steps))
    sets = [
        AtStake(
            f"N{i}",
            landmark="three birches",
            heights={
                Point.BOTTOM: {Base.GROUND: Between(x * INCH, x * INCH)},
                Point.TOP: {Base.GROUND: Between((x + 14) * INCH, (x + 14) * INCH)},
            },
            snow=Snow(0.0, Surface.GROUND),
            laws=(LAW,),
            sheltered=True,
        )
        for i, x in enumerate(inches, start=1)
    ]
    settings = Settings("North", ZONE, units=units)
    return Told(made, outlook(sets, made, Asked(NOW, ZONE, 2, 100, 1)), waters, settings, NOW)


def words(one: Told, *, everything: bool = False) -> str:
    return " ".join(weather_text(one, width=120, everything=everything).split())


def test_tonight_stands_before_tomorrow_and_each_names_its_sets() -> None:
    text = weather_text(told(4, 9, 9, snow=0.3), width=120)
    assert NOT_MEASURED.split(":", maxsplit=1)[0] in text
    tonight, later = text.index("Tonight:"), text.index("Tomorrow, or by the day named:")
    assert tonight < text.index("raise", tonight) < later
    # Two sets with one reason stand together, each by its name.
    assert "N2, N3" in text[later:]
    assert "not verified" in text[tonight:later]


def test_nothing_to_do_is_said_without_empty_tables() -> None:
    text = weather_text(told(9), width=120)
    assert "1 to leave" in text
    assert "Tonight:" not in text
    assert "Heights" not in text


def test_every_set_and_day_is_told_when_asked_for() -> None:
    text = words(told(9, 9), everything=True)
    assert "N1" in text
    assert "N2" in text
    assert "9 in" in text
    assert "first hard surface" in text


def test_a_buried_loop_says_how_it_is_found() -> None:
    text = words(told(9, snow=3.0))
    assert "pull" in text
    assert "three birches; how high it stands is not noted" in text


def test_thaw_warns_of_the_ice_by_name_and_frost_does_not_trust_it() -> None:
    assert "keep off the ice" in words(told(9, air=6.0))
    assert "mill creek" in words(told(9, air=6.0, waters=("mill creek",)))
    assert "stay off what you have not tested" in words(told(9, waters=("mill creek",)))


def test_cold_is_told_in_bands() -> None:
    # -30 degrees and 30 km/h: wind chill -45.6, bare skin freezes in 5 to 10 minutes.
    text = words(told(9, air=-30.0))
    assert "very high; bare skin freezes in 5 to 10 minutes" in text
    assert "turn back early" in text
    assert "-46 C" in words(told(9, air=-30.0, units=Units.METRIC))
    assert "turn back" not in words(told(9, air=3.0))


def test_the_document_says_that_nothing_was_measured() -> None:
    data = weather_document(told(4, 9))
    assert data["forecast"]["measured"] is False
    assert [one["set"] for one in data["sets"]] == ["N1", "N2"]
    assert data["sets"][0]["do"] == "raise"
