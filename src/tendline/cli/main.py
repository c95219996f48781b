"""Owns the command `tendline`: the list of commands, each loaded only when called, and how errors end.

Does not own what a command does (`jobs`).
"""

import importlib
import os
import sys
from collections.abc import Mapping

import click

from tendline.core.errors import TendlineError

COMMANDS: Mapping[str, str] = {
    "demo": "Build the invented example line and run the main job on it.",
    "start": "Make a new line folder.",
    "bring": "Take in GPX, GeoJSON, KML, GeoPackage, shapefile, CSV and GeoTIFF files.",
    "due": "Say what is due, by when, under which rule.",
    "round": "Plan one outing: order, times, slack, what does not fit.",
    "weeks": "Plan the days ahead so that no gap is ever over the limit.",
    "learn": "Learn your own pace and minutes from the record; offered, never silently applied.",
    "room": "Say how many more sets can be tended, where, and which spots to set.",
    "lawful": "Judge devices, sets, parcels, people and catches by the rules in force.",
    "gear": "Design a loop and a build; strength chain; parts, cut list, load.",
    "weather": "Say which loops, anchors and crossings the coming weather spoils.",
    "scout": "Say where the land pinches travel.",
    "note": "Record an event by hand.",
    "season": "Say what a season came to: effort, rates with ranges, waits, what earns its check.",
    "paper": "Write a paper: route card, finder sheet, forms and returns.",
    "send": "Write GPX, GeoJSON, KML, GeoPackage, CSV or a calendar; places blurred.",
    "serve": "Open the field page to paired phones.",
    "take": "Merge a phone's outbox, or another logbook of the line.",
    "audit": "Check hash chains, ledger balance and database.",
}
"""Every command with its one line of help, so that `--help` loads none of them."""

UNEXPECTED = 70
"""Exit code for a fault of tendline itself (EX_SOFTWARE of sysexits.h)."""


class LazyGroup(click.Group):
    """A group whose commands live in `tendline.cli.commands.<name>` and are imported when called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """Give the names of the commands, in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - click's signature
        """Import one command."""
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"tendline.cli.commands.{cmd_name}")
        command: click.Command = module.command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Write the list of commands without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="tendline", message="tendline %(version)s")
def tendline() -> None:
    """One tool for the whole job of tending a line of live-restraint sets.

    Not legal advice: it says what the rule profile you confirmed says, with source and date, and treats what
    is unknown as not allowed.
    """


def main() -> None:
    """Run the command line; never show a traceback."""
    try:
        code = tendline.main(standalone_mode=False)
        sys.exit(code if isinstance(code, int) else 0)
    except TendlineError as problem:
        for fault in problem.faults:
            click.echo(str(fault), err=True)
        sys.exit(problem.exit_code)
    except click.exceptions.Abort:
        click.echo("Stopped.", err=True)
        sys.exit(130)
    except click.ClickException as problem:
        problem.show()
        sys.exit(2)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except Exception as problem:
        if os.environ.get("TENDLINE_DEBUG"):
            raise
        click.echo(
            f"tendline met something it did not expect: {type(problem).__name__}: {problem}\n"
            "Nothing half-written is kept. Please report what you typed; TENDLINE_DEBUG=1 shows more.",
            err=True,
        )
        sys.exit(UNEXPECTED)
