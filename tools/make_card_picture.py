"""Owns the picture of a route card in the docs: sets an invented round and paints its first page.

Does not own the round, which the tests build. From the top folder: ``python -m tools.make_card_picture``.
"""

import io
from pathlib import Path

import pypdfium2

from tendline.report.card import build_card
from tendline.report.typeset import route_card_pdf
from tests.unit.report.example_round import example_facts, example_verdict

GROUND = (("mill-lane", "mill", 4), ("quarry", "N", 4))
WIDTH_PX = 1240
PICTURE = Path(__file__).resolve().parents[1] / "docs" / "img" / "route-card.png"


def main() -> None:
    """Write the picture, in few greys so that it stays small."""
    pdf = route_card_pdf(build_card(example_verdict(GROUND), example_facts(GROUND)))
    page = pypdfium2.PdfDocument(io.BytesIO(pdf))[0]
    picture = page.render(scale=WIDTH_PX / page.get_width(), grayscale=True).to_pil().convert("L")
    picture.quantize(16).save(PICTURE, optimize=True)
    print(f"{PICTURE.name}: {picture.width} by {picture.height}, {PICTURE.stat().st_size // 1024} kB")


if __name__ == "__main__":
    main()
