"""What weather spoils: heights by law and animal, burial, frost and thaw, what to do, time to fix."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tendline.almanac.datum import Base, Snow
from tendline.core.errors import Refused
from tendline.core.forecast import NOTHING, Between, Forecast, Step
from tendline.core.units import METRES_PER_INCH as INCH
from tendline.core.when import Span
from tendline.core.words import Surface
from tendline.plan.snow_draws import Spread, drawn_weather
from tendline.plan.snowpack import Pack
from tendline.plan.spoil import Asked, outlook
from tendline.plan.spoil_nouns import Act, AtStake, Band, Outlook, Point, SetOutlook

ZONE = ZoneInfo("America/New_York")
NOW = datetime(2026, 1, 15, 18, tzinfo=UTC)  # 13:00 EST
FRIDAY = date(2026, 1, 16)

PENNSYLVANIA = Band(Point.BOTTOM, Base.FIRST_HARD, 6 * INCH, 12 * INCH, "us-pa height.bottom")
"""58 Pa. Code 141.66: the bottom 6 to 12 in above the first surface beneath, loose snow not counted."""

MICHIGAN = Band(Point.TOP, Base.FOOTPRINT, None, 24 * INCH, "us-mi height.top")
"""Michigan: the top at most 24 in above the snow compacted in one's own footprint."""

COYOTE = Band(Point.BOTTOM, Base.FIRST_HARD, 10 * INCH, 12 * INCH, "coyote")
"""Extension fact sheet 6.517, table 1."""


def forecast(*steps: tuple[float, Between | None, Between | None], wind: float | None = 5.0) -> Forecast:
    """Make steps of six hours: air, water, snow."""
    made = []
    for i, (air, water, snow) in enumerate(steps):
        span = Span(NOW + timedelta(hours=6 * i), NOW + timedelta(hours=6 * i + 6))
        blow = None if wind is None else Between(wind, wind)
        made.append(Step(span, Between(air, air), water, snow, blow))
    return Forecast("made up", tuple(made))


def amount(value: float) -> Between:
    return Between(value, value)


DRY = (-8.0, NOTHING, None)


def at(metres: float) -> dict[Base, Between]:
    return {base: amount(metres) for base in (Base.GROUND, Base.FIRST_HARD)}


def bare(name: str = "N1", bottom: float = 10.0, **more: object) -> AtStake:
    """Make a set on bare ground, its bottom so many inches up, its loop hung 14 in high."""
    heights = {Point.BOTTOM: at(bottom * INCH), Point.TOP: at((bottom + 14) * INCH)}
    base = AtStake(name, heights=heights, snow=Snow(0.0, Surface.GROUND), laws=(PENNSYLVANIA,))
    return replace(base, **more)  # type: ignore[arg-type]


def asked(**more: int) -> Asked:
    return Asked(NOW, ZONE, **{"days": 3, "members": 200, **more})


def only(found: Outlook) -> SetOutlook:
    (one,) = found.sets
    return one


def test_the_snow_over_a_trail_is_as_worked_by_hand() -> None:
    # 12 mm at -8 degrees: 17.08 cm at first, 15.46 cm a day later (Hedstrom-Pomeroy and SNOW-17, by hand in
    # one step). Without spread, in six-hour steps; the first half of the members goes by those two.
    still = Spread(*(0.0,) * 11)
    made = forecast((-8.0, amount(12.0), None), DRY, DRY, DRY)
    drawn = drawn_weather(made.steps, now=NOW, zone=ZONE, members=20, seed=1, spread=still)
    pack = Pack([bare()], members=20, seed=1, winter_day=15, spread=still)
    for weather in drawn:
        pack.step(weather)
    assert pack.fallen[0, 0] == pytest.approx(0.1708, abs=1e-4)
    assert pack.depth[0, :10] == pytest.approx(0.1546, rel=0.01)
    # The other models: Anderson's new snow at -8 is 81.5 kg/m3, and delta.snow settles that 14.73 cm by
    # 12 mm * 9.81 * 86400 / 8523356 * exp(-0.02993 * 81.5) = 0.104: to 13.3 cm.
    assert pack.depth[0, 15] == pytest.approx(0.133, rel=0.01)


