"""Owns the keys of each need in a profile, and the making of the need from them.

Does not own what a need means (`rules.needs`) or the rest of a rule (`rules.load_land`).
"""

from collections.abc import Callable

from tendline.rules.facts_ask import DIMENSIONS, LOOPS, QUALITIES, WORDS
from tendline.rules.faults import BAD_VALUE, NO_SUCH_NAME, NO_SUCH_PART, NOT_ALLOWED, SENSELESS
from tendline.rules.load_rules import Known
from tendline.rules.load_words import (
    read_bounds,
    read_either_list,
    read_members,
    read_noun,
    read_quantity,
    read_words,
)
from tendline.rules.needs import (
    AllOf,
    AnyOf,
    Choice,
    CircleNeed,
    DistanceNeed,
    HeightNeed,
    LengthNeed,
    MeasureNeed,
    Need,
    NeighbourNeed,
    PaperNeed,
    PartNeed,
    PermissionNeed,
    ProduceNeed,
    QualityNeed,
    SeasonNeed,
    TagNeed,
    WordNeed,
)
from tendline.rules.nouns import EDGES, FEATURES, TAG_WORDS, WAIVERS, Across, Datum, Part, Point
from tendline.rules.quantities import Dimension
from tendline.rules.tables import Table


def read_need(table: Table, known: Known) -> Need | None:
    """Read the need that stands in a table; None when it is faulty.

    Exactly one of the keys of `NEEDS` says which kind it is.
    """
    given = [key for key in NEEDS if key in table.raw]
    if len(given) != 1:
        what = "nothing is asked." if not given else f"{len(given)} things are asked: {', '.join(given)}."
        do = f"Write one of {', '.join(NEEDS)}; put several into all_of or any_of."
        table.fault(SENSELESS, what, given[-1] if given else "", do)
        table.take_all()
        return None
    return NEEDS[given[0]](table, known)


def read_needs(table: Table, key: str, known: Known) -> tuple[Need, ...]:
    """Read a list of needs, each a table of its own; empty when the key is not there."""
    if not table.has(key):
        return ()
    found: list[Need] = []
    for row in table.rows(key):
        need = read_need(row, known)
        row.close()
        if need is not None:
            found.append(need)
    return tuple(found)


def _any_of(table: Table, known: Known) -> Need | None:
    choices: list[Choice] = []
    for row in table.rows("any_of"):
        then = read_needs(row, "then", known)
        need = read_need(row, known)
        row.close()
        if need is not None:
            choices.append(Choice(need, then))
    if len(choices) == 1:
        table.fault(SENSELESS, "there is one alternative only.", "any_of", "Write the need itself.")
    return AnyOf(tuple(choices)) if choices else None


def _all_of(table: Table, known: Known) -> Need | None:
    needs = read_needs(table, "all_of", known)
    return AllOf(needs) if needs else None


def _measure(table: Table, known: Known) -> Need | None:  # noqa: ARG001  all readers are called alike
    name = read_noun(table, "measure", tuple(DIMENSIONS))
    if name is None:
        table.take_all()
        return None
    across = table.choice("across", Across) if name in LOOPS else None
    bounds = read_bounds(table, DIMENSIONS[name])
    return MeasureNeed(name, bounds, across) if bounds and (across or name not in LOOPS) else None


