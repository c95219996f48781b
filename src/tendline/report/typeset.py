"""Owns the one door to the page engine: a route card or a page goes in, the bytes of a PDF come out.

Does not own what they say (`report.card`, `report.page`) or look like (the templates), and writes no file.
Only the fonts that come with the engine are used and no date is written, so that the same card gives the same
bytes on every machine.
"""

import json
import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import asdict, replace
from functools import cache
from typing import Any, Literal

import typst

from tendline.core.errors import Refused, refuse
from tendline.report.card import RouteCard
from tendline.report.card_template import ROUTE_CARD
from tendline.report.faults import NOT_SET
from tendline.report.page import Page
from tendline.report.page_template import PAGE

LONGEST_WORD = 16
"""Words longer than this get places to break, so that they stay inside their column [characters]."""
PIECE = 8
"""So many letters apart."""

ACCESSIBLE: Literal["ua-1"] = "ua-1"
"""Papers are tagged so that they can be read aloud: PDF/UA-1 (ISO 14289-1)."""

_NOT_WORDS = frozenset({"svg", "paper", "kind", "tone", "file"})
_GLYPH = re.compile(r'<use[^>]*href="#([^"]+)"')
_WORD = re.compile(r"[^ \n]+")
_NOBODY = "\U0010fffe"
"""A code point that no font can ever hold a letter for (Unicode Standard, section 23.7, noncharacters)."""
_PROBE = """
#set page(width: 40pt, height: 40pt, margin: 4pt)
#set text(font: ("Libertinus Serif", "DejaVu Sans Mono"))
#for letter in json(bytes(sys.inputs.letters)) { page(letter) }
"""


_WATCHED: ContextVar[list[bytes] | None] = ContextVar("pages watched", default=None)


@contextmanager
def pages_watched() -> Iterator[list[bytes]]:
    """Also draw every page that is set meanwhile, as an SVG: what a preview shows is what the PDF holds."""
    pages: list[bytes] = []
    before = _WATCHED.set(pages)
    try:
        yield pages
    finally:
        _WATCHED.reset(before)


def route_card_pdf(card: RouteCard) -> bytes:
    """Set a route card.

    Parameters
    ----------
    card
        What stands on it.

    Returns
    -------
    bytes
        A PDF of one page or more, checked by the engine for PDF/UA-1; the same card always gives the same
        bytes.

    Raises
    ------
    Refused
        REP-102 when the page engine refuses.
    """
    return _pdf(ROUTE_CARD, {"card": page_data(card)})


def paper_pdf(page: Page) -> bytes:
    """Set a paper.

    Parameters
    ----------
    page
        What stands on it, with its pictures.

    Returns
    -------
    bytes
        A PDF that the engine has checked for PDF/UA-1; the same page always gives the same bytes.

    Raises
    ------
    Refused
        REP-102 when the page engine refuses.
    """
    drawn = {name: _drawable(data) for name, data in page.files.items()}
    return _pdf(PAGE, {"page": paper_data(page)}, drawn)


def _pdf(source: str, inputs: dict[str, str], files: Mapping[str, bytes] | None = None) -> bytes:
    """Set a PDF that can be read aloud; one that cannot, where the engine finds that this is not to be had.

    Whoever leaves at four in the morning needs the paper, whatever letter stands on it.
    """
    watched = _WATCHED.get()
    if watched is not None:
        watched += _compile(source, inputs, form="svg", files=files)
    try:
        return _compile(source, inputs, form="pdf", files=files, standard=ACCESSIBLE)[0]
    except Refused:
        return _compile(source, inputs, form="pdf", files=files)[0]


def _drawable(svg: bytes) -> bytes:
    """Stand in for letters of a drawing that the fonts do not have; the words beside it do the same.

    In a drawing, marks that make no letter with the one before them are left out: they have no place alone.
    """
    text = svg.decode()
    if text.isascii():
        return svg
    text = "".join(c for c in unicodedata.normalize("NFC", text) if unicodedata.category(c)[0] != "M")
    missing = letters_without_shape(text)
    return "".join("\u25a1" if c in missing else c for c in text).encode()


