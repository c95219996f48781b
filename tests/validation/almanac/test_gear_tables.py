"""Tables of the gear against published rows, worked values and a reference library for units."""

import math
from itertools import pairwise

import pytest
from metpy.units import units

from tendline.almanac.anchors import (
    CLAYS,
    PASCALS_PER_TSF,
    SOIL_CLASSES,
    class_of_probe,
    clay_named,
    plate_holding,
    rod_holding,
    screw_holding,
)
from tendline.almanac.animals import ANIMALS, chest_band, deer_chest, head_band
from tendline.almanac.breakaways import SEEN_HIGH_N, SEEN_LOW_N, batch_of
from tendline.almanac.cable import (
    MAKES,
    MATERIALS,
    TERMINATIONS,
    diameters,
    least_breaking,
    mass_per_metre,
    stress_of,
)
from tendline.almanac.loop_tables import cable_band, hull, recommended
from tendline.almanac.loops import across_of, hung_oval, round_of
from tendline.core.source import Status
from tendline.core.units import METRES_PER_INCH as INCH
from tendline.core.units import NEWTONS_PER_POUND as LBF
from tendline.core.words import PlaceKind


def test_a_twelve_inch_loop_hangs_about_fourteen_by_ten() -> None:
    # Colorado State University Extension 6.517: a 12 in round loop set as an oval is about 14 by 10 in.
    oval = hung_oval(round_of(12 * INCH))
    assert oval.height_m / INCH == pytest.approx(13.903, abs=5e-4)  # pi 12 = 37.699 in round, ratio 1.4
    assert oval.width_m / INCH == pytest.approx(9.931, abs=5e-4)


def test_conversions_agree_with_a_units_library() -> None:
    assert float((142 * units.lbf).to("N").magnitude) == pytest.approx(SEEN_LOW_N, rel=1e-9)
    assert float((486 * units.lbf).to("N").magnitude) == pytest.approx(SEEN_HIGH_N, rel=1e-9)
    # One US ton-force on a square foot.
    pascals = float((2000 * units.lbf / units.ft**2).to("Pa").magnitude)
    assert pascals == pytest.approx(PASCALS_PER_TSF, rel=1e-9)
    assert across_of(38 * INCH) / INCH == pytest.approx(12.0958, abs=5e-5)
    assert across_of(8 * INCH) / INCH == pytest.approx(2.5465, abs=5e-5)
    # 750 in lbf of the soil probe is 85 N m in the bulletin.
    assert float((750 * units.inch * units.lbf).to("N m").magnitude) == pytest.approx(
        SOIL_CLASSES[0].probe_low_nm, rel=1e-8
    )


def test_the_recommended_loops_are_the_published_rows() -> None:
    # Colorado State University Extension 6.517, table 1.
    published = {
        ("coyote", PlaceKind.TRAIL): ((9, 12), (10, 12)),
        ("coyote", PlaceKind.UNDER_FENCE): ((7, 10), (2, 2)),
        ("red fox", PlaceKind.TRAIL): ((8, 10), (6, 9)),
        ("bobcat", PlaceKind.TRAIL): ((8, 10), (6, 8)),
        ("raccoon", PlaceKind.TRAIL): ((8, 10), (3, 5)),
    }
    for (animal, where), (across, bottom) in published.items():
        row = recommended(animal, where)[0]
        got = (row.across.low_m, row.across.high_m, row.bottom.low_m, row.bottom.high_m)
        assert got == pytest.approx([inches * INCH for inches in (*across, *bottom)])


