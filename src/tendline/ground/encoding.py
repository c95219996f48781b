"""Owns turning the bytes of a text file into text: UTF-8, and nothing guessed.

Does not own XML, which names its encoding itself.
"""

from tendline.core.errors import refuse
from tendline.ground.faults import ENCODING


def decode(data: bytes, *, file_name: str) -> str:
    """Read bytes as UTF-8, with or without a byte order mark.

    Raises
    ------
    Refused
        GND-004, with the line of the first byte that is not UTF-8.
    """
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise refuse(
            ENCODING,
            "the file is in UTF-16.",
            file_name,
            "Save it again as UTF-8 (in a spreadsheet: CSV UTF-8).",
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise refuse(
            ENCODING,
            f"byte {data[error.start]:#04x} is not UTF-8; the file is probably in an older code page.",
            f"{file_name}, line {line}",
            "Save it again as UTF-8 (in a spreadsheet: CSV UTF-8).",
        ) from None
