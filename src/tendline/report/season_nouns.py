"""Owns what a reader of a season is told: the review, the removal index, and the parts they are told in.

Does not own the figures (`season`) or their form (`season_text`, `season_json`, `season_plots`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tendline.core.line import LineState
from tendline.core.settings import Settings
from tendline.report.table import Column
from tendline.season.intervals import Estimate
from tendline.season.removal_index import RemovalIndex
from tendline.season.review import Review


@dataclass(frozen=True)
class Told:
    """What a reader is told.

    Parameters
    ----------
    review, removal
        The figures; `removal` is None when it was not asked for.
    settings
        Whose line.
    legal_said
        What is known of the legal season.
    limits_doubt
        Why the legal limits are not verified; empty when they are.
    line
        The line, for titles of properties.
    """

    review: Review
    removal: RemovalIndex | None
    settings: Settings
    legal_said: str
    limits_doubt: str
    line: LineState

    def title(self, parcel: str) -> str:
        """Give what people call a property."""
        known = self.line.parcels.get(parcel)
        return known.title if known is not None else parcel


@dataclass(frozen=True)
class Cells:
    """A table before it is drawn: its columns, and a text for each in every row."""

    columns: Sequence[Column]
    rows: Sequence[tuple[str, ...]]


Said = str | Cells
"""A paragraph or a table; an empty paragraph is a gap."""


@dataclass(frozen=True)
class Part:
    """One part of a season as it is told, before lines are broken; without a title it has no heading."""

    title: str
    said: Sequence[Said]


def number(value: float) -> str:
    """Write a figure with as many digits as it bears: ``0.84``, ``3.1``, ``12``."""
    if value == float("inf"):
        return "no end"
    if value >= 99.5:
        return f"{value:,.0f}"
    return f"{value:.2f}" if value < 0.995 else f"{value:.1f}" if value < 9.95 else f"{value:.0f}"


def between(estimate: Estimate, *, times: float = 1.0) -> str:
    """Write a range: ``0.40 to 1.9``."""
    return f"{number(estimate.low * times)} to {number(estimate.high * times)}"


def percent(value: float | None) -> str:
    """Write a share: ``64 %``; a dash for none."""
    return "-" if value is None else f"{100 * value:.0f} %"


def heading(title: str) -> list[str]:
    """Give the lines that begin a part."""
    return ["", title.upper()]


def sentence(said: str) -> str:
    """Make a sentence of what was said; empty stays empty."""
    return f"{said[0].upper()}{said[1:]}." if said else ""
