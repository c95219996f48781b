"""Owns which unit the heights of a raster are in, and who said so. Feet are never guessed.

Does not own reading the raster: `elevation` hands in what the file says.
"""

from dataclasses import dataclass
from typing import Any

from tendline.core.errors import refuse
from tendline.core.units import METRES_PER_FOOT, METRES_PER_SURVEY_FOOT
from tendline.ground.faults import HEIGHT_UNIT, HEIGHT_UNITS, HEIGHT_WORD
from tendline.ground.wording import close_match, short

US_SURVEY_FOOT = "US survey foot"

_METRES_PER = {
    "metre": 1.0,
    "foot": METRES_PER_FOOT,
    US_SURVEY_FOOT: METRES_PER_SURVEY_FOOT,
    "decimetre": 0.1,
    "centimetre": 0.01,
    "millimetre": 0.001,
}
_WORDS = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "metre"),
    **dict.fromkeys(("ft", "foot", "feet", "international foot", "international feet"), "foot"),
    **dict.fromkeys(
        ("us-ft", "us_ft", "ftus", "us survey foot", "us survey feet", "foot_us"), US_SURVEY_FOOT
    ),
    **dict.fromkeys(("us foot", "survey foot", "survey feet", "usft", "foot us"), US_SURVEY_FOOT),
    **dict.fromkeys(("dm", "decimetre", "decimeter", "decimetres", "decimeters"), "decimetre"),
    **dict.fromkeys(("cm", "centimetre", "centimeter", "centimetres", "centimeters"), "centimetre"),
    **dict.fromkeys(("mm", "millimetre", "millimeter", "millimetres", "millimeters"), "millimetre"),
}
TOLD = ("m", "ft", "us-ft")
"""What a person may say."""

_SAME = 1e-3
"""Two units closer than this are one for a person: the two kinds of foot differ by two in a million."""


@dataclass(frozen=True)
class HeightUnit:
    """A unit of height.

    Parameters
    ----------
    name
        ``metre``, ``foot``, ``US survey foot`` or another word of the file.
    metres
        Metres in one of it.
    said_by
        Who says so, for a person.
    """

    name: str
    metres: float
    said_by: str


def decide_unit(
    *, told: str | None, band: str, vertical: tuple[str, float] | None, file_name: str
) -> tuple[HeightUnit, tuple[str, ...]]:
    """Decide the unit of heights from all that speak of it.

    Parameters
    ----------
    told
        What the person says: one of `TOLD`, or None.
    band
        The unit tag of the raster's band; empty when it has none.
    vertical
        Name, and metres in one, of the unit of the vertical axis of the file's coordinate system; None
        without.
    file_name
        Its name, for messages.

    Returns
    -------
    HeightUnit, tuple of str
        The unit, and notes for the person. Where the person says feet and the file says which feet, the
        file's foot is taken.

    Raises
    ------
    Refused
        GND-406 when `told` is no unit; GND-405 when two of the three disagree; GND-404 when none says.
    """
    said = [] if told is None else [_told(told)]
    notes: list[str] = []
    if vertical is not None:
        said.insert(0, HeightUnit(vertical[0], vertical[1], "the vertical axis of its coordinate system"))
    if band.strip():
        word = _WORDS.get(band.strip().lower())
        if word is not None:
            said.insert(0, HeightUnit(word, _METRES_PER[word], "its unit tag"))
        else:
            notes.append(f"{file_name}: the unit tag '{short(band)}' is not known; it was read over.")
    if not said:
        raise refuse(
            HEIGHT_UNIT,
            "the file does not say whether its heights are metres or feet.",
            file_name,
            "Look it up where the file comes from, then say --elevation-unit m or --elevation-unit ft.",
        )
    for other in said[1:]:
        if abs(other.metres / said[0].metres - 1.0) > _SAME:
            raise refuse(
                HEIGHT_UNITS,
                f"{said[0].said_by} says {said[0].name}, but {other.said_by} says {other.name}.",
                file_name,
                "Find out which is right; leave --elevation-unit away to go by the file, or correct it.",
            )
    # Of two kinds of foot, the more exact word counts.
    exact = [unit for unit in said if unit.name == US_SURVEY_FOOT]
    return (exact or said)[0], tuple(notes)


def axis_unit(unit: Any) -> tuple[str, float]:
    """Give name and metres of the unit of an axis.

    Parameters
    ----------
    unit
        As PROJJSON writes it: ``"metre"``, or an object with `name` and `conversion_factor`.

    References
    ----------
    PROJJSON schema 0.7, `unit`.
    """
    return (
        (str(unit), 1.0) if isinstance(unit, str) else (str(unit["name"]), float(unit["conversion_factor"]))
    )


def _told(text: str) -> HeightUnit:
    word = text.strip().lower()
    if word not in TOLD:
        do = f"Say one of: {', '.join(TOLD)}.{close_match(word, TOLD)}"
        raise refuse(HEIGHT_WORD, f"'{short(text)}' is not a unit of height.", "--elevation-unit", do)
    name = _WORDS[word]
    return HeightUnit(name, _METRES_PER[name], "--elevation-unit")
