"""How late one may leave, and what gives first."""

from tendline.plan.explain import gives_first, leave_by
from tendline.plan.instance import Instance, instance_of
from tests.validation.plan.build import one_loop, task


def inst_with(due_a: float, due_b: float, hours: float) -> Instance:
    sets = [task("a", due=due_a), task("b", due=due_b)]
    return instance_of(one_loop(sets, {"a": 5.0, "b": 9.0}, hours=hours))


def test_the_tightest_limit_gives_first() -> None:
    # Leave at 0: a at 15, b at 20, back at 40. With 30 and 32 due: b has 12 minutes, a 15.
    inst = inst_with(30.0, 32.0, 2.0)
    assert leave_by(inst, [[0, 0, 1]]) == 12 * 60_000
    assert gives_first(inst, [[0, 0, 1]]) == 1
    inst = inst_with(20.0, 32.0, 2.0)
    assert leave_by(inst, [[0, 0, 1]]) == 5 * 60_000
    assert gives_first(inst, [[0, 0, 1]]) == 0


def test_the_latest_return_can_give_first() -> None:
    inst = inst_with(50.0, 50.0, 42.0 / 60.0)
    assert leave_by(inst, [[0, 0, 1]]) == 2 * 60_000
    assert gives_first(inst, [[0, 0, 1]]) is None


def test_an_empty_round_can_leave_until_the_drive_home_is_too_long() -> None:
    inst = inst_with(50.0, 50.0, 2.0)
    assert leave_by(inst, []) == 120 * 60_000
    assert gives_first(inst, []) is None
