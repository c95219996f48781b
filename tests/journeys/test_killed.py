"""The machine is killed, as by a power cut, while phones send: what was acknowledged is there, and once."""

import json
import socket
from pathlib import Path

import jsonschema

from benchmarks.field import Machine, killed_machine
from tests.browser import SETS, live_line
from tests.journeys.run import done

SCHEMA = json.loads(
    (Path(__file__).parents[2] / "src/tendline/jobs/schemas/serve.schema.json").read_text(encoding="utf-8")
)


def test_nothing_is_lost_and_nothing_doubled_by_a_kill(tmp_path: Path) -> None:
    """Five instants here; `make bench` takes a hundred."""
    line = live_line(tmp_path / "line")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        machine = Machine(line, probe.getsockname()[1])
    names = [f"N{number}" for number in range(1, SETS + 1)]
    assert killed_machine(machine, names, kills=5) == (100, 0, 0)
    jsonschema.validate(machine.said, SCHEMA)
    assert done("audit", "--line", line).code == 0
