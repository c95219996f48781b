"""Owns the fault codes of the gear: loops, builds, strengths, counts of parts.

Does not own their wording in use, which stands where the fault is found.
"""

from tendline.core.errors import Code

LOOPS = Code("GEAR-101", "The largest loop of a build is not larger than its smallest.")
TOO_STRONG = Code("GEAR-102", "The breakaway is as strong as the cable at its end, or stronger.")
SNOW = Code("GEAR-103", "A depth of snow cannot be right.")
WORD = Code("GEAR-104", "A word for an animal, a place, a make or a soil is not known.")
FIGURE = Code("GEAR-105", "A length, a load, a count or a chance of the gear cannot be right.")
FILE = Code("GEAR-106", "A build file cannot be read, or has a key that is not known.")
TOO_SHORT = Code("GEAR-107", "The cable is too short for its loop, or a roll for its piece.")
