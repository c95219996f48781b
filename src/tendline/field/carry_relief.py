"""Owns the ground as a phone takes it along: light and shade inside the document, heights as bare lines.

Does not own how it is drawn (`terrain`, `ground`), nor the rest of what is carried (`carry`).
"""

import json
from base64 import b64encode
from collections.abc import Mapping, Sequence
from hashlib import sha256
from typing import Any

MOST_BYTES = 150_000
"""So much the ground may add to what a phone takes along, as JSON [bytes]."""

OF_THEM = 112_000
"""So much picture and lines may be before they are written: base64 makes four bytes of three [bytes]."""


def carried_relief(
    webp: bytes,
    bounds: tuple[float, float, float, float],
    contours: Mapping[str, Any],
    *,
    step_m: float,
    said: Sequence[str],
) -> dict[str, Any]:
    """Write the ground for a phone.

    Parameters
    ----------
    webp
        Light and shade on the plane of web maps.
    bounds
        Its outer edges: west, south, east, north [degrees].
    contours
        GeoJSON FeatureCollection: LineStrings with `height_m` and `main`, Points with `text` and `turn_deg`.
    step_m
        Step between the lines [m].
    said
        What the reader must know.

    Returns
    -------
    dict
        `id` changes whenever anything of it does; `picture` is a data URL, so that a page without a signal,
        and with no other host allowed, can show it; `lines` and `labels` hold places as [lon, lat].

    References
    ----------
    RFC 2397 for data URLs, RFC 4648 section 4 for base64, RFC 9649 for image/webp.
    """
    west, south, east, north = (round(edge, 6) for edge in bounds)
    lines, labels = [], []
    for one in contours["features"]:
        told, places = one["properties"], one["geometry"]["coordinates"]
        if one["geometry"]["type"] == "LineString":
            lines.append({"height_m": told["height_m"], "main": told["main"], "places": places})
        else:
            labels.append({"text": told["text"], "turn_deg": told["turn_deg"], "place": places})
    ground: dict[str, Any] = {
        "picture": f"data:image/webp;base64,{b64encode(webp).decode('ascii')}",
        "west": west,
        "south": south,
        "east": east,
        "north": north,
        "step_m": step_m,
        "lines": lines,
        "labels": labels,
        "said": list(said),
    }
    return {"id": sha256(json.dumps(ground, sort_keys=True).encode()).hexdigest()[:16], **ground}


def without_known(relief: Mapping[str, Any] | None, had: str) -> Mapping[str, Any] | None:
    """Give the ground for a phone that says which it has: only the id when it is that one."""
    return {"id": had} if relief is not None and relief["id"] == had else relief
