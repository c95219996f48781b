"""Owns the closed lists of words that the record is written in: classes of device, outcomes, how sure.

Does not own what follows from a word: effort is counted in `season`, clocks run in `rules`.
Each list is the trade's or the regulators'; `docs/concepts/check.md` shows how an outcome is read.
"""

from enum import StrEnum


class DeviceClass(StrEnum):
    """What kind of device a set holds, as laws tell them apart."""

    LIVE_RESTRAINT = "live-restraint"
    CAGE = "cage"
    FOOTHOLD = "foothold"
    BODY_GRIP = "body-grip"
    SUBMERGED = "submerged"
    UNDER_ICE = "under-ice"


class FoundAs(StrEnum):
    """How the device was found at a check."""

    WORKING = "working"
    TURNED = "turned"
    KNOCKED_DOWN = "knocked-down"
    PUSHED_ASIDE = "pushed-aside"
    CLOSED = "closed"
    BURIED = "buried"
    FROZEN = "frozen"
    OUT_OF_LIMITS = "out-of-limits"
    HOLDING = "holding"
    BROKEN = "broken"
    TAMPERED = "tampered"
    GONE = "gone"
    NOT_FOUND = "not-found"
    NOT_REACHED = "not-reached"
    UNSET = "unset"

    @property
    def was_seen(self) -> bool:
        """Whether anybody laid eyes on the place of the set."""
        return self not in (FoundAs.NOT_FOUND, FoundAs.NOT_REACHED)


class Happened(StrEnum):
    """What had happened since the last look, as far as can be told."""

    NOTHING = "nothing"
    PASSED_BY = "passed-by"
    REFUSED = "refused"
    UNDER_OR_OVER = "under-or-over"
    WIND = "wind"
    DEER = "deer"
    OTHER_ANIMAL = "other-animal"
    UNKNOWN = "unknown"
    FIRED_EMPTY = "fired-empty"
    SNOW = "snow"
    FREEZE = "freeze"
    THAW = "thaw"
    CAUGHT_KEPT = "caught-kept"
    CAUGHT_RELEASED = "caught-released"
    NONTARGET_RELEASED = "nontarget-released"
    NONTARGET_INJURED = "nontarget-injured"
    NONTARGET_DEAD = "nontarget-dead"
    DOMESTIC_RELEASED = "domestic-released"
    FOUND_DEAD = "found-dead"
    BROKE_AWAY = "broke-away"
    CHEWED_OUT = "chewed-out"
    ANCHOR_PULLED = "anchor-pulled"
    SLIPPED_OUT = "slipped-out"
    TAKEN_BY_PREDATOR = "taken-by-predator"
    PERSON = "person"
    MISSING = "missing"


class Done(StrEnum):
    """What was done at the check."""

    LOOKED = "looked"
    ADJUSTED = "adjusted"
    REHUNG = "rehung"
    DUG_OUT = "dug-out"
    REMADE = "remade"
    SWAPPED = "swapped"
    SEARCHED = "searched"
    CLOSED = "closed"
    PULLED = "pulled"
    NONE = "none"


class LeftAs(StrEnum):
    """How the device was left; tomorrow's plan needs it."""

    WORKING = "working"
    UNSET = "unset"
    PULLED = "pulled"
    AS_FOUND = "as-found"


class Sure(StrEnum):
    """How sure the species is."""

    SEEN = "seen"
    TRACK_SURE = "track-sure"
    TRACK_LIKELY = "track-likely"
    UNKNOWN = "unknown"


class Surface(StrEnum):
    """The surface a loop height was measured from."""

    GROUND = "ground"
    ICE = "ice"
    PACKED_SNOW = "packed-snow"
    CRUST = "crust"
    LOOSE_SNOW = "loose-snow"
    BOOTPRINT = "bootprint"


class Fate(StrEnum):
    """What became of a caught animal."""

    KEPT = "kept"
    RELEASED = "released"
    RELEASED_INJURED = "released-injured"
    DEAD = "dead"


class Standing(StrEnum):
    """The trapper's leave to keep the animal, as the record sees it."""

    TARGET = "target"
    NONTARGET = "nontarget"
    DOMESTIC = "domestic"


class LandClass(StrEnum):
    """Classes of land as laws tell them apart."""

    PRIVATE = "private"
    PUBLIC = "public"
    COMMERCIAL_FOREST = "commercial-forest"
    PUBLIC_HUNTING = "public-hunting-area"
    ROAD_RIGHT_OF_WAY = "road-right-of-way"
    PARK = "park"


