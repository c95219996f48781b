"""Owns the fields that only the law asks for: how a device is built, how a set hangs, what a leave says.

Does not own the kinds they belong to (`kinds`) or what a law makes of them (`rules`). All are optional: what
is left out is not known, and never "no".
"""

from tendline.core.words import (
    AnchorKind,
    BuildPoint,
    CatchAct,
    Exposure,
    FeatureClass,
    LandClass,
    PlaceKind,
    TagWord,
)
from tendline.logbook.field_types import Field, FieldType, choice, choices, flag

_LENGTH = FieldType.LENGTH

BUILD_FIELDS = (
    Field("built_as", FieldType.TEXT, "Name of the build it was made to."),
    Field("subtype", FieldType.TEXT, "What a profile calls this build: foot-type."),
    Field("loop_min_m", _LENGTH, "Width, as a circle, to which its stop lets the loop close.", low=0, high=1),
    flag("has_stop", "It has a stop that keeps the loop open."),
    Field("stops", FieldType.COUNT, "How many stops it has.", low=0, high=10),
    Field("cable_diameter_m", _LENGTH, "Thickness of the cable.", low=0.0003, high=0.03),
    Field("construction", FieldType.TEXT, "How the cable is laid: 7x7, 7x19, 1x19."),
    Field(
        "cable_length_m",
        _LENGTH,
        "From the anchor end of the cable to the lock, loop drawn up to its stop; without extension.",
        low=0.05,
        high=20,
    ),
    Field("cable_whole_m", _LENGTH, "Length of the whole cable, end to end.", low=0.05, high=20),
    Field("breakaway_n", FieldType.FORCE, "Load at which the breakaway parts.", low=10, high=20000),
    flag("has_breakaway", "It has a breakaway."),
    choice("breakaway_at", BuildPoint, "Where the breakaway sits."),
    Field("breakaway_method", FieldType.TEXT, "How its load is known: static-load, maker."),
    flag("commercial_breakaway", "The breakaway is a bought part, made for it."),
    Field("lock", FieldType.TEXT, "Name of the lock, as an approved list gives it."),
    flag("relaxing_lock", "The lock lets go when the animal stops pulling."),
    flag("lock_moving_parts", "The lock has moving parts."),
    flag("mechanical_lock", "The lock works by a mechanism."),
    flag("single_piece_lock", "The lock is one piece."),
    flag("power_assisted", "A spring closes the loop or the lock."),
    flag("compression_choke", "It has a spring that chokes."),
    Field("swivels", FieldType.COUNT, "How many swivels it has.", low=0, high=10),
    choices("swivel_at", BuildPoint, "Where its swivels sit."),
    Field("swivel_length_m", _LENGTH, "Length of its longest swivel.", low=0, high=1),
    flag("swivel_free", "Every swivel turns freely."),
    Field("locks", FieldType.COUNT, "How many locks it has.", low=0, high=10),
    Field("supports", FieldType.COUNT, "How many supports or collars it has.", low=0, high=10),
    choices("tag_says", TagWord, "What stands on its tag."),
    Field("tag_material", FieldType.TEXT, "What the tag is made of: copper, brass, plastic."),
    flag("tag_ferrous", "The tag is of iron or steel."),
    flag("tag_durable", "The tag lasts."),
    flag("tag_attached", "The tag is fixed to the device."),
    flag("multi_strand", "The cable has several strands."),
    flag("galvanised", "The cable is galvanised."),
    flag("good_order", "It was looked over and is in good order."),
    Field("finish", FieldType.TEXT, "How it was treated: boiled, dyed, white."),
)
"""For `device-built`."""

