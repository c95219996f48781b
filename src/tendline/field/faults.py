"""Owns the fault codes of the field: messages from phones, and what they carry.

Does not own their wording in use.
"""

from tendline.core.errors import Code

NOT_JSON = Code("FLD-101", "A message is no JSON that can be read.")
NOT_MESSAGE = Code("FLD-102", "A message is not one of a phone, or of a newer tendline.")
TOO_MUCH = Code("FLD-103", "A message holds more than one message may.")
NO_EVENT = Code("FLD-104", "An entry in a message is no event.")
OTHER_BODY = Code("FLD-201", "An event with that id is on record and says something else; the first stays.")