def test_powder_does_not_count_for_pennsylvania_until_it_bears() -> None:
    found = only(outlook([bare()], forecast((-8.0, None, amount(0.15)), *[DRY] * 6), asked()))
    law = found.days[-1].laws[0]
    assert law.wrong_low == law.wrong_high == 0.0
    assert law.low_m == pytest.approx(10 * INCH)
    assert found.days[-1].fallen_m.low < 0.15 < found.days[-1].fallen_m.high
    # Settled, and less than fell.
    assert found.days[-1].loose_m.high < found.days[-1].fallen_m.high
    assert found.days[-1].packed_m.high < 0.5 * found.days[-1].loose_m.high


def test_snow_that_thaws_and_freezes_bears_and_then_the_loop_is_too_low() -> None:
    made = forecast((-4.0, None, amount(0.3)), (4.0, amount(2.0), None), *[(-9.0, NOTHING, None)] * 6)
    found = only(outlook([bare()], made, asked()))
    assert found.days[0].laws[0].wrong_low < 0.2
    assert found.days[-1].laws[0].wrong_low > 0.5
    assert found.days[-1].frozen > 0.9
    assert any("work them free" in said for said in found.also)


def test_a_thaw_takes_the_packed_trail_away_and_the_loop_hangs_too_high() -> None:
    # 8 in up over 8 in of packed snow: 16 in over the ground, four more than Pennsylvania allows.
    heights = {Point.BOTTOM: {Base.GROUND: amount(16 * INCH), Base.FIRST_HARD: amount(8 * INCH)}}
    one = bare(heights=heights, snow=Snow(8 * INCH, Surface.PACKED_SNOW))
    found = only(outlook([one], forecast(*[(10.0, amount(10.0), None)] * 10), asked()))
    assert found.days[0].laws[0].wrong_high < 0.1
    assert found.days[-1].laws[0].wrong_high > 0.5
    cold = only(outlook([one], forecast(*[DRY] * 10), asked()))
    assert cold.days[-1].laws[0].wrong_high == 0.0
    assert cold.advice.act is Act.LEAVE


def test_michigan_measures_the_top_from_a_footprint() -> None:
    # Top 24 in over the ground is just lawful; a footprint in new snow only makes it lower.
    fine = bare(bottom=10, laws=(MICHIGAN,))
    found = only(outlook([fine], forecast((-8.0, None, amount(0.2)), *[DRY] * 6), asked()))
    assert found.days[-1].laws[0].wrong_high == 0.0
    assert found.days[-1].laws[0].low_m < 23 * INCH
    # Hung on 6 in of packed snow at 24 in, it stands 30 in up once that is gone.
    heights = {Point.TOP: {Base.GROUND: amount(30 * INCH), Base.FOOTPRINT: amount(24 * INCH)}}
    high = bare(laws=(MICHIGAN,), heights=heights, snow=Snow(6 * INCH, Surface.PACKED_SNOW))
    thaw = only(outlook([high], forecast(*[(8.0, amount(10.0), None)] * 10), asked()))
    assert thaw.days[-1].laws[0].wrong_high > 0.9
    assert thaw.advice.act in (Act.LOWER, Act.LOOK)


def test_deep_snow_covers_the_loop_and_it_is_taken_up_tonight() -> None:
    made = forecast((-6.0, None, amount(0.6)), (-6.0, None, amount(0.6)), *[DRY] * 6)
    found = only(outlook([bare(landmark="three birches", landmark_m=3.0)], made, asked()))
    assert found.days[-1].top_covered is not None
    assert found.days[-1].top_covered > 0.5
    assert found.days[-1].landmark_covered == 0.0
    assert found.advice.act is Act.PULL
    assert found.advice.tonight
    unmarked = only(outlook([bare()], made, asked()))
    assert any("landmark" in why for why in unmarked.advice.why)


def test_a_closed_set_is_taken_up_or_left() -> None:
    made = forecast((-6.0, None, amount(0.15)), *[DRY] * 6)
    assert only(outlook([bare(bottom=2, working=False)], made, asked())).advice.act is Act.LEAVE