@pytest.mark.parametrize(
    ("animal", "across", "bottom"), [("coyote", (10, 12), (10, 12)), ("red fox", (7, 8), (7, 8))]
)
def test_common_practice_lies_within_the_ranges(
    animal: str, across: tuple[int, int], bottom: tuple[int, int]
) -> None:
    # Common practice, no source: coyotes 10 to 12 in across hung 10 to 12 up; red fox 7 to 8 and 7 to 8.
    rows = recommended(animal, PlaceKind.TRAIL)
    wide, high = hull(tuple(r.across for r in rows)), hull(tuple(r.bottom for r in rows))
    assert wide.low_m <= across[0] * INCH + 1e-9
    assert wide.high_m >= across[1] * INCH - 1e-9
    assert high.low_m <= bottom[0] * INCH + 1e-9
    assert high.high_m >= bottom[1] * INCH - 1e-9
    assert any(row.source == "common practice, no source" for row in rows)


def test_what_no_table_names_is_not_made_up() -> None:
    assert recommended("raccoon", PlaceKind.UNDER_FENCE) == ()
    assert cable_band("raccoon") is None
    coyote = cable_band("coyote")
    assert coyote is not None
    assert (coyote.low_m, coyote.high_m) == pytest.approx((5 / 64 * INCH, 3 / 32 * INCH))


def test_every_row_of_wire_rope_lies_in_the_band_of_small_aircraft_cable() -> None:
    # A row outside 650 to 1,000 N/mm2 is a slip; 7x7 of 3/32 in is 722.
    met = 0
    for make in MAKES:
        for material in MATERIALS:
            for size in diameters():
                load = least_breaking(make, size, material=material)
                if load is not None:
                    met += 1
                    assert 650 <= stress_of(load.newtons, size) <= 1000, (make, material, size)
    assert met == 26
    row = least_breaking("7x7", 3 / 32 * INCH, material="galvanised")
    assert row is not None
    assert row.newtons == pytest.approx(920 * LBF)
    assert row.status is Status.MEMORY
    assert round(stress_of(row.newtons, 3 / 32 * INCH)) == 722


def test_rows_read_elsewhere_agree() -> None:
    # AS 3569 7x19 of 3.2 mm: 8.9 kN; the inch table has 2,000 lbf for 1/8 in.
    row = least_breaking("7x19", INCH / 8, material="galvanised")
    assert row is not None
    assert row.newtons == pytest.approx(8900, rel=0.001)
    # 304 stainless 1/16 in: 1x19 500 lb, 7x7 480 lb.
    for make, pounds in (("1x19", 500), ("7x7", 480)):
        small = least_breaking(make, INCH / 16, material="stainless")
        assert small is not None
        assert small.newtons == pytest.approx(pounds * LBF)
        assert small.status is Status.SECONDARY
    assert least_breaking("7x19", 5 / 64 * INCH, material="galvanised") is None
    assert least_breaking("7x7", 0.004, material="galvanised") is None


def test_the_mass_of_rope_is_what_its_steel_can_weigh() -> None:
    # Steel 7,850 kg/m3 over the round of its diameter; metal fills 61 % (7x7: 49 wires of d/9) to 76 % (1x19:
    # 19 of d/5), and makers' rope is laid a little thicker than its name.
    for make in MAKES:
        for size in diameters():
            mass = mass_per_metre(make, size)
            if mass is not None:
                assert 0.55 <= mass / (7850 * math.pi * size**2 / 4) <= 0.95, (make, size)
    assert mass_per_metre("7x7", 0.004) is None


def test_ends_hold_the_published_share() -> None:
    # TM 5-3810-305-10, table 4: clips 80 %, wedge socket 75 to 95 %, hand splice 86 % (stainless 76 %).
    got = {name: (end.low, end.high) for name, end in TERMINATIONS.items()}
    assert got["clips"] == (0.8, 0.8)
    assert got["wedge-socket"] == (0.75, 0.95)
    assert got["hand-splice"] == (0.76, 0.86)
    low, high = got["swaged-sleeve"]
    assert all(low <= share <= high for share in (0.925, 0.95))
    assert not TERMINATIONS["hammered-ferrule"].status.may_bind


