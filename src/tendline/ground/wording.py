"""Owns small helps for wording a fault: runs of numbers, the nearest word, the place in a file.

Does not own the faults.
"""

import difflib
from collections.abc import Iterable, Sequence


def ranges(numbers: Sequence[int]) -> str:
    """Write rising whole numbers in full but short: ``1-4, 7, 9-12``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in runs)


def close_match(word: str, known: Iterable[str]) -> str:
    """Write `` Did you mean 'name'?`` (with a space before) for the nearest known word, or nothing."""
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f" Did you mean '{near[0]}'?" if near else ""


def short(text: str, limit: int = 60) -> str:
    """Cut a long value for a message, and show what cannot be printed as escapes."""
    shown = text.encode("unicode_escape").decode("ascii") if not text.isprintable() else text
    return shown if len(shown) <= limit else shown[: limit - 1] + "…"