def test_a_loop_low_now_is_raised_by_what_keeps_it_right_on_both_days() -> None:
    found = only(outlook([bare(bottom=4)], forecast(*[DRY] * 8), asked()))
    assert found.advice.act is Act.RAISE
    assert found.advice.by_m is not None
    # From 4 in to 6 to 12 in: by 2 to 8 in.
    assert found.advice.by_m.low == pytest.approx(2 * INCH)
    assert found.advice.by_m.high == pytest.approx(8 * INCH)


def test_a_loop_that_no_height_suits_is_closed() -> None:
    # 24 in of packed snow go away within a day and a half, as if a flood took it: no height is right on both.
    heights = {Point.BOTTOM: {Base.GROUND: amount(34 * INCH), Base.FIRST_HARD: amount(10 * INCH)}}
    one = bare(heights=heights, snow=Snow(24 * INCH, Surface.PACKED_SNOW))
    found = only(outlook([one], forecast(*[(40.0, amount(100.0), None)] * 6), asked(days=2)))
    assert found.advice.act is Act.UNSET
    assert found.advice.tonight


def test_an_anchor_driven_in_frost_is_tried_again_in_a_thaw() -> None:
    thaw = forecast(*[(6.0, NOTHING, None)] * 8)
    assert any(
        "try the anchor" in said for said in only(outlook([bare(anchor_in_frost=True)], thaw, asked())).also
    )
    assert only(outlook([bare(anchor_in_frost=False)], thaw, asked())).also == ()
    unknown = only(outlook([bare()], thaw, asked()))
    assert any("not on record" in said for said in unknown.unsure)
    cold = forecast(*[DRY] * 8)
    assert only(outlook([bare(anchor_in_frost=True)], cold, asked())).also == ()


def test_a_set_higher_up_is_colder() -> None:
    # 1,000 m up it is 6.5 degrees colder: 4 degrees of thaw are frost there.
    thaw = forecast(*[(4.0, NOTHING, None)] * 8)
    low, high = (only(outlook([bare(up_m=up)], thaw, asked())).days[-1].thawed for up in (0.0, 1500.0))
    assert low > 0.9
    assert high < 0.1


def test_wind_and_gaps_in_the_record_are_told() -> None:
    made = forecast((-8.0, None, amount(0.2)), *[DRY] * 4, wind=40.0)
    found = only(outlook([AtStake("N9", snow=Snow())], made, asked()))
    said = " ".join(found.unsure)
    for words in ("drift", "measure it", "nobody noted the snow", "not verified", "exposed"):
        assert words in said
    calm = only(outlook([bare()], forecast((-8.0, None, amount(0.2)), *[DRY] * 4), asked()))
    assert not any("drift" in words for words in calm.unsure)


def test_an_exposed_set_is_less_sure_than_a_sheltered_one() -> None:
    made = forecast((-8.0, None, amount(0.2)), *[DRY] * 4, wind=40.0)
    widths = []
    for sheltered in (True, None, False):
        day = only(outlook([bare(sheltered=sheltered)], made, asked(members=1000))).days[-1]
        widths.append(np.log(day.fallen_m.high / day.fallen_m.low))
    assert widths[0] < widths[1] < widths[2]


def test_the_time_to_fix_adds_up_over_the_sets() -> None:
    low = [bare(f"N{i}", bottom=4) for i in range(5)]
    fine = [bare(f"M{i}", bottom=9) for i in range(5)]
    day = outlook([*low, *fine], forecast(*[DRY] * 8), asked()).days[0]
    assert (day.to_fix.low, day.to_fix.high) == (5.0, 5.0)
    assert day.fix_s.high == 5 * 360.0


def test_wind_chill_of_the_day_is_the_coldest_of_its_steps() -> None:
    # -20 degrees and 20 km/h: -30.48 (published check value), in the band from -28.
    found = outlook([], forecast(*[(-20.0, NOTHING, None)] * 4, wind=20.0), asked())
    assert found.days[0].chill_c == pytest.approx(-30.48, abs=0.006)
    assert found.days[0].band is not None
    assert found.days[0].band.risk == "high"
    untold = outlook([], forecast(*[(-20.0, NOTHING, None)] * 4, wind=None), asked())
    assert untold.days[0].chill_c == -20.0
    assert not untold.days[0].wind_told


def test_tonight_comes_before_tomorrow_and_names_the_sets() -> None:
    made = forecast(*[DRY] * 8)
    found = outlook([bare("A", bottom=9), bare("B", bottom=4)], made, asked())
    assert [one.at_stake.name for one in found.sets] == ["B", "A"]


