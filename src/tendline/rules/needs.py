"""Owns what a rule may ask of a fact: each kind of need, and how needs are put together.

Does not own reading one (`rules.load_needs`) or whether the facts meet it (`rules.meet`).
"""

from dataclasses import dataclass

from tendline.rules.dated import Quantity
from tendline.rules.nouns import Across, Datum, Part, Point


@dataclass(frozen=True)
class Bounds:
    """Limits as the law writes them: the first two inclusive, the others not."""

    at_least: Quantity | None = None
    at_most: Quantity | None = None
    more_than: Quantity | None = None
    less_than: Quantity | None = None

    @property
    def words(self) -> str:
        """``at least 6 in and at most 12 in``."""
        pairs = (
            ("at least", self.at_least),
            ("more than", self.more_than),
            ("at most", self.at_most),
            ("less than", self.less_than),
        )
        return " and ".join(f"{word} {limit.text}" for word, limit in pairs if limit is not None)


class Need:
    """One thing asked of the facts."""


@dataclass(frozen=True)
class NotHeld(Need):
    """It was looked for and not found."""


@dataclass(frozen=True)
class MeasureNeed(Need):
    """Bounds on a measured value; a loop says how it is measured across."""

    measure: str
    bounds: Bounds
    across: Across | None = None


@dataclass(frozen=True)
class HeightNeed(Need):
    """Bounds on the height of the loop's bottom or top, above one surface, on snow perhaps above another."""

    height: str
    bounds: Bounds
    above: Datum
    above_on_snow: Datum | None = None


@dataclass(frozen=True)
class LengthNeed(Need):
    """Bounds on the length between two named points, less the parts that do not count."""

    ends: tuple[Point, Point]
    bounds: Bounds
    excluding: tuple[Part, ...] = ()


@dataclass(frozen=True)
class PartNeed(Need):
    """How many parts of a kind, where, how long, and that each works freely."""

    part: Part
    count_at_least: int | None = None
    count_at_most: int | None = None
    one_at: tuple[Point, ...] = ()
    each_at_most: Quantity | None = None
    free: bool = False


@dataclass(frozen=True)
class QualityNeed(Need):
    """A yes-or-no quality."""

    quality: str
    wanted: bool


@dataclass(frozen=True)
class WordNeed(Need):
    """A word out of a list, or none of a list; `answer` says the word is the answer to a question."""

    word: str
    one_of: tuple[str, ...] = ()
    none_of: tuple[str, ...] = ()
    answer: bool = False


@dataclass(frozen=True)
class DistanceNeed(Need):
    """How far from features, to which edge, from the reach or from the set, and what waives it."""

    features: tuple[str, ...]
    bounds: Bounds
    edge: str = "nearest-point"
    waived_by: tuple[str, ...] = ()
    from_reach: bool = False


@dataclass(frozen=True)
class CircleNeed(Need):
    """Nothing to tangle on within the reach and a margin, up to a height."""

    margin: Quantity | None = None
    up_to: Quantity | None = None


@dataclass(frozen=True)
class PaperNeed(Need):
    """A licence or certificate held, and carried where the law says so."""

    paper: str
    carried: bool = False


@dataclass(frozen=True)
class PermissionNeed(Need):
    """Leave of everybody whose leave is needed, of a certain making."""

    written: bool
    names_method: str = ""
    names_species: bool = False
    issued_within_years: int | None = None
    signed: bool = False
    carried: bool = False
    filed_first: bool = False


@dataclass(frozen=True)
class NeighbourNeed(Need):
    """Everybody who lives within a distance told, or their consent had."""

    consent: bool
    within: Quantity


@dataclass(frozen=True)
class TagNeed(Need):
    """A tag with one of several contents, of a certain making."""

    contents: tuple[tuple[str, ...], ...]
    material: tuple[str, ...] = ()
    ferrous: bool | None = None
    durable: bool = False


@dataclass(frozen=True)
class ProduceNeed(Need):
    """To be handed over or shown when somebody with the right to asks."""

    what: str


@dataclass(frozen=True)
class SeasonNeed(Need):
    """A season, by its id or ``own`` for that of the animal, open or not."""

    season: str
    is_open: bool


@dataclass(frozen=True)
class AllOf(Need):
    """All of them."""

    needs: tuple[Need, ...]


@dataclass(frozen=True)
class Choice:
    """One alternative, and what follows for who uses it."""

    need: Need
    then: tuple[Need, ...] = ()


@dataclass(frozen=True)
class AnyOf(Need):
    """One of several, with the duties that follow from the one used."""

    choices: tuple[Choice, ...]
