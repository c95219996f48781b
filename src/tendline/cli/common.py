"""Owns the options that every command has, and the way an answer is printed.

Does not own any command.
"""

import functools
import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from tendline.jobs.answer import Answer
    from tendline.jobs.workspace import Workspace


@dataclass(frozen=True)
class Call:
    """The options of one call that all commands share."""

    line: str | None
    at: str | None
    units: str | None
    as_json: bool

    def workspace(self) -> "Workspace":
        """Open the line folder that the call is about."""
        from tendline.jobs.workspace import open_workspace

        return open_workspace(self.line, at=self.at, units=self.units)

    def show(self, answer: "Answer") -> int:
        """Print an answer; give the exit code."""
        for warning in answer.warnings:
            click.echo(f"warning: {warning}", err=True)
        if self.as_json:
            click.echo(json.dumps(answer.data, ensure_ascii=False, indent=1, allow_nan=False))
        else:
            click.echo(answer.text)
        sys.stdout.flush()
        return 1 if answer.bad_news else 0


def common(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the shared options; it takes them as its first argument, a `Call`."""

    @click.option(
        "--line", metavar="FOLDER", help="The line folder (default: this folder, then TENDLINE_LINE)."
    )
    @click.option("--at", metavar="WHEN", help="Pretend it is this moment: 2027-01-15T05:00 or 05:00.")
    @click.option("--units", type=click.Choice(["us", "metric"]), help="Units for this call.")
    @click.option(
        "--json", "as_json", is_flag=True, help="One JSON document on standard output, nothing else."
    )
    @functools.wraps(command)
    def wrapped(
        *args: Any, line: str | None, at: str | None, units: str | None, as_json: bool, **kwargs: Any
    ) -> Any:
        return command(Call(line, at, units, as_json), *args, **kwargs)

    return wrapped


def pair(text: str | None, name: str) -> tuple[float, float] | None:
    """Read ``LON,LAT`` from an option; None when it was not given."""
    if text is None:
        return None
    try:
        lon, lat = (float(part) for part in text.split(","))
    except ValueError:
        raise click.BadParameter(f"'{text}' is not LON,LAT, such as -78.01,41.52", param_hint=name) from None
    return lon, lat
