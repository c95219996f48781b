"""Owns the fault codes of the rules room: what can be wrong with a rule profile.

Does not own their wording in use, which stands where the fault is found.
"""

from tendline.core.errors import Code

UNREADABLE = Code("RULE-101", "A rule profile could not be opened, or is not TOML.")
NO_PROFILE = Code("RULE-102", "There is no rule profile by that name.")
UNKNOWN_KEY = Code("RULE-103", "A rule profile has a key that means nothing there.")
MISSING_KEY = Code("RULE-104", "A rule profile lacks a key.")
BAD_VALUE = Code("RULE-105", "A value in a rule profile is of the wrong kind or out of range.")
NOT_ALLOWED = Code("RULE-106", "A value in a rule profile is not one of those allowed there.")
NO_CITATION = Code("RULE-107", "A value in a rule profile has no citation, or names one that is not there.")
UNUSED_CITATION = Code("RULE-108", "A citation in a rule profile is used by nothing.")
DATES = Code("RULE-109", "The dates of a value in a rule profile do not run forward.")
NO_SUCH_NAME = Code(
    "RULE-110", "A rule names a question, an answer or a rule that the profile does not hold."
)
NOT_OF_THIS_PLACE = Code(
    "RULE-111", "A shipped rule profile does not carry the name of the place it lies at."
)
INVENTED = Code("RULE-112", "A rule profile mixes invented law with law that was read somewhere.")
SENSELESS = Code("RULE-113", "Parts of a rule do not go together.")
NO_SUCH_PART = Code("RULE-114", "A rule names a part, measure or feature that tendline does not know.")
OVERLAP = Code("RULE-115", "Two zones that answer one question lie over one another.")
