"""A photograph leaves with nothing but its pixels; read back by Pillow's own Exif reader."""

import io
import struct
import zlib

import pytest
from PIL import Image

from tendline.core.errors import Refused
from tendline.ground.photo import clean_photo

GPS, ORIENTATION, MAKER = 0x8825, 0x0112, 0x010F
"""Exif 2.32, tables 4 and 15: the tags of the place, of which way is up, and of the maker."""


def photo(form: str = "JPEG") -> bytes:
    """A picture, red above and blue below, that carries place, maker, comment and which way is up."""
    picture = Image.new("RGB", (60, 40), (200, 0, 0))
    picture.paste((0, 0, 200), (0, 20, 60, 40))
    exif = Image.Exif()
    exif[MAKER] = "SECRET-MAKER"
    exif[ORIENTATION] = 6
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[2] = (41.0, 30.0, 12.0)
    out = io.BytesIO()
    picture.save(out, form, exif=exif, **({"comment": b"SECRET-PLACE"} if form == "JPEG" else {}))
    return out.getvalue()


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_place_maker_and_comment_are_gone(form: str) -> None:
    before = Image.open(io.BytesIO(photo(form)))
    assert before.getexif().get_ifd(GPS)[1] == "N"
    cleaned = clean_photo(photo(form), where="M4.jpg").data
    after = Image.open(io.BytesIO(cleaned))
    assert dict(after.getexif()) == {}
    assert b"SECRET" not in cleaned
    assert b"Exif" not in cleaned
    assert set(after.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_the_picture_is_turned_upright_and_made_small() -> None:
    after = Image.open(io.BytesIO(clean_photo(photo(), where="x", longest_px=30).data))
    # Orientation 6: what is stored as the top is shown as the right (Exif 2.32, 4.6.4).
    assert after.size == (20, 30)
    right, left = after.getpixel((17, 15)), after.getpixel((2, 15))
    assert isinstance(right, tuple)
    assert isinstance(left, tuple)
    assert right[0] > 150 > right[2]
    assert left[2] > 150 > left[0]


def test_the_same_picture_gives_the_same_bytes() -> None:
    assert clean_photo(photo(), where="x") == clean_photo(photo(), where="y")


@pytest.mark.parametrize("data", [b"", b"no picture", photo()[:200], b"\xff\xd8\xff" + bytes(50)])
def test_what_cannot_be_opened_is_named(data: bytes) -> None:
    with pytest.raises(Refused) as caught:
        clean_photo(data, where="photos/M4.jpg")
    assert [(f.code.id, f.where) for f in caught.value.faults] == [("GND-801", "photos/M4.jpg")]


def test_a_small_file_that_claims_a_huge_picture_is_refused_unopened() -> None:
    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    # A PNG header of 60 000 by 60 000 pixels (PNG, third edition, section 11.2.1).
    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    bomb = (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")
    )
    with pytest.raises(Refused) as caught:
        clean_photo(bomb, where="bomb.png")
    assert caught.value.faults[0].code.id == "GND-802"
    # Just over the bound, and under Pillow's own: refused here.
    big = struct.pack(">IIBBBBB", 12_000, 11_000, 8, 0, 0, 0, 0)
    claim = (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", big) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")
    )
    with pytest.raises(Refused) as caught:
        clean_photo(claim, where="claim.png")
    assert caught.value.faults[0].code.id == "GND-802"
