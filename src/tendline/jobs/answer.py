"""Owns the shape of what a job gives back: text for a person, one JSON document, and whether it is bad news.

Does not own printing it (`cli`) or sending it (`server`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Answer:
    """What a job came to.

    Parameters
    ----------
    text
        For a person, ready to print.
    data
        The same as one JSON document.
    bad_news
        A script should notice: something overdue, unlawful, unbalanced, infeasible. Exit code 1.
    warnings
        For standard error.
    """

    text: str
    data: Mapping[str, Any]
    bad_news: bool = False
    warnings: tuple[str, ...] = field(default_factory=tuple)
