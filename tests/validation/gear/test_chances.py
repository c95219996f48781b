"""Counts of parts against scipy's distributions, and the counting of parts by hand."""

import pytest
from scipy import stats

from tendline.core.errors import Refused
from tendline.gear.build import PartUsed
from tendline.gear.chances import Rate, negative_binomial, pack_need, season_need
from tendline.gear.parts import CATCH_PRIOR, DAMAGE_PRIOR, Plan, pack_mass, parts_needed


@pytest.mark.parametrize("rate", [Rate(5.0, 500.0), Rate(1.0, 200.0), Rate(31.0, 4100.0)])
@pytest.mark.parametrize("nights", [10.0, 600.0, 2400.0])
def test_the_chances_are_those_of_a_negative_binomial(rate: Rate, nights: float) -> None:
    p = rate.nights / (rate.nights + nights)
    found = negative_binomial(rate, nights)
    for k in (0, 1, 5, 20):
        if k < len(found):
            assert found[k] == pytest.approx(stats.nbinom.pmf(k, rate.events, p), rel=1e-9, abs=1e-300)
    assert found.sum() == pytest.approx(1.0, abs=1e-10)


@pytest.mark.parametrize("risk", [0.01, 0.05, 0.25])
def test_enough_is_the_quantile_of_scipy(risk: float) -> None:
    rate, nights = CATCH_PRIOR, 2400.0
    p = rate.nights / (rate.nights + nights)
    need = season_need([rate], nights, risk=risk)
    assert need.count == stats.nbinom.ppf(1.0 - risk, rate.events, p)
    assert need.chance_short == pytest.approx(stats.nbinom.sf(need.count, rate.events, p), rel=1e-6)
    assert need.mean == pytest.approx(24.0)  # one in 100 over 2,400


def test_a_share_of_events_is_thinned_exactly() -> None:
    # Thinning Poisson counts by q under the same gamma: size stays, the mean is q times as much.
    rate = Rate(5.0, 500.0)
    q, nights = 0.2, 1000.0
    found = negative_binomial(rate.share(q), nights)
    p = 500.0 / (500.0 + q * nights)
    assert found[3] == pytest.approx(stats.nbinom.pmf(3, 5.0, p), rel=1e-9)


def test_the_pack_is_the_quantile_of_a_binomial() -> None:
    for count, chance in ((40, 0.015), (12, 0.3), (150, 0.05)):
        need = pack_need(count, chance, risk=0.05)
        assert need.count == stats.binom.ppf(0.95, count, chance)
    assert pack_need(5, 1.0, risk=0.05).count == 5
    assert pack_need(5, 0.0, risk=0.05).count == 0


def test_own_history_is_pooled_with_the_prior() -> None:
    # 5 in 500 and 20 in 1,500 nights make 25 in 2,000.
    assert CATCH_PRIOR.with_seen(20, 1500.0).mean == pytest.approx(25 / 2000)


def test_parts_are_counted_for_devices_spares_and_pack() -> None:
    plan = Plan(40, 2400.0, 40, 1.0, CATCH_PRIOR, DAMAGE_PRIOR, 0.05)
    parts = [PartUsed("cable", 1, 0.05), PartUsed("stop", 3, 0.002), PartUsed("tag", 1)]
    cable, stop, tag = parts_needed(parts, plan, have={"cable": 20}, ready=10)
    assert cable.built_in == 40
    assert stop.built_in == 120
    assert stop.spare.count == 3 * cable.spare.count
    assert tag.spare.count < cable.spare.count
    # 30 still to build, and the spares, less 20.
    assert cable.order == 30 + cable.spare.count - 20
    assert stop.order is None
    mass, missing = pack_mass(parts, (cable, stop, tag))
    assert mass == pytest.approx(cable.pack.count * 0.05 + stop.pack.count * 0.002)
    assert missing == (("tag",) if tag.pack.count else ())


def test_nothing_to_come_needs_nothing() -> None:
    assert season_need([CATCH_PRIOR], 0.0, risk=0.05).count == 0


def test_figures_that_cannot_be_are_refused() -> None:
    with pytest.raises(Refused) as told:
        season_need([CATCH_PRIOR], -1.0, risk=2.0)
    assert [fault.code.id for fault in told.value.faults] == ["GEAR-105", "GEAR-105"]
    with pytest.raises(Refused, match="GEAR-105"):
        season_need([Rate(1.0, 10.0)], 1e9, risk=0.05)
    with pytest.raises(Refused, match="GEAR-105"):
        pack_need(3, 1.5, risk=0.05)
