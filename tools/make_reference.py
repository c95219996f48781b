"""Make the generated pages again: the map, the errors, the commands, the events, the server.

Run as `make docs`. `tests/house/test_reference.py` fails when a page is not what this would write.
"""

import ast
import importlib
import json
import pkgutil
from collections.abc import Iterator
from pathlib import Path

import click

from tendline.cli.main import COMMANDS, tendline
from tendline.core.errors import Code
from tendline.logbook.kinds import KINDS
from tendline.logbook.schema import event_schema
from tendline.server.openapi import openapi_document

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "src" / "tendline"
FLOORS = (
    "cli",
    "server",
    "jobs",
    "field",
    "report",
    "plan",
    "season",
    "gear",
    "ground",
    "rules",
    "logbook",
    "terrain",
    "almanac",
    "core",
)
MADE = "<!-- Made by `make docs`; do not edit. -->\n"


def modules() -> Iterator[tuple[str, Path]]:
    """Give every module of the package with its path below `src/tendline`, in order."""
    for path in sorted(SOURCE.rglob("*.py")):
        yield ".".join(path.relative_to(SOURCE).with_suffix("").parts), path


def first_paragraphs(path: Path) -> tuple[str, str]:
    """Give the first two paragraphs of a module's docstring, each on one line; empty when there is none."""
    text = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    parts = [" ".join(part.split()) for part in text.split("\n\n")]
    first, second, *_ = [*parts, "", ""]
    return first, second


def house_map() -> str:
    """Write docs/house/map.md."""
    lines = [
        MADE,
        "# The map: every file, one line\n",
        "Floors from the top down; a room imports only lower floors.\n",
    ]
    for room in FLOORS:
        lines.append(f"## {room}/\n\n{first_paragraphs(SOURCE / room / '__init__.py')[0]}\n")
        for name, path in modules():
            if path.name != "__init__.py" and name.split(".")[0] == room:
                lines.append(f"- `{path.relative_to(SOURCE)}`: {first_paragraphs(path)[0]}")
        lines.append("")
    return "\n".join(lines)


def codes() -> dict[str, tuple[Code, str]]:
    """Collect every fault code with the module that declares it.

    Raises
    ------
    ValueError
        When two codes have one id.
    """
    found: dict[str, tuple[Code, str]] = {}
    import tendline as package  # noqa: PLC0415

    for info in pkgutil.walk_packages(package.__path__, "tendline."):
        if not info.name.endswith(".faults"):
            continue
        for value in vars(importlib.import_module(info.name)).values():
            if isinstance(value, Code):
                if value.id in found:
                    raise ValueError(f"{value.id} is declared twice")
                found[value.id] = (value, info.name)
    return dict(sorted(found.items()))


def errors_page() -> str:
    """Write docs/reference/errors.md."""
    rows = [f"| `{code.id}` | {code.meaning} | {home.split('.')[1]} |" for code, home in codes().values()]
    return "\n".join(
        [
            MADE,
            "# Errors\n",
            "Each error is one line: code, place, what is wrong, what to do.",
            "All faults of one input are told together.",
            "Exit codes: 0 done; 1 done, and the answer is bad news; 2 bad input, nothing written;",
            "3 the record is damaged; 70 a fault of tendline itself; 130 stopped by Ctrl-C.\n",
            "| code | meaning | room |",
            "|---|---|---|",
            *rows,
            "",
        ]
    )


def commands_page() -> str:
    """Write docs/reference/commands.md from the help texts."""
    lines = [MADE, "# Commands\n", "```text", _help(tendline, ["tendline"]), "```\n"]
    root = click.Context(tendline, info_name="tendline")
    for name in COMMANDS:
        command = tendline.get_command(root, name)
        assert command is not None
        lines += [f"## tendline {name}\n", "```text", _help(command, ["tendline", name]), "```\n"]
        if isinstance(command, click.Group):
            for sub in command.list_commands(root):
                child = command.get_command(root, sub)
                assert child is not None
                lines += [
                    f"### tendline {name} {sub}\n",
                    "```text",
                    _help(child, ["tendline", name, sub]),
                    "```\n",
                ]
    return "\n".join(lines)


def _help(command: click.Command, words: list[str]) -> str:
    context = click.Context(command, info_name=" ".join(words), terminal_width=100, max_content_width=100)
    return command.get_help(context)


def events_page() -> str:
    """Write docs/reference/events.md from the table of kinds."""
    lines = [
        MADE,
        "# Events\n",
        "The record is a list of events that are never altered or removed. What each body may hold:",
        "lengths in metres, masses in kilograms, durations in seconds.",
        "The same as JSON Schema: `src/tendline/logbook/schemas/event.json`.\n",
    ]
    for kind in KINDS.values():
        place = " Needs a place." if kind.needs_place else ""
        lines += [
            f"## {kind.name}\n",
            f"{kind.meaning}{place}\n",
            "| field | holds | needed | meaning |",
            "|---|---|---|---|",
        ]
        for field in kind.fields:
            holds = ", ".join(field.choices) or field.type.value
            if field.low is not None and field.high is not None:
                holds += f", {field.low:g} to {field.high:g}"
            lines.append(
                f"| `{field.name}` | {holds} | {'yes' if field.required else ''} | {field.meaning} |"
            )
        lines.append("")
    return "\n".join(lines)


def pages() -> dict[Path, str]:
    """Give every generated file with what it should hold."""
    schema = json.dumps(event_schema(), indent=1, ensure_ascii=False) + "\n"
    return {
        ROOT / "docs/house/map.md": house_map(),
        ROOT / "docs/reference/errors.md": errors_page(),
        ROOT / "docs/reference/commands.md": commands_page(),
        ROOT / "docs/reference/events.md": events_page(),
        ROOT / "docs/reference/openapi.json": json.dumps(openapi_document(), indent=1) + "\n",
        SOURCE / "logbook/schemas/event.json": schema,
    }


def main() -> None:
    """Write every page that is not as it should be."""
    for path, text in pages().items():
        path.parent.mkdir(parents=True, exist_ok=True)
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")
            print(f"written: {path.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