HANGING_FIELDS = (
    Field("top_m", _LENGTH, "Height of the loop's highest point above the surface.", low=0, high=3),
    choice("anchor_kind", AnchorKind, "What kind of anchor holds it."),
    flag("anchor_immovable", "The anchor cannot be moved by the animal."),
    Field("extension_m", _LENGTH, "Chain or cable between anchor and device; 0 for none.", low=0, high=20),
    Field("slope_deg", FieldType.DEGREES, "Slope of the ground at the anchor.", low=0, high=90),
    flag("reach_clear", "Somebody looked: all that a held animal can reach is clear."),
    Field(
        "obstacle_kind",
        FieldType.TEXT,
        "The nearest thing that it could tangle on: woody growth, fence, root.",
    ),
    Field("obstacle_m", _LENGTH, "From the anchor to that thing.", low=0, high=100),
    Field("obstacle_high_m", _LENGTH, "Height of that thing above ground or snow.", low=0, high=30),
    Field("obstacle_thick_m", _LENGTH, "Thickness of that thing, for a stem or branch.", low=0, high=2),
    flag("stick", "A stick lies over or beside the loop to turn deer."),
    Field("stick_thick_m", _LENGTH, "Thickness of that stick.", low=0, high=0.2),
    flag("stick_dead", "That stick is dead and brittle."),
    flag("stick_driven", "That stick is driven into the ground."),
    Field("stem_clear_m", _LENGTH, "Height to which an anchoring stem is clear of branches.", low=0, high=10),
    flag("kill_pole", "It hangs on a pole that springs up or lifts."),
    flag("attached_to_fence", "It is fastened to a fence."),
    flag("in_livestock_enclosure", "It stands where livestock is kept."),
    flag("in_path_of_people", "It stands in a path that people use."),
    flag("in_path_of_domestic_animals", "It stands in a path that domestic animals use."),
    flag("in_right_of_way", "It stands in the right-of-way of a road."),
    flag("in_water", "It stands in water."),
    flag("suspends_catch", "A held animal could hang free of the ground."),
    flag("bait_covered", "Its bait cannot be seen from above."),
    flag("closed_to_stop", "It is closed down to its stop."),
    choice("place_kind", PlaceKind, "What it hangs over: a trail, the gap under a fence, a log."),
    choice("exposure", Exposure, "How it lies to wind and drifting snow; for the weather."),
    flag("driven_in_frost", "Its anchor was driven into frozen ground; for the weather."),
    Field(
        "landmark_height_m",
        _LENGTH,
        "Height of its landmark above the ground; for the weather.",
        low=0,
        high=100,
    ),
    choices("looked_for", FeatureClass, "What was looked for round it; what is not noted is not near."),
    Field(
        "taped",
        FieldType.LENGTHS,
        "Distances taken with a tape or by pacing: exposed-bait=30ft; den=6ft.",
        choices=tuple(word.value for word in FeatureClass),
        low=0,
        high=5000,
    ),
)
"""For `set-made`, `check` and `adjusted`: each may change at any of them."""

PARCEL_FIELDS = (
    choice("land_class", LandClass, "What class of land the law counts it as."),
    Field("county", FieldType.TEXT, "Its county, as the profile spells it."),
    Field("owners", FieldType.TEXTS, "Everybody whose leave is needed, one and all."),
    flag("own_land", "It is your own land, or you live on it."),
    flag("farm_land", "It is farmed, or assessed as a farm."),
)

PERMISSION_FIELDS = (
    flag("signed", "It is signed."),
    flag("carried", "It, or a copy, is carried on the line."),
    Field("methods", FieldType.TEXTS, "Methods or devices that it names."),
    Field("species", FieldType.TEXTS, "Animals that it names."),
    flag("filed", "A copy is filed with the authority."),
    Field("filed_on", FieldType.DAY, "Day on which a copy was filed with the authority."),
    Field("withdrawn", FieldType.DAY, "Day on which it was withdrawn."),
)

CATCH_FIELDS = (
    flag("alive", "It was alive when found."),
    flag("licensed_dog", "It is a dog with a licence or an owner's tag."),
    flag("releasable", "It could be let go in good health."),
    Field("harvested_at", FieldType.INSTANT, "When it was taken into possession."),
    Field("kept_as", FieldType.CHOICE, "In what state it is kept.", choices=("live", "green-pelt", "pelt")),
)

ACT_FIELD = choice("act", CatchAct, "What was done.", required=True)