def test_another_set_changes_nothing_for_the_first() -> None:
    made = forecast((-8.0, None, amount(0.2)), *[DRY] * 4)
    alone = only(outlook([bare("A")], made, asked()))
    both = outlook([bare("B"), bare("A")], made, asked())
    again = next(one for one in both.sets if one.at_stake.name == "A")
    assert alone.days == again.days


def test_heights_known_from_the_trail_alone_are_carried_on_from_there() -> None:
    heights = {Point.BOTTOM: {Base.FIRST_HARD: amount(10 * INCH)}}
    one = bare(heights=heights, snow=Snow(None, Surface.PACKED_SNOW))
    day = only(outlook([one], forecast(*[DRY] * 4), asked())).days[-1]
    assert day.laws[0].low_m == pytest.approx(10 * INCH)
    assert day.top_covered is None


@pytest.mark.parametrize("more", [{"days": 0}, {"days": 11}, {"members": 5}, {"members": 100_000}])
def test_days_and_members_that_cannot_be_worked_out_are_refused(more: dict[str, int]) -> None:
    with pytest.raises(Refused) as caught:
        outlook([], forecast(DRY), asked(**more))
    assert caught.value.faults[0].code.id == "PLAN-120"


def test_a_forecast_that_begins_after_the_days_asked_for_is_refused() -> None:
    late = forecast(*[DRY] * 4)
    moved = tuple(
        replace(step, span=Span(step.span.start + timedelta(hours=12), step.span.end + timedelta(hours=12)))
        for step in late.steps
    )
    with pytest.raises(Refused) as caught:
        outlook([bare()], replace(late, steps=moved), asked(days=1))
    assert caught.value.faults[0].code.id == "PLAN-120"
    assert outlook([bare()], replace(late, steps=moved), asked(days=2)).days[0].day == FRIDAY


def test_a_loop_too_high_by_law_is_lowered_and_never_below_the_band() -> None:
    found = only(outlook([bare(bottom=15)], forecast(*[DRY] * 8), asked()))
    assert found.advice.act is Act.LOWER
    assert found.advice.by_m is not None
    # From 15 in to 6 to 12 in: by 3 to 9 in.
    assert found.advice.by_m.low == pytest.approx(3 * INCH)
    assert found.advice.by_m.high == pytest.approx(9 * INCH)


def test_a_loop_right_by_law_is_not_closed_for_the_animal() -> None:
    # A fox loop at 6 in under powder: too low for the fox, and raising it would not last.
    made = forecast((-8.0, None, amount(0.4)), *[DRY] * 6)
    found = only(outlook([bare(bottom=11, animal=COYOTE)], made, asked()))
    assert found.advice.act is Act.LOOK
    assert any("right by law" in why for why in found.advice.why)


def test_what_breaks_the_law_tomorrow_goes_before_the_animal_tonight() -> None:
    # Powder tonight: too low for the coyote and lawful. By tomorrow night it thaws and freezes: a hard base
    # of more than three inches, and the bottom is under Pennsylvania's six.
    made = forecast((-4.0, None, amount(0.35)), (-4.0, NOTHING, None), (4.0, amount(4.0), None), *[DRY] * 2)
    found = only(outlook([bare(bottom=9.0, animal=COYOTE)], made, asked()))
    first, second = found.days[:2]
    assert first.laws[0].wrong < 0.5 < second.laws[0].wrong
    assert first.animal is not None
    assert first.animal.wrong > 0.5
    assert found.advice.act is not Act.LOOK
    assert found.advice.tonight
    assert any("us-pa" in why for why in found.advice.why)


def test_no_snow_is_lost_where_a_forecast_tells_water_here_and_snow_there() -> None:
    # Steps that tell only snow stand between dry ones that tell only water, off the blocks of six hours.
    shifted = forecast((-8.0, NOTHING, None), (-8.0, None, amount(0.2)), *[DRY] * 4)
    day = only(outlook([bare(sheltered=True)], shifted, asked(members=1000))).days[-1]
    # 20 cm with a quarter either way: eight of ten members lie within about a third of it.
    assert 0.12 < day.fallen_m.low < 0.2 < day.fallen_m.high < 0.3