def paper_data(page: Page) -> str:
    """Write a page as the JSON it is set from; pictures go beside it, by their names."""
    content = asdict(replace(page, files={}))
    content.pop("files")
    content, missing = _printable(content)
    if missing:
        what = "Some letters are not in the fonts of this paper: they stand as a name or a box."
        content["made"] = f"{content['made']} {what}"
    return json.dumps(content)


def page_data(card: RouteCard) -> str:
    """Write a card as the JSON its page is set from, with long words made breakable."""
    content, missing = _printable(asdict(card))
    if missing:
        what = "Some letters are not in the fonts of this card: they stand as a name or a box. Write them in."
        content["warnings"] = [*content["warnings"], what]
    return json.dumps(content)


def _printable(content: Any) -> tuple[Any, bool]:
    """Make long words breakable and stand in for letters the fonts do not have; say whether there are any."""
    missing = letters_without_shape("".join(_texts(content)))
    changed = _each_text(
        content, lambda text: _breakable("".join(_stand_in(c) if c in missing else c for c in text))
    )
    return changed, bool(missing)


def letters_without_shape(text: str) -> frozenset[str]:
    """Find the letters of `text` for which the fonts of the engine have no shape.

    Each letter outside Latin-1 is set alone on a tiny page beside one that no font can have; the same
    drawing means that both got the box for an unknown letter.
    """
    letters = sorted({c for c in text if ord(c) > 0xFF})
    if not letters:
        return frozenset()
    unknown, *pages = _compile(_PROBE, {"letters": json.dumps([_NOBODY, *letters])}, form="svg")
    box = _shape(unknown)
    return frozenset(letter for letter, page in zip(letters, pages, strict=True) if _shape(page) == box)


def _shape(page: bytes) -> str:
    found = _GLYPH.search(page.decode())
    return found.group(1) if found else ""


def _compile(
    source: str,
    inputs: dict[str, str],
    *,
    form: Literal["pdf", "svg"],
    files: Mapping[str, bytes] | None = None,
    standard: Literal["ua-1"] | None = None,
) -> list[bytes]:
    given: Any = {"main.typ": source.encode(), **files} if files else source.encode()
    try:
        made = _engine().compile(given, format=form, sys_inputs=inputs, timestamp=0, pdf_standards=standard)
    except typst.TypstError as error:
        raise refuse(
            NOT_SET,
            f"the page engine says: {error.message}",
            "",
            "Look for an unusual name or a very long text in it; the record itself is not affected.",
        ) from error
    return [made] if isinstance(made, bytes) else list(made or [])


@cache
def _engine() -> typst.Compiler:
    """Start the page engine once, with its own fonts only."""
    return typst.Compiler(font_paths=typst.Fonts(include_system_fonts=False), ignore_system_fonts=True)


def _texts(tree: Any) -> list[str]:
    if isinstance(tree, str):
        return [tree]
    if isinstance(tree, dict):
        return [text for key, value in tree.items() if key not in _NOT_WORDS for text in _texts(value)]
    return [text for value in tree for text in _texts(value)] if isinstance(tree, list | tuple) else []


def _each_text(tree: Any, change: Callable[[str], str]) -> Any:
    if isinstance(tree, str):
        return change(tree)
    if isinstance(tree, dict):
        return {k: v if k in _NOT_WORDS else _each_text(v, change) for k, v in tree.items()}
    return [_each_text(value, change) for value in tree] if isinstance(tree, list | tuple) else tree


def _breakable(text: str) -> str:
    """Put a place to break after every few letters of a very long word; blanks and line ends part words."""
    return _WORD.sub(
        lambda word: word[0] if len(word[0]) <= LONGEST_WORD else "\u200b".join(_pieces(word[0])), text
    )


def _pieces(word: str) -> list[str]:
    return [word[i : i + PIECE] for i in range(0, len(word), PIECE)]


def _stand_in(letter: str) -> str:
    """Say a sign by its name, a letter of another script by a box."""
    name = unicodedata.name(letter, "").lower()
    return f"[{name}]" if unicodedata.category(letter) == "So" and name else "\u25a1"
