"""Owns the parts a printed page is put together from: headings, words, tables, boxes, pictures.

Does not own what any paper says, nor how the parts look (`report.page_template`).
"""

import base64
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from tendline.core.units import Units

Tone = Literal["plain", "strong", "note", "box"]


@dataclass(frozen=True)
class Heading:
    """A heading; level 2 starts a part, level 3 a piece of it. The title of the paper is level 1."""

    text: str
    level: int = 2
    kind: Literal["heading"] = "heading"


@dataclass(frozen=True)
class Words:
    """A paragraph; `box` draws a frame round it."""

    text: str
    tone: Tone = "plain"
    kind: Literal["words"] = "words"


@dataclass(frozen=True)
class Pairs:
    """Labels with their values, in so many columns; an empty value is a line to write on."""

    pairs: tuple[tuple[str, str], ...]
    columns: int = 3
    kind: Literal["pairs"] = "pairs"


@dataclass(frozen=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    head
        Its heading.
    width
        Its share of the width, against the other columns.
    big
        Its words are large: names and limits.
    lead
        The first line of a cell is strong.
    write
        Its cells are boxes to write in.
    right
        Figures: set to the right.
    ticks
        Boxes to tick in every cell, by their labels.
    """

    head: str
    width: float = 1.0
    big: bool = False
    lead: bool = False
    write: bool = False
    right: bool = False
    ticks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Table:
    """A table; every row has one text for each column, in which a line end is kept."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    kind: Literal["table"] = "table"

    def __post_init__(self) -> None:
        """Refuse a row that does not fit the columns."""
        if any(len(row) != len(self.columns) for row in self.rows):
            raise ValueError("every row needs one cell for each column")


@dataclass(frozen=True)
class Ticks:
    """Things to tick off, in so many columns."""

    items: tuple[str, ...]
    columns: int = 1
    kind: Literal["ticks"] = "ticks"


@dataclass(frozen=True)
class Lines:
    """Labels with a line behind each, or a space of `tall` lines below, to write on."""

    labels: tuple[str, ...]
    columns: int = 1
    tall: int = 1
    kind: Literal["lines"] = "lines"


@dataclass(frozen=True)
class Picture:
    """A drawing or photograph.

    Parameters
    ----------
    file
        Its name in `Page.files`.
    alt
        The same in words, for whoever cannot see it.
    width
        Share of the width of the page, over 0 to 1.
    caption
        What stands below it.
    """

    file: str
    alt: str
    width: float = 1.0
    caption: str = ""
    kind: Literal["picture"] = "picture"


@dataclass(frozen=True)
class Gallery:
    """Pictures side by side, in so many columns."""

    pictures: tuple[Picture, ...]
    columns: int = 3
    kind: Literal["gallery"] = "gallery"


@dataclass(frozen=True)
class NewPage:
    """What follows starts on a page of its own."""

    kind: Literal["new-page"] = "new-page"


Block = Heading | Words | Pairs | Table | Ticks | Lines | Picture | Gallery | NewPage


@dataclass(frozen=True)
class Page:
    """A whole paper, in the order in which it is read.

    Parameters
    ----------
    paper
        ``us-letter`` or ``a4``.
    title, subtitle
        What it is, and of what: they stand at the head of every page.
    day
        When it was made, with the zone of its times.
    banner
        Empty unless the line is an example.
    blocks
        What stands on it.
    foot
        The cautions at the foot of every page.
    made
        What it was made from.
    files
        Pictures by name, all of them SVG; `photo_svg` wraps a photograph.
    """

    paper: str
    title: str
    subtitle: str
    day: str
    banner: str
    blocks: tuple[Block, ...]
    foot: str
    made: str
    files: dict[str, bytes] = field(default_factory=dict, repr=False)


def photo_svg(jpeg: bytes, wide: int, tall: int) -> bytes:
    """Wrap a JPEG of `wide` by `tall` pixels in an SVG, as the page engine takes pictures."""
    size = f'width="{wide}" height="{tall}"'
    text = base64.b64encode(jpeg).decode()
    inner = f'<image {size} href="data:image/jpeg;base64,{text}"/>'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {wide} {tall}">{inner}</svg>'.encode()
    )


def paper_of(units: Units) -> str:
    """Give US letter to people who read US units, A4 to the others."""
    return "us-letter" if units is Units.US else "a4"


def texts_of(page: Page) -> tuple[str, ...]:
    """Give every text that stands on a page, pictures' words included: what a test of privacy reads."""
    found = [page.title, page.subtitle, page.day, page.banner, page.foot, page.made]
    for block in page.blocks:
        found += _words_in(vars(block).values())
    return tuple(found)


def _words_in(values: Iterable[object]) -> list[str]:
    found: list[str] = []
    for value in values:
        if isinstance(value, str):
            found.append(value)
        elif isinstance(value, tuple):
            found += _words_in(value)
        elif hasattr(value, "__dataclass_fields__"):
            found += _words_in(vars(value).values())
    return found
