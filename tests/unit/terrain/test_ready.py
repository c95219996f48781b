"""The kernel in this process."""

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numba
import pytest

from tendline.terrain import compiling
from tendline.terrain.ready import compiled, warm_up, warm_up_current


def test_a_kernel_made_ready_is_ready_and_is_not_made_twice() -> None:
    warm_up()
    assert compiled()
    told: list[str] = []
    assert warm_up(lambda: told.append("compiling")) is False
    assert told == []


def test_the_loops_of_current_are_made_ready_apart() -> None:
    warm_up_current()
    assert compiled(current=True)
    told: list[str] = []
    assert warm_up_current(lambda: told.append("compiling")) is False
    assert told == []


def test_where_nothing_can_be_kept_it_is_compiled_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """The compiler refuses to keep anything when no folder can be written to, with a RuntimeError."""
    real: Any = numba.njit

    def nowhere(**how: bool) -> Callable[..., Any]:
        if how.get("cache"):
            raise RuntimeError("no locator available")
        compile_it: Callable[..., Any] = real(**how)
        return compile_it

    monkeypatch.setattr(compiling, "numba", SimpleNamespace(njit=nowhere))

    def twice(x: int) -> int:
        return 2 * x

    assert compiling.compiled(twice)(4) == 8
