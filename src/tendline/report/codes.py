"""Owns the letters a check is pencilled in with, and the legend that explains them on the card.

Does not own the words themselves: those are `core.words`. A capital says how the device was found, two small
letters what had happened; a word written out is always as good.
"""

from collections.abc import Mapping

from tendline.core.words import FoundAs, Happened, LeftAs

FOUND: Mapping[FoundAs, str] = {
    FoundAs.WORKING: "OK",
    FoundAs.HOLDING: "H",
    FoundAs.KNOCKED_DOWN: "K",
    FoundAs.PUSHED_ASIDE: "A",
    FoundAs.TURNED: "T",
    FoundAs.CLOSED: "C",
    FoundAs.BURIED: "B",
    FoundAs.FROZEN: "F",
    FoundAs.OUT_OF_LIMITS: "L",
    FoundAs.BROKEN: "X",
    FoundAs.TAMPERED: "P",
    FoundAs.GONE: "G",
    FoundAs.NOT_FOUND: "N",
    FoundAs.NOT_REACHED: "R",
    FoundAs.UNSET: "U",
}
"""How the device was found, commonest first."""

HAPPENED: Mapping[Happened, str] = {
    Happened.NOTHING: "--",
    Happened.PASSED_BY: "pb",
    Happened.REFUSED: "rf",
    Happened.UNDER_OR_OVER: "uo",
    Happened.WIND: "wi",
    Happened.DEER: "de",
    Happened.OTHER_ANIMAL: "an",
    Happened.UNKNOWN: "un",
    Happened.FIRED_EMPTY: "fe",
    Happened.SNOW: "sn",
    Happened.FREEZE: "fr",
    Happened.THAW: "th",
    Happened.CAUGHT_KEPT: "ck",
    Happened.CAUGHT_RELEASED: "cr",
    Happened.NONTARGET_RELEASED: "nr",
    Happened.NONTARGET_INJURED: "ni",
    Happened.NONTARGET_DEAD: "nd",
    Happened.DOMESTIC_RELEASED: "do",
    Happened.FOUND_DEAD: "fd",
    Happened.BROKE_AWAY: "ba",
    Happened.CHEWED_OUT: "cw",
    Happened.ANCHOR_PULLED: "ap",
    Happened.SLIPPED_OUT: "so",
    Happened.TAKEN_BY_PREDATOR: "tp",
    Happened.PERSON: "pe",
    Happened.MISSING: "mi",
}
"""What had happened since the last look."""

LEFT: Mapping[LeftAs, str] = {
    LeftAs.WORKING: "W",
    LeftAs.UNSET: "U",
    LeftAs.PULLED: "P",
    LeftAs.AS_FOUND: "=",
}
"""How the device was left."""


def legend() -> tuple[tuple[str, str], ...]:
    """Give every code with its word, for the foot of the card: ``("K", "knocked down")``."""
    pairs = [(code, word.value) for table in (FOUND, HAPPENED) for word, code in table.items()]
    return tuple((code, word.replace("-", " ")) for code, word in pairs)
