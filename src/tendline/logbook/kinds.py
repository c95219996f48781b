"""Owns the closed list of event kinds and what the body of each holds, field by field.

Does not own whether an event fits the line as it stands: that is `admit`.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from tendline.core.words import (
    CableCondition,
    DeviceClass,
    Done,
    Fate,
    FoundAs,
    Happened,
    LeftAs,
    MoneyFor,
    Standing,
    Sure,
    Surface,
)
from tendline.logbook.field_types import Field, FieldType, choice
from tendline.logbook.law_fields import (
    ACT_FIELD,
    BUILD_FIELDS,
    CATCH_FIELDS,
    HANGING_FIELDS,
    PARCEL_FIELDS,
    PERMISSION_FIELDS,
)


@dataclass(frozen=True)
class Kind:
    """One kind of event.

    Parameters
    ----------
    name
        As in DESIGN and on the command line.
    version
        Of the body; a change that old readers would misread makes it one more.
    meaning
        One sentence.
    fields
        What the body may hold.
    subject
        The field that may be written first, without a name, on the command line.
    needs_place
        An event without a place is refused.
    """

    name: str
    version: int
    meaning: str
    fields: tuple[Field, ...]
    subject: str = ""
    needs_place: bool = False

    def field(self, name: str) -> Field | None:
        """Find a field by name."""
        return next((f for f in self.fields if f.name == name), None)


_NOTE = Field("note", FieldType.TEXT, "Anything else, in your own words.")
_PHOTOS = Field("photos", FieldType.TEXTS, "Photos of it, by the SHA-256 of the file in photos/.")
_VOICES = Field("voices", FieldType.TEXTS, "Spoken notes on it, by the SHA-256 of the file in voices/.")
_SOURCE = Field("source", FieldType.TEXT, "File and key it was brought from.")
_SET = Field("set", FieldType.NAME, "Short name of the set.", required=True)
_SPECIES = Field("species", FieldType.TEXT, "Which animal, in the trade's words: coyote, red fox, deer.")
_SURE = choice("how_sure", Sure, "How sure the species is.")
_WHY = Field("why", FieldType.TEXT, "Why.", required=True)
_LOOP = Field("loop_m", FieldType.LENGTH, "Width of the loop as a circle.", low=0.02, high=1.0)
_BOTTOM = Field(
    "bottom_m", FieldType.LENGTH, "Height of the loop's lowest point above the surface.", low=0, high=2
)
_SURFACE = choice("surface", Surface, "The surface that height was measured from.")
_SNOW = Field("snow_m", FieldType.LENGTH, "Depth of snow on the ground there.", low=0, high=10)
_PART = Field("part", FieldType.NAME, "Which part: cable, lock, stop, swivel.", required=True)
_COUNT = Field("count", FieldType.COUNT, "How many.", required=True, low=1, high=100_000)
_PIECE = Field(
    "length_m", FieldType.LENGTH, "Length of one, for rolls and offcuts of cable.", low=0.05, high=5000
)
_PARTS = Field(
    "parts", FieldType.COUNTS, "Loose parts it was made of; they leave the stock.", low=0, high=100
)

_KINDS = (
    Kind(
        "parcel",
        1,
        "A piece of ground under one owner.",
        (
            Field("name", FieldType.NAME, "Short name.", required=True),
            Field("title", FieldType.TEXT, "What people call it."),
            Field("outline", FieldType.OUTLINE, "Its bounds.", required=True),
            Field("owner", FieldType.TEXT, "Who owns it."),
            Field("phone", FieldType.TEXT, "How to reach them."),
            Field("zones", FieldType.ANSWERS, "Answers to a rule profile's questions about the place."),
            *PARCEL_FIELDS,
            _NOTE,
            _SOURCE,
        ),
        subject="name",
    ),
    Kind(
        "permission",
        1,
        "Leave to be on a parcel.",
        (
            Field("parcel", FieldType.NAME, "Short name of the parcel.", required=True),
            Field("first", FieldType.DAY, "First good day."),
            Field("last", FieldType.DAY, "Last good day."),
            Field("given_by", FieldType.TEXT, "Who gave it."),
            Field("written", FieldType.FLAG, "It is in writing."),
            Field("names_cables", FieldType.FLAG, "It names cable devices."),
            *PERMISSION_FIELDS,
            _NOTE,
        ),
        subject="parcel",
    ),
    Kind(
        "parking",
        1,
        "A place where the truck may stand.",
        (
            Field("name", FieldType.NAME, "Short name.", required=True),
            Field("parcels", FieldType.NAMES, "Parcels walked from it."),
            _NOTE,
            _SOURCE,
        ),
        subject="name",
        needs_place=True,
    ),
    Kind(
        "landmark",
        1,
        "A thing that stands above the snow.",
        (Field("name", FieldType.NAME, "Short name.", required=True), _NOTE, _SOURCE),
        subject="name",
        needs_place=True,
    ),
    Kind(
        "device-built",
        1,
        "A device was built or bought; it is in stock.",
        (
            Field("tag", FieldType.TAG, "Its tag.", required=True),
            choice("device_class", DeviceClass, "What kind of device, as the law tells them apart."),
            _LOOP,
            Field("built_for", FieldType.TEXT, "The rule profile it was built for."),
            *BUILD_FIELDS,
            _PARTS,
            _NOTE,
        ),
        subject="tag",
    ),
    Kind(
        "device-inspected",
        1,
        "A device was looked over. A cable that is not sound is out until the device is rebuilt.",
        (
            Field("tag", FieldType.TAG, "Its tag.", required=True),
            choice("cable", CableCondition, "What its cable is like.", required=True),
            _NOTE,
        ),
        subject="tag",
    ),
    Kind(
        "device-rebuilt",
        1,
        "A device was given a new cable and may be used again; what is told of its build is new.",
        (Field("tag", FieldType.TAG, "Its tag.", required=True), _LOOP, *BUILD_FIELDS, _PARTS, _NOTE),
        subject="tag",
    ),
    Kind(
        "device-scrapped",
        1,
        "A device is used up.",
        (Field("tag", FieldType.TAG, "Its tag.", required=True), _WHY),
        subject="tag",
    ),
    Kind(
        "parts-received",
        1,
        "Loose parts came in: bought, found, or taken off a device.",
        (_PART, _COUNT, _PIECE, _NOTE),
        subject="part",
    ),
    Kind(
        "parts-used",
        1,
        "Loose parts were used up, given away or thrown away, but for those a device says it was made of.",
        (_PART, _COUNT, _PIECE, _NOTE),
        subject="part",
    ),
    Kind(
        "stock-count",
        1,
        "Loose parts were counted: what was counted is what there is, and the difference is kept.",
        (
            _PART,
            Field("count", FieldType.COUNT, "How many there are.", required=True, low=0, high=100_000),
            _PIECE,
            _NOTE,
        ),
        subject="part",
    ),
    Kind(
        "set-made",
        1,
        "A device was put to work in a place.",
        (
            Field("set", FieldType.NAME, "Short name of the set.", required=True),
            Field("tag", FieldType.TAG, "The device in it."),
            Field("parcel", FieldType.NAME, "Parcel it stands on."),
            choice("device_class", DeviceClass, "What kind of device."),
            _LOOP,
            _BOTTOM,
            _SURFACE,
            _SNOW,
            *HANGING_FIELDS,
            Field("anchor", FieldType.TEXT, "What holds it."),
            Field("target", FieldType.TEXT, "The animal it is for."),
            Field(
                "location_type",
                FieldType.TEXT,
                "What kind of place: trail, field edge, fence crossing, bait.",
            ),
            Field("landmark", FieldType.TEXT, "How to find it under snow, in words."),
            Field(
                "time_known",
                FieldType.FLAG,
                "No: the file did not say when it was set; its clock is unknown.",
            ),
            Field("monitored", FieldType.FLAG, "A remote system reports it."),
            choice("left_as", LeftAs, "Working, or hung but unset."),
            _NOTE,
            _SOURCE,
        ),
        subject="set",
        needs_place=True,
    ),
    Kind(
        "check",
        1,
        "A look at a set: found as, what happened, done, left as.",
        (
            _SET,
            choice("found_as", FoundAs, "How the device was found.", required=True),
            choice("what_happened", Happened, "What had happened since the last look.", required=True),
            choice("done", Done, "What was done.", required=True),
            choice("left_as", LeftAs, "How the device was left.", required=True),
            _SPECIES,
            _SURE,
            Field("from_distance", FieldType.FLAG, "Seen through glass or by headlights only."),
            Field("tag", FieldType.TAG, "The new device, when it was swapped."),
            choice("cable", CableCondition, "What the cable found there was like."),
            _LOOP,
            _BOTTOM,
            _SURFACE,
            _SNOW,
            *HANGING_FIELDS,
            Field("minutes_s", FieldType.SECONDS, "Time spent at the set.", low=0, high=6 * 3600),
            _PHOTOS,
            _VOICES,
            _NOTE,
        ),
        subject="set",
    ),
    Kind(
        "adjusted",
        1,
        "A set was measured or altered. By itself it starts no clock: note a check for the look.",
        (_SET, _LOOP, _BOTTOM, _SURFACE, _SNOW, *HANGING_FIELDS, Field("why", FieldType.TEXT, "Why."), _NOTE),
        subject="set",
    ),
    Kind(
        "catch",
        1,
        "An animal was held: what it was and what became of it.",
        (
            _SET,
            Field("species", FieldType.TEXT, "Which animal.", required=True),
            choice("standing", Standing, "Target, non-target or domestic.", required=True),
            choice("fate", Fate, "What became of it.", required=True),
            Field("check", FieldType.EVENT, "The check that found it."),
            Field("held_by", FieldType.TEXT, "Part held: neck, body, leg."),
            Field("sex", FieldType.CHOICE, "Sex.", choices=("female", "male", "unknown")),
            Field("weight_kg", FieldType.MASS, "Weight.", low=0.05, high=400),
            Field("neck_m", FieldType.LENGTH, "Round its neck, behind the ears.", low=0.05, high=1.5),
            Field(
                "chest_m",
                FieldType.LENGTH,
                "From its foot to the lowest part of its chest, leg straight.",
                low=0.03,
                high=1.5,
            ),
            Field("condition", FieldType.TEXT, "Condition, injuries."),
            Field("injuries", FieldType.TEXTS, "Each injury, by its name on your protocol's list of points."),
            Field("reported_to", FieldType.TEXT, "Owner, landowner, officer told, and when."),
            *CATCH_FIELDS,
            _PHOTOS,
            _VOICES,
            _NOTE,
        ),
        subject="set",
    ),
    Kind(
        "catch-done",
        1,
        "Something was done about the last catch at a set: reported, sealed, moved, released.",
        (_SET, ACT_FIELD, Field("to", FieldType.TEXT, "To whom, or with whom."), _NOTE),
        subject="set",
    ),
    Kind("pulled", 1, "A set was taken up; its device is back in stock.", (_SET, _NOTE), subject="set"),
    Kind(
        "lost",
        1,
        "A device is given up as lost, with the reason.",
        (
            Field("set", FieldType.NAME, "The set it was in."),
            Field("tag", FieldType.TAG, "Its tag, when it was in no set."),
            _WHY,
        ),
        subject="set",
    ),
    Kind(
        "found",
        1,
        "A lost device turned up.",
        (
            Field("set", FieldType.NAME, "The set it was lost from."),
            Field("tag", FieldType.TAG, "Its tag."),
            choice("left_as", LeftAs, "Left working, unset, or taken up (the default)."),
            _NOTE,
        ),
        subject="set",
    ),
    Kind(
        "sign-seen",
        1,
        "Tracks, droppings or other sign.",
        (
            Field("species", FieldType.TEXT, "Which animal.", required=True),
            _SURE,
            Field("set", FieldType.NAME, "The set it was near."),
            Field("parcel", FieldType.NAME, "The parcel it was on."),
            Field("heading", FieldType.TEXT, "Which way it went."),
            _NOTE,
        ),
        subject="species",
    ),
    Kind(
        "weather-seen",
        1,
        "Weather and snow as a person found them.",
        (
            _SNOW,
            Field("new_snow_m", FieldType.LENGTH, "New snow since the last note.", low=0, high=5),
            choice("surface", Surface, "What the top of the snow is like."),
            Field("air_c", FieldType.CELSIUS, "Air temperature.", low=-60, high=50),
            Field("wind_kmh", FieldType.SPEED, "Wind in the open.", low=0, high=400),
            Field("parcel", FieldType.NAME, "Where."),
            _NOTE,
        ),
    ),
    Kind(
        "available",
        1,
        "A stretch in which a person can go out.",
        (
            Field("who", FieldType.TEXT, "Who.", required=True),
            Field("start", FieldType.INSTANT, "From.", required=True),
            Field("end", FieldType.INSTANT, "Until.", required=True),
            Field("vehicle", FieldType.FLAG, "With a vehicle."),
            _NOTE,
        ),
        subject="who",
    ),
    Kind(
        "money",
        1,
        "Something spent or earned on the line; no price is ever assumed.",
        (
            choice("what", MoneyFor, "What it was for.", required=True),
            Field("amount", FieldType.AMOUNT, "How much, in your own currency.", low=0, high=1e7),
            Field("hours_s", FieldType.SECONDS, "Hours worked that no look shows.", low=0, high=31 * 86400),
            Field("distance_m", FieldType.LENGTH, "Way driven.", low=0, high=1e7),
            Field("parcel", FieldType.NAME, "For which property."),
            _NOTE,
        ),
        subject="what",
    ),
    Kind(
        "handover",
        1,
        "Somebody else takes over the line or part of it.",
        (
            Field("to", FieldType.TEXT, "Who takes over.", required=True),
            Field("from", FieldType.TEXT, "Who hands over."),
            Field("sets", FieldType.NAMES, "Which sets; all of them when left out."),
            _NOTE,
        ),
        subject="to",
    ),
    Kind(
        "correction",
        1,
        "An earlier event was wrong; the old values stay on record.",
        (
            Field("of", FieldType.EVENT, "Which event.", required=True),
            Field("fields", FieldType.FIELDS, "New values of its fields; null takes a value away."),
            Field("happened_at", FieldType.INSTANT, "When it really happened."),
            Field("place", FieldType.TEXT, "Where it really was: longitude, latitude, accuracy in metres."),
            _WHY,
        ),
        subject="of",
    ),
    Kind(
        "void",
        1,
        "An earlier event did not happen; it stays on record as voided.",
        (Field("of", FieldType.EVENT, "Which event.", required=True), _WHY),
        subject="of",
    ),
)

KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _KINDS}
"""Every kind of event, by name."""
