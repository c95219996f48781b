"""Owns the standing words of the finder sheet: going, closing, an animal held. Common practice, no source.

Does not own the law, which comes from the rule profiles. Nothing here says how to handle or kill an animal:
that is for the handler, the licensed person and the agency.
"""

GOING = (
    "Call the handler first, and the owner of each property before you walk on it.",
    "Tell somebody where you go and when you will be back. Not back by then: they call for help.",
    "Take: this sheet, pencil, phone, light, gloves, eye protection, cable cutter, pliers, shovel, bag.",
    "Ice, steep ground, storm, dark: turn back. A device can wait for help; you cannot.",
    "Gates as found. No dogs. Take no photograph that shows a place.",
)

_ANIMAL = (
    "A held animal comes before everything else on this sheet. Stay well back, keep others and dogs away,"
    " do not touch it and do not try to free it. Note set, time and what it is. Call the handler, then the"
    " agency."
)
_DOG = (
    "A dog or farm animal: stay back, call its owner and the handler. A protected animal, or one that"
    " looks or behaves sick: call the agency before anybody goes near."
)
_PERSON = (
    "Somebody bitten or scratched: wash, and see a physician at once. A person who objects: leave, and"
    " call the handler or the sheriff."
)
HELD = (_ANIMAL, _DOG, _PERSON)

NEED = (
    "A loop that hangs is at work until it is drawn shut, also one that lies knocked down or under snow."
    " Search with a probe or stick, never with the hand. Cable ends are sharp and anchors can spring:"
    " gloves, eyes."
)

CLOSING = (
    "Look from a distance first: is an animal in it, or near it?",
    "Read the tag. If it is not the one on this sheet, write it down.",
    "Draw the loop shut through its lock and lift it off its support: the set is now closed.",
    "Unfasten the device from its anchor; cut the cable only where nothing else helps.",
    "Take the device and its support along. Leave the anchor unless the handler says otherwise; mark it.",
    "Write the time and tick: found, closed, taken up. Not found: write so; it stays on the list.",
)

FINDER_FOOT = (
    "Private: this sheet shows where devices are. Give it back or burn it. Not legal advice: the law and"
    " the officer decide."
)

NOT_VERIFIED = (
    "Whether you may lawfully look at, close or take up another person's device: NOT VERIFIED. Ask the"
    " agency before you go."
)
"""What stands there whatever a profile says: a profile speaks of looking, and of people in general."""

TAKING_UP = "Whether another person may take a device up is in no profile: NOT VERIFIED."

LEAVE = "Whether the owners' leave covers you: NOT VERIFIED. Ask each owner."
