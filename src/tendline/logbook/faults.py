"""Owns the fault codes of the record: events, the ledger, the store.

Does not own their wording in use.
"""

from tendline.core.errors import Code

KIND = Code("LOG-101", "There is no such kind of event.")
FIELD_UNKNOWN = Code("LOG-102", "An event of that kind has no such field.")
FIELD_MISSING = Code("LOG-103", "A field that the event needs is missing.")
FIELD_VALUE = Code("LOG-104", "A field of the event has a value that it cannot have.")
PLACE_MISSING = Code("LOG-105", "The event needs a place.")
TOO_OLD = Code("LOG-201", "The event lies too far in the past to be believed.")
IN_FUTURE = Code("LOG-202", "The event lies in the future.")
UNKNOWN_SET = Code("LOG-301", "There is no set by that name.")
NOT_IN_FIELD = Code("LOG-302", "The set is not in the field.")
NAME_TAKEN = Code("LOG-303", "The short name is taken, or is not one.")
TAG_TAKEN = Code("LOG-304", "The device with that tag is somewhere else already.")
UNKNOWN_TAG = Code("LOG-305", "There is no device with that tag.")
SAME_INSTANT = Code("LOG-306", "There is already a check of that set at that instant.")
UNKNOWN_EVENT = Code("LOG-307", "There is no event with that id.")
UNKNOWN_PARCEL = Code("LOG-308", "There is no parcel by that name.")
BEFORE_SET = Code("LOG-309", "The event lies before the set was made.")
TARGET_KIND = Code("LOG-310", "That event cannot be corrected or voided this way.")
OUT = Code("LOG-311", "The cable of the device is out until it is rebuilt.")
DISK_FULL = Code("LOG-401", "There is no room left on the disk; nothing was written.")
BUSY = Code("LOG-402", "Another program is writing to the logbook; nothing was written.")
NOT_WRITABLE = Code("LOG-403", "The logbook cannot be opened or written.")
NEWER = Code("LOG-404", "The logbook was made by a newer tendline.")
DAMAGED_DATABASE = Code("LOG-501", "The database file is damaged.")
DAMAGED_CHAIN = Code("LOG-502", "An event was altered, or one is missing from the chain.")
DAMAGED_EVENT = Code("LOG-503", "An event cannot be read.")
