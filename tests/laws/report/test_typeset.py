"""Laws of the card on paper: no text of any kind breaks the page, and names arrive as they are."""

import io
from dataclasses import replace

import pypdfium2
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.report.card import build_card
from tendline.report.say import plain
from tendline.report.typeset import route_card_pdf
from tests.unit.report.example_round import example_facts, example_verdict

GROUND = [("mill-lane", "mill", 2)]
texts = st.text(max_size=60)
# Everything with a meaning in the language of the page engine, among letters the engine's fonts have.
markup = st.text(alphabet="#*_$@<>\"'\\`=+/[](){}~^&%!?.,;:|abcXYZ012 éüßŁжΩ", max_size=60)
short_names = st.from_regex(r"[A-Za-z0-9]{1,5}(-[A-Za-z0-9]{1,6})?", fullmatch=True)


def text_of(pdf: bytes) -> str:
    """All letters on all pages, blanks and places to break left out."""
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    text = "".join(page.get_textpage().get_text_range() for page in document)
    return "".join(text.replace("\u200b", "").split())


@settings(max_examples=40, deadline=None)
@given(texts, texts, texts, texts)
def test_any_text_at_all_gives_a_page(line: str, landmark: str, tag: str, note: str) -> None:
    facts = example_facts(GROUND)
    strange = replace(facts.sets["mill-1"], landmark=landmark, tag=tag, note=note, rule=note, bring=(tag,))
    facts = replace(facts, line=line, who=tag, sets={**facts.sets, "mill-1": strange}, made_from=note)
    assert route_card_pdf(build_card(example_verdict(GROUND), facts)).startswith(b"%PDF-")


@settings(max_examples=40, deadline=None)
@given(markup, markup)
def test_markup_arrives_on_paper_as_it_was_written(line: str, landmark: str) -> None:
    facts = example_facts(GROUND)
    strange = replace(facts.sets["mill-1"], landmark=landmark)
    facts = replace(facts, line=line, sets={**facts.sets, "mill-1": strange})
    found = text_of(route_card_pdf(build_card(example_verdict(GROUND), facts)))
    assert "".join(plain(line).split()) in found
    assert "".join(plain(landmark).split()) in found


@settings(max_examples=25, deadline=None)
@given(st.lists(short_names, min_size=2, max_size=2, unique=True))
def test_short_names_stand_on_the_card_in_order(names: list[str]) -> None:
    verdict, facts = example_verdict(GROUND), example_facts(GROUND)
    stop = verdict.plan.stops[0]
    visits = tuple(replace(v, set_name=name) for v, name in zip(stop.visits, names, strict=True))
    plan = replace(verdict.plan, stops=(replace(stop, visits=visits),), ratchets=(), bad_mornings=())
    sets = {name: replace(facts.sets["mill-1"], name=name) for name in names}
    found = text_of(route_card_pdf(build_card(replace(verdict, plan=plan), replace(facts, sets=sets))))
    first, second = (found.index(f"{i}{name}tag1040") for i, name in enumerate(names, 1))
    assert first < second
