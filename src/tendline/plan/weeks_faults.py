"""Owns the fault codes of planning the days ahead.

Does not own their wording in use, which stands where the fault is found.
"""

from tendline.core.errors import Code

NO_OUTING = Code("PLAN-121", "There is no window to go out in, or no set to look at.")
BACKWARD = Code("PLAN-122", "A window lies in the past or after the days that are planned.")
OVERLAP = Code("PLAN-123", "Two windows of one person overlap.")
NO_PLACE = Code("PLAN-124", "A set cannot be reached from any parking.")
TOO_SHORT = Code("PLAN-125", "Going to one set and back takes longer than any window.")