@pytest.mark.parametrize(
    ("tsf", "pounds"),
    [(0.25, 93.8), (0.375, 140.6), (0.5, 187.5), (0.75, 281.3), (1.0, 375.0), (1.5, 562.5), (2.0, 750.0)],
)
def test_a_plate_holds_nine_times_the_strength_of_the_clay(tsf: float, pounds: float) -> None:
    # 1 by 3 in = 0.020833 ft2; 9 x 2000 tsf x 0.020833.
    held = plate_holding(tsf * PASCALS_PER_TSF, 3 * INCH * INCH)
    assert held / LBF == pytest.approx(pounds, abs=0.06)


@pytest.mark.parametrize(("tsf", "pounds"), [(0.375, 122.7), (0.75, 245.4), (1.5, 490.9)])
def test_a_rod_holds_by_its_skin(tsf: float, pounds: float) -> None:
    # Half an inch by 30 in, half the clay's strength: 0.5 x 2000 tsf x pi x 0.5 x 30 / 144.
    held = rod_holding(tsf * PASCALS_PER_TSF, INCH / 2, 30 * INCH)
    assert held / LBF == pytest.approx(pounds, abs=0.06)


def test_a_screw_holds_ten_pounds_for_each_foot_pound() -> None:
    # K = 10 per foot is 33 per metre, rounded in the source.
    torque = float((50 * units.ft * units.lbf).to("N m").magnitude)
    assert screw_holding(torque) / LBF == pytest.approx(500, rel=0.01)


def test_clay_and_soil_classes_follow_on_without_gaps() -> None:
    clays = list(CLAYS.values())
    assert all(a.high_pa == b.low_pa for a, b in pairwise(clays))
    # TxDOT table 4-2: medium stiff 0.25 to 0.5 tsf.
    assert clays[2].low_pa == pytest.approx(0.25 * 95760.5, rel=1e-5)
    assert class_of_probe(40.0).number == 5  # 34 to 45 N m
    assert class_of_probe(0.0).number == 8
    five = clay_named("class 5")
    assert five is not None
    assert (five.low_pa, five.high_pa) == (CLAYS["stiff"].low_pa, CLAYS["very stiff"].high_pa)
    assert clay_named("class 1") is None
    assert clay_named("sand") is None


def test_a_coyote_loop_reaches_a_deers_chest_and_a_fox_loop_does_not() -> None:
    # Kelsall 1969: 20 to 24 in. Fox: 8 + 10 in = 45.7 cm, below. Coyote: 12 + 12 in = 61.0 cm, inside.
    deer = deer_chest()
    assert (deer.low_m, deer.high_m) == pytest.approx((0.508, 0.6096))
    fox, coyote = (8 + 10) * INCH, (12 + 12) * INCH
    assert fox < deer.low_m < coyote
    assert coyote <= deer.high_m + 1e-9


def test_chest_and_head_follow_the_shoulder() -> None:
    for animal in ANIMALS.values():
        chest, head = chest_band(animal), head_band(animal)
        assert chest.low_m < chest.high_m < animal.shoulder.high_m
        assert chest.high_m < head.high_m
    # A loop at the table's 10 to 12 in meets a coyote at the chest or just under it.
    coyote = chest_band(ANIMALS["coyote"])
    assert coyote.low_m < 12 * INCH < coyote.high_m


def test_a_batch_tells_how_likely_the_next_one_lies_between() -> None:
    # Four pulls: mean 280, deviations -10, -2, 4, 8 give 184 / 3; the fifth lies between with 3 in 5.
    batch = batch_of((270.0, 278.0, 284.0, 288.0))
    assert (batch.low_n, batch.high_n, batch.mean_n) == (270.0, 288.0, 280.0)
    assert batch.spread_n == pytest.approx(math.sqrt(184 / 3))
    assert batch.chance_within == pytest.approx(0.6)
    assert batch_of((270.0,)).spread_n == 0.0
