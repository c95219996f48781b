"""How often a caller may call."""

from tendline.server.limits import Bucket


def test_a_caller_has_a_burst_and_then_a_rate() -> None:
    now = [0.0]
    bucket = Bucket(burst=3, per_second=0.5, clock=lambda: now[0])
    assert [bucket.take("a") for _ in range(4)] == [True, True, True, False]
    assert bucket.take("b")  # another caller has their own
    now[0] = 2.0  # 2 s at 0.5 a second: one more
    assert [bucket.take("a") for _ in range(2)] == [True, False]


def test_callers_without_end_do_not_fill_the_memory() -> None:
    bucket = Bucket(burst=1, per_second=0.0, clock=lambda: 0.0, callers=10)
    for number in range(50):
        bucket.take(str(number))
    assert len(bucket._left) == 10
