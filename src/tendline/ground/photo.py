"""Owns opening a photograph that somebody took, and giving it back with nothing but the picture in it.

Does not own where photographs lie, or what they show.
"""

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageOps

from tendline.core.errors import refuse
from tendline.ground.faults import PHOTO, PHOTO_LARGE

MOST_PIXELS = 120_000_000
"""No camera that is carried takes more; a small file that claims more would only fill the memory."""

QUALITY = 80


@dataclass(frozen=True)
class Photo:
    """A picture as a JPEG with nothing written into it, and its size [px]."""

    data: bytes
    wide: int
    tall: int


def clean_photo(data: bytes, *, where: str, longest_px: int | None = None) -> Photo:
    """Make a JPEG of the picture alone: no place, no time, no maker, no thumbnail, no comment.

    Parameters
    ----------
    data
        A JPEG, PNG or WebP.
    where
        Its name, for messages.
    longest_px
        Make the longer side at most so long [px]; as it is when left out.

    Returns
    -------
    Photo
        Turned upright; the same picture always gives the same bytes.

    Raises
    ------
    Refused
        GND-801 when it cannot be opened; GND-802 when it has too many pixels.

    References
    ----------
    CIPA DC-008 (Exif 2.32), section 4.6.6: a picture may carry the place it was taken at, which is why
    everything but its pixels is left behind.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            picture = Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP"))
        wide, tall = picture.size
        if wide * tall <= MOST_PIXELS:
            return _bare(picture, longest_px)
        what = f"the picture has {wide} by {tall} pixels."
    except Image.DecompressionBombError:
        what = "the picture has far too many pixels."
    except (OSError, ValueError, SyntaxError) as problem:
        do = "Export it again as JPEG or PNG, or take it out."
        raise refuse(PHOTO, f"the picture cannot be opened ({problem}).", where, do) from None
    raise refuse(PHOTO_LARGE, what, where, f"Make it smaller: at most {MOST_PIXELS // 1_000_000} megapixels.")


def _bare(picture: Image.Image, longest_px: int | None) -> Photo:
    upright = ImageOps.exif_transpose(picture).convert("RGB")
    if longest_px is not None:
        upright.thumbnail((longest_px, longest_px))
    # A new picture of the same pixels has nothing of the old one's fields.
    bare = Image.frombytes("RGB", upright.size, upright.tobytes())
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Photo(out.getvalue(), *bare.size)
