"""Owns the fields that a GPX file of our own carries as extensions: their namespace, and finding them.

Does not own what a field means (`fields`) or writing them (report).
"""

from collections.abc import Mapping

# Only the type of a node: the reading itself is done by defusedxml.
from xml.etree.ElementTree import Element

NAMESPACE = "urn:uuid:2b426225-569e-582b-a2e5-5c9f22962b25"
"""Names our extensions (a version 5 UUID as RFC 9562 writes a URN): it stands for nothing but itself."""

_FIELDS = f"{{{NAMESPACE}}}fields"
CARRIED = "fields-of-our-own"
"""Attribute under which the place of an element's fields is remembered while the file is read."""


def take_fields(root: Element) -> list[Mapping[str, str]]:
    """Note the fields of every element that has some, before namespaces are dropped.

    Parameters
    ----------
    root
        The tree as read, names with their namespace. Changed: an element with fields gets the attribute
        `CARRIED`, their number in the list; one that came with such an attribute loses it.

    Returns
    -------
    list of mapping
        Texts by name; extensions of other programs are passed over.
    """
    found: list[Mapping[str, str]] = []
    for element in root.iter():
        element.attrib.pop(CARRIED, None)
        for holder in element:
            if not str(holder.tag).endswith("}extensions"):
                continue
            for fields in holder.findall(_FIELDS):
                element.set(CARRIED, str(len(found)))
                found.append(
                    {str(f.tag).rpartition("}")[2]: (f.text or "").strip() for f in fields if f.text}
                )
    return found
