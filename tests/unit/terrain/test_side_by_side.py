"""Work side by side: in threads, on a cluster of this machine, and a scheduler that is not there."""

import pytest
from distributed import LocalCluster

from tendline.core.errors import Refused
from tendline.terrain import side_by_side as module
from tendline.terrain.side_by_side import side_by_side


def square(number: int) -> int:
    return number * number


def test_results_come_in_the_order_of_the_items() -> None:
    assert side_by_side(square, list(range(20))) == [k * k for k in range(20)]
    assert side_by_side(square, []) == []


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_gives_the_same() -> None:
    with LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster:
        assert side_by_side(square, [3, 1, 2, 3], scheduler=cluster.scheduler_address) == [9, 1, 4, 9]


@pytest.mark.filterwarnings("ignore")
def test_a_scheduler_that_is_not_there_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "WAIT_S", 1)
    for address in ("tcp://127.0.0.1:9", "nonsense"):
        with pytest.raises(Refused) as caught:
            side_by_side(square, [1], scheduler=address)
        assert caught.value.faults[0].code.id == "TERR-131"
        assert caught.value.faults[0].where == address
