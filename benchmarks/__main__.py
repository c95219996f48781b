"""Runs the benchmarks: all of them, or those named."""

import importlib
import sys
from pathlib import Path

NAMES = sorted(p.stem for p in Path(__file__).parent.glob("*.py") if not p.stem.startswith("_"))


def main() -> None:
    """Run the benchmarks named on the command line, or all."""
    wanted = sys.argv[1:] or NAMES
    unknown = [name for name in wanted if name not in NAMES]
    if unknown:
        sys.exit(f"no benchmark {', '.join(unknown)}; there are {', '.join(NAMES)}")
    for name in wanted:
        print(f"\n== {name} ==")
        importlib.import_module(f"benchmarks.{name}").main()


if __name__ == "__main__":
    main()