def _height(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    name, above = read_noun(table, "height", ("bottom", "top")), table.choice("above", Datum)
    on_snow = table.choice("above_on_snow", Datum) if table.has("above_on_snow") else None
    bounds = read_bounds(table, Dimension.LENGTH)
    return HeightNeed(name, bounds, above, on_snow) if name and above and bounds else None


def _length(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    ends = read_members(table, "length", Point)
    excluding = read_members(table, "excluding", Part, needed=False)
    bounds = read_bounds(table, Dimension.LENGTH)
    if ends and (len(ends) != 2 or ends[0] == ends[1]):
        table.fault(SENSELESS, "a length has two different ends.", "length", f"Two of {', '.join(Point)}.")
        return None
    if any(part is not Part.EXTENSION for part in excluding):
        do = 'Write excluding = ["extension"].'
        table.fault(NO_SUCH_PART, "only the extension has a length of its own.", "excluding", do)
    return LengthNeed((ends[0], ends[1]), bounds, excluding) if ends and bounds else None


def _part(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    name = read_noun(table, "part", tuple(Part))
    least = table.number("count_at_least", least=0, most=20) if table.has("count_at_least") else None
    most = table.number("count_at_most", least=0, most=20) if table.has("count_at_most") else None
    one_at = read_members(table, "one_at", Point, needed=False)
    each = read_quantity(table, "each_at_most", Dimension.LENGTH) if table.has("each_at_most") else None
    free = table.flag("free")
    if name is None:
        return None
    if least is None and most is None and not one_at and each is None and not free:
        what, do = "nothing is asked of the part.", "Write count_at_least, one_at, each_at_most or free."
        table.fault(SENSELESS, what, "part", do)
        return None
    return PartNeed(Part(name), least, most, one_at, each, free)


def _quality(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    name = read_noun(table, "quality", tuple(QUALITIES))
    if not table.has("is"):
        table.flag("is", needed=True)
        return None
    wanted = table.flag("is")
    return QualityNeed(name, wanted) if name else None


def _word(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    name = read_noun(table, "word", tuple(WORDS))
    one_of, none_of = read_either_list(table)
    for word in (*one_of, *none_of):
        allowed = WORDS.get(name or "", ())
        if allowed and word not in allowed:
            key = "one_of" if one_of else "none_of"
            table.fault(NOT_ALLOWED, f"'{word}' is not allowed here.", key, f"Allowed: {', '.join(allowed)}.")
    return WordNeed(name, one_of, none_of) if name and (one_of or none_of) else None


def _answer(table: Table, known: Known) -> Need | None:
    name = table.text("answer")
    one_of, none_of = read_either_list(table)
    question = known.questions.get(name)
    if question is None:
        if name:
            do = f"Questions held: {', '.join(known.questions) or 'none'}."
            table.fault(NO_SUCH_NAME, f"there is no question '{name}'.", "answer", do)
        return None
    for word in (*one_of, *none_of):
        if word not in question.answers:
            do = f"Answers held: {', '.join(question.answers)}."
            table.fault(
                NO_SUCH_NAME, f"'{name}' has no answer '{word}'.", "one_of" if one_of else "none_of", do
            )
    return WordNeed(name, one_of, none_of, answer=True) if one_of or none_of else None


def _distance(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    features = read_words(table, "distance", FEATURES)
    edge = read_noun(table, "edge", EDGES) if table.has("edge") else "nearest-point"
    waived = read_words(table, "waived_by", WAIVERS, needed=False)
    from_reach = table.flag("from_reach")
    bounds = read_bounds(table, Dimension.LENGTH)
    if not features or edge is None or bounds is None:
        return None
    return DistanceNeed(features, bounds, edge, waived, from_reach)


def _circle(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    if not table.flag("clear_circle"):
        table.fault(BAD_VALUE, "a circle that need not be clear asks nothing.", "clear_circle", "Write true.")
    margin = read_quantity(table, "margin", Dimension.LENGTH) if table.has("margin") else None
    up_to = read_quantity(table, "up_to", Dimension.LENGTH) if table.has("up_to") else None
    return CircleNeed(margin, up_to)


def _paper(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    name, carried = table.text("paper"), table.flag("carried")
    return PaperNeed(name, carried) if name else None


def _permission(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    kind = read_noun(table, "permission", ("written", "any"))
    has_years = table.has("issued_within_years")
    need = PermissionNeed(
        written=kind == "written",
        names_method=table.text("names_method", needed=False),
        names_species=table.flag("names_species"),
        issued_within_years=table.number("issued_within_years", least=1, most=50) if has_years else None,
        signed=table.flag("signed"),
        carried=table.flag("carried"),
        filed_first=table.flag("filed_first"),
    )
    return need if kind else None


def _neighbours(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    kind, within = (
        read_noun(table, "neighbours", ("told", "consent")),
        read_quantity(table, "within", Dimension.LENGTH),
    )
    return NeighbourNeed(kind == "consent", within) if kind and within else None


def _tag(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    contents = table.lists("tag")
    for word in (word for words in contents for word in words if word not in TAG_WORDS):
        do = f"Allowed: {', '.join(TAG_WORDS)}."
        table.fault(NOT_ALLOWED, f"'{word}' is nothing that a tag carries.", "tag", do)
    need = TagNeed(
        contents,
        table.words("material", needed=False),
        table.flag("ferrous") if table.has("ferrous") else None,
        table.flag("durable"),
    )
    return need if contents else None


def _produce(table: Table, known: Known) -> Need | None:  # noqa: ARG001
    what = table.text("produce")
    return ProduceNeed(what) if what else None


def _season(table: Table, known: Known) -> Need | None:
    name = table.text("season")
    known.mention(name, table.where("season"))
    if not table.has("open"):
        table.flag("open", needed=True)
        return None
    return SeasonNeed(name, table.flag("open")) if name else None


NEEDS: dict[str, Callable[[Table, Known], Need | None]] = {
    "measure": _measure,
    "height": _height,
    "length": _length,
    "part": _part,
    "quality": _quality,
    "word": _word,
    "answer": _answer,
    "distance": _distance,
    "clear_circle": _circle,
    "paper": _paper,
    "permission": _permission,
    "neighbours": _neighbours,
    "tag": _tag,
    "produce": _produce,
    "season": _season,
    "all_of": _all_of,
    "any_of": _any_of,
}
"""Every need by the key that names it."""
