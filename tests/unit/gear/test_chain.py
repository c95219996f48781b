"""The chain of strengths: margins, the weakest, an anchor that comes out first, pull tests over labels."""

import pytest

from tendline.core.errors import Refused
from tendline.core.source import Status
from tendline.core.units import METRES_PER_INCH as INCH
from tendline.core.units import NEWTONS_PER_POUND as LBF
from tendline.gear.anchor import Anchor, AnchorMake, anchor_links
from tendline.gear.build import Cable
from tendline.gear.chain import Link, Stands, breakaway_of, cable_end, judge_chain

STRONG = Cable("7x7", "galvanised", 3 / 32 * INCH, 2.0)
THIN = Cable("7x7", "galvanised", INCH / 16, 2.0)


@pytest.mark.parametrize(("label", "ratio"), [(285, 2.91), (350, 2.37), (375, 2.21)])
def test_a_swaged_end_stands_above_the_breakaway_as_worked_by_hand(label: int, ratio: float) -> None:
    # 920 x 0.90 = 828 lb over the legal maxima seen: 2.91, 2.37, 2.21.
    chain = judge_chain(breakaway_of(label * LBF), (cable_end(STRONG, "swaged-sleeve"),))
    assert chain.links[0].ratio == pytest.approx(ratio, abs=0.005)
    assert chain.links[0].stands is Stands.HOLDS


def test_thin_cable_under_a_strong_breakaway_is_warned_of() -> None:
    # 480 x 0.90 = 432 lb over 375: only 1.15.
    chain = judge_chain(breakaway_of(375 * LBF), (cable_end(THIN, "swaged-sleeve"),))
    assert chain.links[0].ratio == pytest.approx(1.152, abs=5e-4)
    assert chain.links[0].stands is Stands.THIN
    assert any("1.15" in warning for warning in chain.warnings)


def test_a_small_plate_in_medium_clay_comes_out_before_the_breakaway_opens() -> None:
    # Worked: 93.8 to 187.5 lb, under 285.
    plate = Anchor(AnchorMake.PLATE, "medium stiff", 3 * INCH, INCH)
    chain = judge_chain(breakaway_of(285 * LBF), (cable_end(STRONG, "clips"), *anchor_links(plate)))
    assert chain.links[1].stands is Stands.FAILS
    assert chain.weakest is not None
    assert chain.weakest.name.startswith("anchor")
    assert any("comes out before the breakaway opens" in warning for warning in chain.warnings)


def test_in_stiff_clay_it_only_may() -> None:
    # 187.5 to 375 lb straddles 285.
    plate = Anchor(AnchorMake.PLATE, "stiff", 3 * INCH, INCH)
    chain = judge_chain(breakaway_of(285 * LBF), anchor_links(plate))
    assert chain.links[0].stands is Stands.MAY_FAIL
    assert any("may come out" in warning for warning in chain.warnings)


def test_frozen_ground_is_never_counted_on() -> None:
    rod = Anchor(AnchorMake.ROD, "stiff", 30 * INCH, INCH / 2, frozen=True)
    thawed, frozen = anchor_links(rod)
    assert thawed.low_n is not None
    assert frozen.low_n is None
    assert "re-test in a thaw" in frozen.said


def test_ones_own_pull_beats_the_formula_and_sand_has_none() -> None:
    pulled = Anchor(AnchorMake.ROD, "sand", 30 * INCH, INCH / 2, pulled_n=400 * LBF)
    assert anchor_links(pulled)[0].low_n == pytest.approx(400 * LBF)
    assert anchor_links(Anchor(AnchorMake.ROD, "sand", 0.7, 0.01))[0].low_n is None
    screw = Anchor(AnchorMake.SCREW, torque_nm=50.0)
    assert anchor_links(screw)[0].low_n == pytest.approx(1650.0)  # 33 x 50


def test_ones_own_pulls_beat_the_label() -> None:
    found = breakaway_of(285 * LBF, (300 * LBF, 342 * LBF, 318 * LBF))
    assert found is not None
    assert (found.low_n, found.high_n) == pytest.approx((300 * LBF, 342 * LBF))
    chain = judge_chain(found, (cable_end(STRONG, "clips"),))
    assert chain.links[0].ratio == pytest.approx(736 / 342)  # 920 x 0.80
    assert any("50%" in warning for warning in chain.warnings)  # (3 - 1) / (3 + 1)


def test_an_end_without_a_published_share_is_not_verified() -> None:
    link = cable_end(STRONG, "hammered-ferrule")
    assert link.low_n is None
    assert cable_end(STRONG, "hammered-ferrule", pulled_n=3000.0).low_n == 3000.0
    odd = Cable("7x19", "galvanised", 5 / 64 * INCH, 2.0)
    assert cable_end(odd, "clips").low_n is None
    chain = judge_chain(None, (link,))
    assert chain.links[0].stands is Stands.NOT_VERIFIED
    assert chain.weakest is None
    assert "no breakaway" in chain.warnings[0]


def test_another_weak_link_is_named() -> None:
    swivel = Link("swivel", 200 * LBF, 200 * LBF, Status.SECONDARY, "as given")
    chain = judge_chain(breakaway_of(285 * LBF), (swivel,))
    assert any(warning.startswith("swivel: gives way first") for warning in chain.warnings)


def test_a_breakaway_stronger_than_its_cable_is_refused() -> None:
    with pytest.raises(Refused, match="GEAR-102"):
        judge_chain(breakaway_of(500 * LBF), (cable_end(THIN, "swaged-sleeve"),))


def test_words_and_figures_that_cannot_be_are_refused() -> None:
    with pytest.raises(Refused, match="GEAR-104"):
        cable_end(STRONG, "knot")
    with pytest.raises(Refused, match="GEAR-105"):
        breakaway_of(-5.0)
    with pytest.raises(Refused) as told:
        anchor_links(Anchor(AnchorMake.PLATE, "cheese"))
    assert [fault.code.id for fault in told.value.faults] == ["GEAR-104", "GEAR-105"]
