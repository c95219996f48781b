"""The house itself: every file knows its room, its size and its door; nothing private is committed."""

import ast
import re
import subprocess
from pathlib import Path

import pytest

from tendline.cli.main import COMMANDS
from tools.make_reference import ROOT, SOURCE, codes, first_paragraphs, modules, pages

DOORS = {
    "click": "cli",
    "contourpy": "terrain",
    "cryptography": "server",
    "dask": "terrain",
    "defusedxml": "ground",
    "distributed": "terrain",
    "duckdb": "season",
    "gpxpy": "ground",
    "highspy": "plan",
    "icalendar": "report",
    "jsonschema": "server",
    "matplotlib": "report",
    "numba": "terrain",
    "PIL": "ground",
    "pyogrio": "ground",
    "pyproj": "almanac",
    "pyvrp": "plan",
    "rasterio": "ground",
    "scipy": "season",
    "segno": "server",
    "shapely": "ground",
    "sqlite3": "logbook",
    "starlette": "server",
    "typst": "report",
    "uvicorn": "server",
}
"""Each heavy package and the one room that may import it."""

MAX_LINES, LONGEST = 300, 480
LONGER = {
    "logbook/kinds.py": "one table: every kind of event, field by field",
    "logbook/board.py": "one class: what each kind of event does; its parts would share all their state",
    "core/line.py": "the nouns of the line, side by side",
    "core/when.py": "one idea with long docstrings",
    "ground/elevation.py": "one reader: what is asked of a raster, step by step",
    "terrain/kernel.py": "compiled loops, kept by the date of their file, call only loops of that file",
    "rules/shape.py": "the nouns of the law, side by side",
    "plan/itinerary.py": "the nouns of a round, side by side",
}
"""Files that may be longer than `MAX_LINES`, with the reason."""

SOURCES = [path for _, path in modules() if path.name != "__init__.py"]


def tracked() -> list[Path]:
    """Give the files that git tracks, or every file where this is no checkout."""
    asked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if asked.returncode != 0:
        return [p for p in ROOT.rglob("*") if p.is_file() and ".venv" not in p.parts]
    return [ROOT / line for line in asked.stdout.splitlines() if (ROOT / line).is_file()]


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(SOURCE)))
def test_a_file_says_what_it_owns_and_what_not(path: Path) -> None:
    owns, not_owns = first_paragraphs(path)
    assert owns.startswith("Owns "), f"{path}: the first line of the docstring must say what the file owns"
    assert not_owns.startswith("Does not own ") or path.name == "faults.py"


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(SOURCE)))
def test_a_file_is_one_idea_long(path: Path) -> None:
    lines = len(path.read_text(encoding="utf-8").splitlines())
    limit = LONGEST if str(path.relative_to(SOURCE)) in LONGER else MAX_LINES
    assert lines <= limit, f"{path} has {lines} lines"


def test_no_waiver_outlives_its_reason() -> None:
    for name in LONGER:
        assert (SOURCE / name).is_file()


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(SOURCE)))
def test_a_heavy_package_comes_in_by_one_door(path: Path) -> None:
    room = path.relative_to(SOURCE).parts[0]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
        for name in names:
            door = DOORS.get(name.split(".")[0])
            assert door in (None, room), f"{path} imports {name}; only {door}/ may"


def test_every_code_is_raised_in_a_test() -> None:
    tests = "".join(p.read_text(encoding="utf-8") for p in (ROOT / "tests").rglob("*.py"))
    missing = [identity for identity in codes() if identity not in tests]
    assert missing == []


@pytest.mark.parametrize("path", list(pages()), ids=lambda p: p.name)
def test_a_generated_page_is_up_to_date(path: Path) -> None:
    assert path.is_file(), "call: make docs"
    assert path.read_text(encoding="utf-8") == pages()[path], "call: make docs"


@pytest.mark.parametrize("name", list(COMMANDS))
def test_a_command_is_one_job_one_page_one_journey(name: str) -> None:
    assert (SOURCE / "cli/commands" / f"{name}.py").is_file()
    assert list((SOURCE / "jobs").glob(f"{name}.py")) or list((SOURCE / "jobs").glob(f"{name}_*.py")), name
    assert (ROOT / "docs/how-to" / f"{name}.md").is_file(), name
    journeys = "".join(p.read_text(encoding="utf-8") for p in (ROOT / "tests/journeys").glob("*.py"))
    assert f'"{name}"' in journeys, f"no journey calls {name}"


FORBIDDEN = (
    r"/(work|tmp|root|farm)/",
    r"pypi\.org|pythonhosted|npmjs|deb\.debian|registry\.",
    r"\b[t]ranscript\b",
)
"""What may stand in no committed file: paths of a machine, hosts of registries, the papers it grew from."""


def test_nothing_private_is_committed() -> None:
    this = Path(__file__).resolve()
    found = []
    for path in tracked():
        if path.resolve() == this or path.suffix in (".png", ".pdf", ".tif", ".npz"):
            continue
        text = path.read_text(encoding="utf-8", errors="replace")
        found += [f"{path.name}: {m.group(0)}" for pattern in FORBIDDEN for m in re.finditer(pattern, text)]
    assert found == []


def test_the_lock_files_name_no_index_and_hash_everything() -> None:
    for name in ("requirements.lock", "requirements-dev.lock"):
        text = (ROOT / name).read_text(encoding="utf-8")
        assert "://" not in text
        entries = re.split(r"\n(?=\S)", text.strip())
        assert all("--hash=sha256:" in entry for entry in entries)


def test_every_function_of_the_almanac_names_its_source() -> None:
    for path in (SOURCE / "almanac").glob("*.py"):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                text = ast.get_docstring(node) or ""
                known = ("References", "common practice, no source", "from memory")
                assert any(word in text for word in known), f"{path.name}: {node.name}"
