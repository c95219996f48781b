"""The compiler's store: compiled once, told once, found again by the next process."""

import os
import subprocess
import sys
from pathlib import Path

CODE = """
from tendline.terrain.ready import compiled, warm_up
assert not compiled()
print(warm_up(lambda: print("compiling")))
assert compiled()
"""


def run(store: Path) -> list[str]:
    environment = {**os.environ, "NUMBA_CACHE_DIR": str(store)}
    done = subprocess.run(
        [sys.executable, "-c", CODE], env=environment, capture_output=True, text=True, check=True
    )
    return done.stdout.split()


def test_the_first_run_compiles_and_says_so_once_and_the_second_does_not(tmp_path: Path) -> None:
    assert run(tmp_path) == ["compiling", "True"]
    assert run(tmp_path) == ["False"]
