"""Owns the fault codes of planning: what is missing or wrong in what an outing is planned from.

Does not own their wording in use, which stands where the fault is found.
"""

from tendline.core.errors import Code

MISSING_PLACE = Code("PLAN-101", "A place of the round is not in a travel table.")
TABLE = Code(
    "PLAN-102", "A travel table is not one: wrong shape, negative time, or a time that is no number."
)
NO_DRIVE = Code("PLAN-103", "There is no drive between two places of the round.")
NO_WALK = Code("PLAN-104", "A set that must be visited cannot be walked to and back from any parking.")
NO_WINDOW = Code("PLAN-105", "A set that must be visited has no moment left in which it may be looked at.")
FIGURE = Code("PLAN-106", "A figure of the round cannot be right.")
NAME_TWICE = Code("PLAN-107", "Two places of one kind have the same name.")
NOTHING = Code("PLAN-108", "There is no set to visit, or no parking to walk from.")
BUDGET = Code("PLAN-109", "The search was given no limit, or one that cannot be right.")
HOURS = Code("PLAN-110", "The outing is shorter than the drive from its start to its end.")
CUT_FIGURE = Code("PLAN-181", "A length or a count of a cut list cannot be right.")
CUT_SHORT = Code("PLAN-182", "The rolls and offcuts are not enough for the pieces.")
ENSEMBLE = Code(
    "PLAN-120", "An outlook on the weather was asked for days or members that cannot be worked out."
)
