from dataclasses import replace

from tendline.report.carry import carry_list
from tests.unit.report.example_round import example_facts, example_plan, local, sun


def test_spares_follow_the_number_of_sets() -> None:
    # 18 sets. A new device each with chance 1 - 0.99 x 0.98 = 0.0298: P(X <= 1) = 0.901, P(X <= 2) = 0.984.
    # A repair each with chance 0.1: binomial (18, 0.1), P(X <= 3) = 0.902, P(X <= 4) = 0.972.
    carried = carry_list(example_plan(), example_facts())
    assert "2 spare devices, tagged" in carried
    assert "4 support wires, pliers" in carried


def test_at_least_one_spare_is_carried() -> None:
    ground = [("mill-lane", "mill", 1)]
    carried = carry_list(example_plan(ground), example_facts(ground))
    assert "1 spare device, tagged" in carried
    assert "1 support wire, pliers" in carried


def test_a_light_is_carried_into_the_dark_and_when_the_sun_is_unknown() -> None:
    plan, facts = example_plan(), example_facts()
    light = "headlamp, spare cells"
    assert light in carry_list(plan, facts)
    assert light in carry_list(plan, replace(facts, sun=None))
    early = sun(local(4, 0), local(20, 30))
    assert light not in carry_list(plan, replace(facts, sun=early))


def test_a_shovel_is_carried_in_snow_only() -> None:
    plan, facts = example_plan(), example_facts()
    assert "shovel, probe" in carry_list(plan, facts)
    assert "shovel, probe" not in carry_list(plan, replace(facts, snow=False))


def test_what_sets_need_stands_last_once_with_their_names() -> None:
    facts = example_facts()
    sets = dict(facts.sets)
    sets["N-2"] = replace(sets["N-2"], bring=("shovel", "ladder", "ladder"))
    assert carry_list(example_plan(), replace(facts, sets=sets))[-3:] == (
        "thermos",
        "shovel: mill-2, N-2",
        "ladder: N-2",
    )
