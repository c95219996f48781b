"""Owns the options that papers share.

Does not own any paper.
"""

from collections.abc import Callable, Iterable
from typing import Any

import click


def out_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command `--out`."""
    return click.option("--out", metavar="FILE", help="Where to write the PDF.")(command)


def days_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command `--from` and `--to`."""
    last = click.option("--to", "last", metavar="DAY", help="Last day told; today when left out.")
    first = click.option(
        "--from", "first", metavar="DAY", help="First day told; all of the record otherwise."
    )
    return first(last(command))


def named(texts: Iterable[str]) -> tuple[str, ...]:
    """Give the names in options that may hold several, with commas or blanks between."""
    return tuple(name for text in texts for name in text.replace(",", " ").split())
