"""Owns reading the words, lists, quantities and bounds that needs are made of.

Does not own the needs (`rules.load_needs`) or plain values (`rules.tables`).
"""

from enum import StrEnum
from typing import TypeVar

from tendline.rules.dated import Quantity
from tendline.rules.faults import BAD_VALUE, NO_SUCH_PART, SENSELESS
from tendline.rules.needs import Bounds
from tendline.rules.quantities import Dimension, is_a, units_of
from tendline.rules.tables import Table

E = TypeVar("E", bound=StrEnum)
BOUNDS = ("at_least", "at_most", "more_than", "less_than")
"""The keys of limits."""

NOUN_DO = "Name one of these, or ask it as a [question.ID] and test its answer."


def read_noun(table: Table, key: str, allowed: tuple[str, ...]) -> str | None:
    """Read a word of a closed list of nouns; None when it is missing or unknown."""
    name = table.text(key)
    if name in allowed:
        return name
    if name:
        what = f"there is no {key} '{name}' that tendline knows."
        table.fault(NO_SUCH_PART, what, key, f"Allowed: {', '.join(allowed)}. {NOUN_DO}")
    return None


def read_words(table: Table, key: str, allowed: tuple[str, ...], *, needed: bool = True) -> tuple[str, ...]:
    """Read a list of words of a closed list; unknown ones are told and left out."""
    found = table.words(key, needed=needed)
    for word in found:
        if word not in allowed:
            do = f"Allowed: {', '.join(allowed)}."
            table.fault(NO_SUCH_PART, f"'{word}' is nothing that tendline knows.", key, do)
    return tuple(word for word in found if word in allowed)


def read_members(table: Table, key: str, kind: type[E], *, needed: bool = True) -> tuple[E, ...]:
    """Read a list of members of an enumeration."""
    return tuple(kind(word) for word in read_words(table, key, tuple(kind), needed=needed))


def read_either_list(table: Table) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Read the keys ``one_of`` and ``none_of``, of which one is wanted."""
    one_of, none_of = table.words("one_of", needed=False), table.words("none_of", needed=False)
    if bool(one_of) == bool(none_of):
        table.fault(SENSELESS, "one list is wanted.", "one_of", "Write one_of or none_of.")
        return (), ()
    return one_of, none_of


def read_quantity(table: Table, key: str, dimension: Dimension) -> Quantity | None:
    """Read a quantity of one dimension."""
    found = table.quantity(key)
    if found is not None and not is_a(found, dimension):
        units = ", ".join(units_of(dimension)) or "none"
        table.fault(BAD_VALUE, f"'{found.text}' is no {dimension}.", key, f"Units allowed: {units}.")
        return None
    return found


def read_bounds(table: Table, dimension: Dimension) -> Bounds | None:
    """Read the limits of a measured value; at least one is wanted."""
    given = {key: read_quantity(table, key, dimension) for key in BOUNDS if table.has(key)}
    if not given:
        table.fault(SENSELESS, "there is no limit.", "at_most", f"Write one or more of {', '.join(BOUNDS)}.")
        return None
    if any(found is None for found in given.values()):
        return None
    return Bounds(**given)
