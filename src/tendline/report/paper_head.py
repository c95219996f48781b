"""Owns what stands on every paper besides its own matter: dates, what it was made from, the cautions.

Does not own the matter of any paper.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from tendline.core.line import LineState
from tendline.core.settings import Settings
from tendline.report.page import Block, Page, paper_of
from tendline.report.paper_words import when_text
from tendline.report.say import INVENTED, plain

FOOT = (
    "Not legal advice: the law, the permit and the officer decide. Unknown is not allowed."
    " A log is its holder's own statement."
)


@dataclass(frozen=True)
class Desk:
    """What every paper is written from.

    Parameters
    ----------
    settings, line
        The person's own, and the line as it stood.
    now
        When the paper is made.
    made_from
        What it is made from, in words.
    """

    settings: Settings
    line: LineState
    now: datetime
    made_from: str

    @property
    def day(self) -> date:
        """The local day on which the paper is made."""
        return self.now.astimezone(self.settings.zone).date()

    def when(self, instant: datetime | None) -> str:
        """Write an instant in the person's zone."""
        return when_text(instant, self.settings.zone)


def make_page(
    desk: Desk,
    *,
    title: str,
    subtitle: str,
    blocks: Sequence[Block],
    foot: str = FOOT,
    files: Mapping[str, bytes] | None = None,
) -> Page:
    """Put a paper together: dated, with what it was made from.

    Parameters
    ----------
    desk
        What it is written from.
    title, subtitle
        What it is, and of what.
    blocks
        Its own matter.
    foot
        The cautions at the foot.
    files
        Its pictures.
    """
    zone = desk.settings.zone
    return Page(
        paper=paper_of(desk.settings.units),
        title=title,
        subtitle=plain(subtitle),
        day=f"made {desk.when(desk.now)} ({desk.now.astimezone(zone).tzname()})",
        banner=INVENTED if desk.settings.invented else "",
        blocks=tuple(blocks),
        foot=foot,
        made=f"Made by tendline from {plain(desk.made_from)}.",
        files=dict(files or {}),
    )