class FeatureClass(StrEnum):
    """Things on the ground that a law may measure from, a set may stand inside of, or an animal goes by."""

    DWELLING = "dwelling"
    DRIVEWAY = "driveway"
    BUILDING = "building"
    SCHOOL = "school"
    ROAD = "road"
    RIGHT_OF_WAY = "right-of-way"
    TRAIL = "trail"
    TRAILHEAD = "trailhead"
    CAMPGROUND = "campground"
    FENCE = "fence"
    LIVESTOCK_PASSAGE = "livestock-passage"
    FEEDLOT = "feedlot"
    EXPOSED_BAIT = "exposed-bait"
    BAIT = "bait"
    DEN = "den"
    OTHER_SET = "other-set"
    WATER = "water"
    RIVER = "river"
    VILLAGE = "village"
    OBSTACLE = "obstacle"
    LIVESTOCK_ENCLOSURE = "livestock-enclosure"
    PUBLIC_LAND = "public-land"
    WOODS = "woods"
    BRUSH = "brush"
    FIELD = "field"
    MARSH = "marsh"
    FIELD_EDGE = "field-edge"
    BRUSH_LINE = "brush-line"
    OLD_ROAD = "old-road"
    GAME_TRAIL = "game-trail"
    FENCE_CROSSING = "fence-crossing"
    LOG = "log"
    CULVERT = "culvert"
    DEER_USE = "deer-use"
    OTHER = "other"


class Edge(StrEnum):
    """Which part of a thing on the ground its drawing shows."""

    NEAREST = "nearest-point"
    OUTSIDE = "outside-edge"
    CENTRE = "centre-line"
    MAINTAINED = "maintained-edge"
    WALL = "wall"


class BuildPoint(StrEnum):
    """Named points along a device at which a part may sit."""

    ANCHOR = "anchor"
    EXTENSION_END = "extension-end"
    HALFWAY = "halfway"
    LOCK = "lock"
    CABLE_END = "cable-end"


class TagWord(StrEnum):
    """What may stand on a device's tag."""

    NAME = "name"
    ADDRESS = "address"
    TELEPHONE = "telephone"
    AGENCY_NUMBER = "agency-number"
    AGENCY_TELEPHONE = "agency-telephone"
    LICENCE = "licence-number"
    DRIVER = "driver-licence-number"
    STATE = "state"
    STATE_ID = "state-id-number"
    REGISTRATION = "registration-number"


class CatchAct(StrEnum):
    """What may be done about a catch."""

    REPORT = "report"
    SEAL = "seal"
    MOVE = "move"
    RELEASE = "release"
    DISPATCH = "dispatch"
    KEEP = "keep"
    SURRENDER = "surrender"
    TELL_OWNER = "tell-owner"
    TELL_TOWN = "tell-town"
    PAY = "pay"


class AnchorKind(StrEnum):
    """What holds a device."""

    STAKE = "stake"
    EARTH_ANCHOR = "earth-anchor"
    WOODY_STEM = "woody-stem"
    ROCK = "rock"
    FENCE = "fence"
    DRAG = "drag"
    OTHER = "other"


class Exposure(StrEnum):
    """How a set lies to wind and drifting snow."""

    SHELTERED = "sheltered"
    EXPOSED = "exposed"


class CableCondition(StrEnum):
    """What the cable of a device was like when somebody looked it over."""

    SOUND = "sound"
    KINKED = "kinked"
    FRAYED = "frayed"
    BIRD_CAGED = "bird-caged"
    WORN = "worn"


class PlaceKind(StrEnum):
    """The kind of place a loop hangs in."""

    TRAIL = "trail"
    UNDER_FENCE = "under-fence"
    LOG_CROSSING = "log-crossing"


class MoneyFor(StrEnum):
    """What money or time on the line was for."""

    WORK = "work"
    MILES = "miles"
    PARTS = "parts"
    FEES = "fees"
    FUEL = "fuel"
    OTHER_COST = "other-cost"
    FUR = "fur"
    DAMAGE_FEE = "damage-fee"
    OTHER_INCOME = "other-income"

    @property
    def is_income(self) -> bool:
        """Whether it came in rather than went out."""
        return self in (MoneyFor.FUR, MoneyFor.DAMAGE_FEE, MoneyFor.OTHER_INCOME)
