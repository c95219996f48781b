"""Owns the fault codes of the ground floor: numbers, lengths, times, places.

Does not own their wording in use, which stands where the fault is found.
"""

from tendline.core.errors import Code

LENGTH = Code("CORE-101", "A length could not be read.")
TIME = Code("CORE-201", "A time or date could not be read.")
ZONE = Code("CORE-202", "A time zone by that name does not exist.")
TIME_SKIPPED = Code("CORE-203", "The clocks skip that local time.")
TIME_TWICE = Code("CORE-204", "That local time comes twice because the clocks go back.")
PLACE = Code("CORE-301", "A longitude or latitude is out of range.")
OUTLINE = Code("CORE-302", "An outline has too few corners or is not closed.")
