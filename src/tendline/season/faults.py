"""Owns the fault codes of the season: what makes a figure wrong, so that it is withheld and said why."""

from tendline.core.errors import Code

NO_EFFORT = Code("SEA-101", "There is no effort on record, so no rate can be told.")
CATCH_WITHOUT_SET = Code("SEA-102", "A catch belongs to no set that was out; it is in no rate.")
CATCH_TWICE = Code("SEA-103", "Two records look like one animal; it is counted once.")
DEVICE_TWICE = Code("SEA-104", "A device is on record in two places at once; no night is counted twice.")
MINUTES = Code("SEA-105", "Minutes on record cannot be; they are left out.")
SET_TWICE = Code("SEA-106", "A set was made again while it was out.")
NOT_OUT = Code("SEA-107", "A record names a set that was not out; it is in no figure.")
AFTER_NOW = Code("SEA-108", "A record is dated in the time to come; it is in no figure.")
ASKED = Code("SEA-201", "What was asked of the season cannot be worked out.")
POINTS = Code("SEA-202", "A list of injury points cannot be used.")
