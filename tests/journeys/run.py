"""Runs the command line as a person would, in this process, and gives back what they would see."""

import contextlib
import io
import json
import sys
from dataclasses import dataclass
from typing import Any
from unittest.mock import patch

from tendline.cli.main import main


@dataclass(frozen=True)
class Seen:
    """What one call came to."""

    code: int
    out: str
    err: str

    @property
    def data(self) -> dict[str, Any]:
        """The one JSON document on standard output."""
        found: dict[str, Any] = json.loads(self.out)
        return found


def run(*words: str) -> Seen:
    """Call `tendline` with these words."""
    out, err = io.StringIO(), io.StringIO()
    code = 0
    with (
        patch.object(sys, "argv", ["tendline", *words]),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        try:
            main()
        except SystemExit as ended:
            code = ended.code if isinstance(ended.code, int) else 1
    return Seen(code, out.getvalue(), err.getvalue())


def done(*words: str) -> Seen:
    """Call `tendline` and expect it to be done, with good news or bad."""
    seen = run(*words)
    assert seen.code in (0, 1), f"{words}: exit {seen.code}\n{seen.err}"
    return seen
