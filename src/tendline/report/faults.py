"""Owns the fault codes of what goes out to a reader: cards, tables, maps.

Does not own their wording in use, which stands where the fault is found.
"""

from tendline.core.errors import Code

NO_FACTS = Code("REP-101", "A set on the round has nothing on record to print beside its name.")
NOT_SET = Code("REP-102", "The page could not be set.")
TOO_NARROW = Code("REP-103", "There is not enough width or height to draw in.")
"""What can go wrong on the way to paper or to the screen."""
